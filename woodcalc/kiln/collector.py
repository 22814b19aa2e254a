"""Sun on the glass: the hours of a year at a place, and what a glazed black collector keeps of them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from woodcalc import air, climate, units
from woodcalc.checks import InputError, within
from woodcalc.kiln import chamber

# Solar collector, per number of glazing layers: loss through the glazing (W/m2K, absorber to sky) and the
# angle factor b0. Duffie & Beckman, Solar Engineering of Thermal Processes, chs. 5 and 6, from memory.
TOP_LOSS_W_M2K = {1: 6.5, 2: 3.5, 3: 2.4}
_B0 = {1: 0.10, 2: 0.17, 3: 0.22}
_CLEAR = 0.88  # light through one clean layer: from memory, window glass or new plastic sheet
_BLACK = 0.95  # light that black paint keeps: from memory
_DIRT = 0.95  # dust and the shade of the frame: Duffie & Beckman, 2 % + 3 %, from memory
# Absorber to the kiln's air: with fans (both faces at 1-2 ft/s, about 3 W/m2K each, and radiation to the load)
# and without (rising air, radiation). Assumption from textbook films.
ABSORBER_FANS_W_M2K, ABSORBER_STILL_W_M2K = 10.0, 5.0


@dataclass(frozen=True)
class Collector:
    """The glazed roof of a solar kiln.

    Attributes
    ----------
    area_ft2 : float
    slope_deg : float
        0 level to 90 upright.
    facing_deg : float
        Compass: 180 south, 90 east.
    glazing : int
        Layers, 1 to 3.
    shade_h : tuple of float
        Hours of direct sun that trees and roofs take in the morning and in the evening, 0 to 8 each.

    Raises
    ------
    InputError
        A value outside its range.

    Examples
    --------
    >>> Collector(50.0, 43.0).kept_share(fans=True)
    0.74
    """

    area_ft2: float
    slope_deg: float
    facing_deg: float = 180.0
    glazing: int = 2
    shade_h: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        for name, hours in zip(("morning", "evening"), self.shade_h, strict=True):
            within(f"shade_h, {name}", hours, 0, 8, "h")
        within("collector_ft2", self.area_ft2, 0, 5000, "ft2")
        within("slope_deg", self.slope_deg, 0, 90, "degrees")
        within("facing_deg", self.facing_deg, 0, 360, "degrees", "180 is south.")
        if self.glazing not in TOP_LOSS_W_M2K:
            raise InputError(f"glazing = {self.glazing}: expected 1, 2 or 3 layers.")

    @property
    def loss_w_m2k(self) -> float:
        """Loss through the glazing, absorber to sky."""
        return TOP_LOSS_W_M2K[self.glazing]

    def kept_share(self, fans: bool) -> float:
        """Share of the absorbed sun, and of the loss at the air's temperature, that reaches the kiln's air."""
        film = ABSORBER_FANS_W_M2K if fans else ABSORBER_STILL_W_M2K
        return film / (film + self.loss_w_m2k)

    def year(self, place: climate.Site, sunny: bool = False) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The hours of the site's year as this collector meets them: see `year`."""
        return year(
            place,
            float(self.slope_deg),
            float(self.facing_deg),
            int(self.glazing),
            bool(sunny),
            tuple(self.shade_h),
        )


def pressure_pa(place: climate.Site) -> float:
    """Standard air pressure at a site, Pa.

    Examples
    --------
    >>> pressure_pa(climate.get("Madison"))
    98216.
    """
    return float(air.pressure_psi(min(place.elevation_ft, 15000)) * units.PA_PER_PSI)


@lru_cache(maxsize=64)
def year(
    place: climate.Site,
    slope_deg: float,
    facing_deg: float,
    layers: int,
    sunny: bool = False,
    shade_h: tuple[float, float] = (0.0, 0.0),
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The 8,760 hours of a site's year, as a solar kiln meets them.

    Parameters
    ----------
    place : Site
        Its own hours, if it comes from a weather file; otherwise each month's typical day, repeated.
    slope_deg, facing_deg : float
        Of the collector: 0 is level, 180 faces south.
    layers : int
        Of glazing, 1 to 3.
    sunny : bool
        Cloudless days in place of the month's average sunshine; a weather file keeps its own.
    shade_h : tuple of float
        Hours of direct sun lost after sunrise and before sunset; the sky's light stays.

    Returns
    -------
    tuple of ndarray
        Outdoor temperature (C), humidity ratio, and sun that the absorber keeps (W per m2 of collector).

    References
    ----------
    Position of the sun, cloudless sun (Haurwitz 1945), Erbs' diffuse share, Hay and Davies on the slope and
    the glass's angle factor, all by pvlib.

    Examples
    --------
    >>> _, _, sun = year(climate.get("Madison"), 43.0, 180.0, 2)
    >>> float(sun.sum() / 1000)  # kWh a year on a square meter
    928.
    """
    import pandas as pd
    from pvlib import clearsky, iam, irradiance, solarposition

    if place.hourly is not None:
        hourly = place.hourly
        temp_f, rh, ghi = (hourly[c].to_numpy() for c in ("temp_f", "rh_pct", "ghi_w_m2"))
        dni, dhi = hourly.dni_w_m2.to_numpy(), hourly.dhi_w_m2.to_numpy()
        stamps = pd.date_range("2001-01-01", periods=8760, freq="h", tz="UTC")
        spread = np.arange(8760)
    else:
        days = [place.hourly_day(m) for m in range(1, 13)]
        temp_f, rh, ghi = (
            np.concatenate([d[c].to_numpy() for d in days]) for c in ("temp_f", "rh_pct", "ghi_w_m2")
        )
        stamps = pd.DatetimeIndex(
            [pd.Timestamp(2001, m, 15, h, tz="UTC") for m in range(1, 13) for h in range(24)]
        )
        month = np.repeat(np.arange(12), climate.MONTH_DAYS)
        spread = (month[:, None] * 24 + np.arange(24)).ravel()
    when = stamps + pd.Timedelta(minutes=30) - pd.Timedelta(hours=place.utc_offset_h)
    sun = solarposition.get_solarposition(when, place.latitude, place.longitude)
    day = np.asarray(stamps.day_of_year)
    zenith, azimuth = sun.apparent_zenith.to_numpy(), sun.azimuth.to_numpy()
    if place.hourly is None:
        if sunny:
            ghi = clearsky.haurwitz(sun.apparent_zenith).ghi.to_numpy()
        parts = irradiance.erbs(ghi, zenith, day)
        dni, dhi = np.asarray(parts["dni"]), np.asarray(parts["dhi"])
    plane = irradiance.get_total_irradiance(
        slope_deg, facing_deg, zenith, azimuth, dni, ghi, dhi,
        dni_extra=irradiance.get_extra_radiation(day), model="haydavies", albedo=0.2,
    )  # fmt: skip
    b0 = _B0[layers]
    angle = irradiance.aoi(slope_deg, facing_deg, zenith, azimuth)
    through = _CLEAR**layers * _BLACK * _DIRT
    # the sky's and the ground's light count as coming in at 60 degrees: 1 - b0 (1/cos 60 - 1) = 1 - b0
    kept = through * (
        np.nan_to_num(plane["poa_direct"])
        * np.nan_to_num(iam.ashrae(angle, b=b0))
        * _unshaded(zenith, *shade_h)
        + np.nan_to_num(plane["poa_diffuse"]) * (1 - b0)
    )
    temp_c = units.celsius(temp_f)
    pressure = pressure_pa(place)
    ratio = np.array([chamber.humidity_ratio(t, h / 100, pressure) for t, h in zip(temp_c, rh, strict=True)])
    return temp_c[spread], ratio[spread], np.maximum(np.asarray(kept), 0)[spread]


def _unshaded(zenith: np.ndarray, morning_h: float, evening_h: float) -> np.ndarray:
    """Share of each hour in which the sun is clear of what stands around: days of 24 rows each."""
    up = (zenith < 90.0).reshape(-1, 24)
    since, until = (
        np.cumsum(up, 1) - 1,
        np.cumsum(up[:, ::-1], 1)[:, ::-1] - 1,
    )  # hours of sun before and after this
    lost = np.clip(morning_h - since, 0, 1) + np.clip(evening_h - until, 0, 1)
    return 1.0 - np.minimum(lost, 1.0).ravel()
