"""How fast a wood gives up water: its own rate, what the pile and the thickness change, the weather that it feels.

One number per wood, the rate D/a^2 at 68 F of a 4/4 board in a reference stack, is fitted to published ranges of
air-drying days, kiln-drying days, safe daily losses and specific gravity together (`woodcalc.drying.fit`). A wood of
which only its specific gravity is known gets a rate, too, and a wider spread.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from typing import Any

import numpy as np

from woodcalc import air, climate, tables
from woodcalc import species as woods
from woodcalc.checks import FloatOrArray, InputError, Numbers, RangeWarning, blank, plain, suggest, within
from woodcalc.dates import date_of
from woodcalc.drying.slab import temperature_factor
from woodcalc.sizes import nominal_in, thickness_name

BIOT = 1.0  # 4/4 in a reference stack: gives the published thickness ratios 1.7 (6/4) and 2.5 (8/4)
REFERENCE_WIDTH_FT = 4.0
# Air speed in the stack against an ordinary place: common practice. The film over a board goes with the
# square root of the speed over the way across the pile (laminar flow along a plate, Sh = 0.664 Re^1/2
# Sc^1/3, textbooks).
AIRFLOW = {"sheltered": 0.5, "ordinary": 1.0, "open": 2.0}
QUARTERSAWN_TIME = 1.15  # FOR-128 p. 74: quartersawn stock takes about 15 % longer
# How stacks of one wood differ, as standard deviations of the logarithm of their pace. Pile and place: common practice;
# the ends of published ranges are 0.22 off ours, which holds this and how coarse the ranges are. Airflow: the share of
# it that its three words leave open. Season: from what single months are off (`climate.Site.monthly`).
SD_LOG_PLACE, SD_LOG_BIOT, SD_LOG_SEASON = 0.20, 0.15, 0.07
# How well sapwood's rate over heartwood's is known where both have times: the standard error of its four witnesses
SD_LOG_SAPWOOD = 0.15
# How two woods of one genus differ in their rate, what their specific gravity explains aside: root mean square over the
# pairs of the table that have times of their own (the tests print it). For a wood of one's own that is like another.
SD_LOG_RELATIVE = 0.32
# Beyond the heaviest wood of the table the line is too flat: as the cell cavities close, water has nothing but cell
# wall to pass. A model of square cells, all water bound, has the log of the rate fall by 3 to 3.5 for a unit of
# specific gravity from 0.8 to 1.0, moisture 25 to 30 % (Siau, Transport Processes in Wood, 1984, from memory).
HEAVY_SG, HEAVY_SLOPE = 0.8, -3.5
SD_START = 0.10  # of the start MC, when it is the wood's average
SD_START_GIVEN = 0.05  # when it was measured
# Days against 4/4: E. Wengert, answers to sawyers (common practice); `BIOT` was chosen so that they come out
THICKNESS_TIMES = {"4/4": 1.0, "6/4": 1.7, "8/4": 2.5}
# Published times go from 4/4 to 8/4; somewhat thinner stock hardly differs in how it dries (judgment)
_THINNEST_IN, _THICKEST_IN = 0.5, 2.0


def biot(
    airflow: str = "ordinary", pile_width_ft: Numbers = REFERENCE_WIDTH_FT, thickness_in: Numbers = 1.0
) -> FloatOrArray:
    """Return the Biot number of a board in the pile.

    It says how easily water leaves the face, against how easily it comes from inside.

    Parameters
    ----------
    airflow : str
        ``"sheltered"`` (hollow, hedge, between buildings), ``"ordinary"``, ``"open"`` (windy rise, wide
        lanes).
    pile_width_ft : float or array
        The way the air goes through the pile, 1 to 20 ft.
    thickness_in : float or array
        Nominal thickness, in.

    Returns
    -------
    float or ndarray

    References
    ----------
    The words' air speeds are common practice; the square root is that of laminar flow along a plate.

    Examples
    --------
    >>> biot()
    1.0
    >>> biot("open", 8)
    1.0
    """
    if airflow not in AIRFLOW:
        raise suggest(airflow, list(AIRFLOW), "airflow")
    width = np.asarray(within("pile_width_ft", pile_width_ft, 1, 20, "ft"))
    return plain(BIOT * np.asarray(thickness_in) * np.sqrt(AIRFLOW[airflow] * REFERENCE_WIDTH_FT / width))


@dataclass(frozen=True)
class Rate:
    """A wood's pace in a reference stack.

    Attributes
    ----------
    per_day : float
        D/a^2 of a 4/4 board at 68 F, 1/day.
    sd_log_rate : float
        How well that is known: standard deviation, natural logarithm.
    basis : str
        What it was fitted to: ``"air-drying range and kiln days"``, ``"air-drying range"``, ``"a relative"`` (another
        wood's times) or ``"specific gravity"`` alone.
    sapwood_times : float or None
        How much faster sapwood is than heartwood, where that is known (sweetgum); else the two are taken to be alike.
    """

    per_day: float
    sd_log_rate: float
    basis: str
    sapwood_times: float | None = None

    @property
    def sd_log_pace(self) -> float:
        """Spread of one stack's pace: the wood's own rate, pile and place, airflow, start, season (natural logarithm).

        At Bi = 1 days go with Bi to the power -0.75 (resistances 1/3 + 1/Bi), and with the start by
        sd M0 / ((M0 - E) ln((M0 - E) / (20 - E))), 0.05 for oak from 80 % in air of 13 %.

        Examples
        --------
        >>> round(rate("northern red oak").sd_log_pace, 2), round(rate("black locust").sd_log_pace, 2)
        (0.27, 0.5)
        """
        parts = (self.sd_log_rate, SD_LOG_PLACE, 0.75 * SD_LOG_BIOT, 0.05, SD_LOG_SEASON)
        return float(np.sqrt(np.sum(np.square(parts))))


def rate(species: str | woods.Species, part: str = "mixed") -> Rate:
    """The fitted rate of a wood.

    Parameters
    ----------
    species : str or Species
    part : {"mixed", "heartwood", "sapwood"}
        Of the log. Published times are of lumber as it is sawn, or say heartwood (sweetgum), and the fit answers to
        them. Sapwood has times of its own for sweetgum alone; that of other woods gets the rate of the mixed wood,
        which is on the slow side, as most sapwood lets water out faster: `dated_part` says of which a date may be
        told. Mixed wood is in between by `Species.sapwood_share`, and like heartwood where the share is not known.

    Returns
    -------
    Rate

    References
    ----------
    data/drying_rates.csv, made by `woodcalc.drying.fit.fit_rates`.

    Examples
    --------
    >>> rate("northern red oak").basis
    'air-drying range and kiln days'
    >>> rate("black locust").basis
    'specific gravity'
    >>> rate("sweetgum", "sapwood").per_day > 1.4 * rate("sweetgum", "heartwood").per_day
    True
    >>> rate("red maple", "sapwood") == rate("red maple")
    True
    """
    wood = woods.get(species)
    if part not in woods.PARTS:
        raise suggest(part, woods.PARTS, "part")
    found = _rates().get(wood.name) or _of_own(wood)
    share = {"heartwood": 0.0, "sapwood": 1.0, "mixed": wood.sapwood_share or 0.0}[part]
    if found.sapwood_times is None or not share:
        return found
    return replace(
        found,
        per_day=found.per_day * found.sapwood_times**share,
        sd_log_rate=float(np.hypot(found.sd_log_rate, share * SD_LOG_SAPWOOD)),
    )


def start_sd(species: str | woods.Species, part: str = "mixed") -> float:
    """Return how far the start moisture of a stack may be off that was not measured: a standard deviation, as a share.

    Parameters
    ----------
    species : str or Species
    part : {"mixed", "heartwood", "sapwood"}

    Returns
    -------
    float

    Examples
    --------
    >>> start_sd("northern red oak"), round(start_sd("Douglas-fir (coast)"), 2)
    (0.1, 0.3)
    >>> start_sd("Douglas-fir (coast)", "heartwood")
    0.1
    """
    wood = woods.get(species)
    return max(SD_START, wood.green_mc_varies, wood.start_varies if part == "mixed" else 0.0)


_DRY_PCT = (
    40.0  # heartwood that starts no wetter has so little to lose that it is done first, whatever its pace
)


def dated_part(species: str | woods.Species, part: str = "mixed") -> tuple[str, str]:
    """Return the part of the log of which a date may be told, and a sentence that says so if it is another.

    Sapwood lets its water out faster than heartwood, likely, and how much is known of sweetgum alone. At one rate for
    both, the wetter of them comes out slower, which is the wrong way round in many woods.

    Parameters
    ----------
    species : str or Species
    part : {"mixed", "heartwood", "sapwood"}

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> dated_part("sweetgum", "sapwood")
    ('sapwood', '')
    >>> dated_part("white oak", "sapwood")[0], dated_part("loblolly pine", "heartwood")[0]
    ('mixed', 'heartwood')
    """
    wood = woods.get(species)
    if not wood.knows(part):
        return "mixed", f"How wet its {part} is, is not known here: this is a board of both."
    if part == "mixed" or rate(wood, part).sapwood_times is not None:
        return part, ""
    start = wood.mc_of_part_pct(part)
    if part == "heartwood" and (start <= _DRY_PCT or start >= wood.start_mc_pct):
        return part, ""
    return "mixed", (
        f"Its {part} starts at {start:.0f} % and likely dries at a {PACE_OF[part]} pace than the rest; how much is not "
        "known here, so the date is that of a board of both."
    )


PACE_OF = {"heartwood": "slower", "sapwood": "faster"}  # against the rest of the log, likely


def unsure_pace(species: str | woods.Species, part: str = "mixed") -> str:
    """Return what a time told of a part of the log has to say with it, where that part has no rate of its own.

    Parameters
    ----------
    species : str or Species
    part : {"mixed", "heartwood", "sapwood"}

    Returns
    -------
    str
        Nothing where `dated_part` has that part dated.

    Examples
    --------
    >>> unsure_pace("loblolly pine", "sapwood")
    'at what pace its sapwood dries is not known here, likely faster than this'
    >>> unsure_pace("loblolly pine"), unsure_pace("sweetgum", "sapwood")
    ('', '')
    """
    if dated_part(species, part)[0] == part:
        return ""
    return f"at what pace its {part} dries is not known here, likely {PACE_OF[part]} than this"


def _of_own(wood: Any) -> Any:
    """The rate of a wood that the table lacks: its relative's, moved along the line; or the line's of its kind."""
    slope, lines, spreads = density_lines()
    unsure = slope * wood.basic_sg * wood.basic_sg_varies
    heavier = (HEAVY_SLOPE - slope) * max(wood.basic_sg - HEAVY_SG, 0.0)
    if wood.like:
        kin, known = woods.get(wood.like), _rates()[wood.like]
        per_day = known.per_day * np.exp(slope * (wood.basic_sg - kin.basic_sg) + heavier)
        apart = (known.sd_log_rate, SD_LOG_RELATIVE, unsure)
        return Rate(float(per_day), float(np.sqrt(np.sum(np.square(apart)))), "a relative")
    per_day = np.exp(slope * wood.basic_sg + lines[wood.kind] + heavier)
    apart = np.sqrt(np.polyval(spreads[wood.kind], wood.basic_sg) + unsure**2)
    return Rate(float(per_day), float(apart), "specific gravity")


@cache
def density_lines() -> tuple[float, dict[str, float], dict[str, np.ndarray]]:
    """Return the line of the log rate on specific gravity, read off the woods that have nothing else: they lie on it.

    Returns
    -------
    tuple
        The slope; the level of each kind, {kind: log rate at 0}; how well it is known, {kind: variance as a parabola}.

    Examples
    --------
    >>> slope, levels, _ = density_lines()
    >>> bool(slope < 0 and levels["hardwood"] > levels["softwood"])
    True
    """
    table = tables.read("drying_rates").query("basis == 'specific gravity'")
    sg = table.species.map(lambda name: woods.get(name).basic_sg).to_numpy()
    soft = (table.kind == "softwood").to_numpy()
    by = np.column_stack([sg, ~soft, soft]).astype(float)
    slope, hard_level, soft_level = np.linalg.lstsq(by, np.log(table.rate_per_day.to_numpy()), rcond=None)[0]
    variance = table.sd_log_rate.to_numpy() ** 2
    spreads = {
        kind: np.polyfit(sg[of], variance[of], 2) for kind, of in (("hardwood", ~soft), ("softwood", soft))
    }
    return slope, {"hardwood": hard_level, "softwood": soft_level}, spreads


@cache
def _rates() -> dict[str, Rate]:
    return {
        row.species: Rate(
            row.rate_per_day,
            row.sd_log_rate,
            row.basis,
            None if blank(row.sapwood_times) else row.sapwood_times,
        )
        for row in tables.read("drying_rates").itertuples()
    }


def thickness(value: float | str) -> float:
    """Nominal thickness in inches from a number or the trade's quarters.

    Warns (`RangeWarning`) of what is thicker than 8/4, or thinner than 1/2 in: the rule was checked from 4/4 to 8/4.

    Examples
    --------
    >>> thickness("5/4")
    1.25
    """
    if isinstance(value, str):
        value = nominal_in(value)
    if np.ndim(value):
        raise InputError(f"thickness_in = {value!r}: expected one thickness; `grid` takes several.")
    inches: float = within("thickness_in", value, 0.25, 6, "in", "Is it in quarters or mm? 8/4 is 2.0.")
    if not _THINNEST_IN <= inches <= _THICKEST_IN:
        if inches > _THICKEST_IN:
            how = f"thicker than {thickness_name(_THICKEST_IN)}, the thickest"
        else:
            how = f"thinner than {thickness_name(_THINNEST_IN)}, and far thinner than 4/4, the thinnest"
        warnings.warn(
            f"{thickness_name(inches)} is {how} that the drying times were checked on. They are carried on from there, "
            "and are rougher.",
            RangeWarning,
            stacklevel=2,
        )
    return inches


@cache
def felt_weather(site: climate.Site) -> tuple[np.ndarray, np.ndarray]:
    """The site's year as the wood feels it: temperature factor and capped EMC of each of 365 days.

    Examples
    --------
    >>> factor, emc = felt_weather(climate.get("Madison"))
    >>> len(factor), bool(factor[15] < factor[196])
    (365, True)
    """
    days = site.daily()
    return temperature_factor(days.temp_f.to_numpy()), np.minimum(days.emc_pct.to_numpy(), air.EMC_CAP_PCT)


def felt_from_months(temp_f: np.ndarray, rh_pct: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The years of many places as the wood feels them, from their months: as `felt_weather` of each, but at once.

    Parameters
    ----------
    temp_f, rh_pct : array (places, 12)

    Returns
    -------
    (ndarray, ndarray)
        Temperature factor and capped EMC, (places, 365).

    Examples
    --------
    >>> month = climate.get("Madison").monthly
    >>> factor, emc = felt_from_months(month.temp_f.to_numpy()[None], month.rh_pct.to_numpy()[None])
    >>> bool(np.allclose((factor[0], emc[0]), felt_weather(climate.get("Madison"))))
    True
    """
    temp, rh = (months @ climate.day_weights().T for months in (temp_f, rh_pct))
    emc = np.minimum(air.emc_pct(temp, np.clip(rh, 1, 100)), air.EMC_CAP_PCT)
    return np.asarray(temperature_factor(temp)), emc


def day_of_year(when: date) -> int:
    """Return the day of the year, 0 to 364; 29 February counts as the 28th.

    Examples
    --------
    >>> day_of_year(date(2026, 5, 15))
    134
    """
    return (
        int(climate.MONTH_DAYS[: when.month - 1].sum())
        + min(when.day, climate.MONTH_DAYS[when.month - 1])
        - 1
    )


_WHEN = "expected a date like 2026-05-01, 1 May 2026 or 5/31/2026, or a month"


def start_date(start: Any, today: date | None = None) -> date:
    """A date from a date, a date as people write it, or a month: its next 15th, never one that is past.

    Parameters
    ----------
    start : date, str or int
        ``"2026-05-01"``, ``"1 May 2026"``, ``"5/31/2026"``, a `datetime.date`, a month's number or name. The years
        1950 to 2100. ``"5/6/2026"`` is refused, as in the records: it may be May or June.
    today : date, optional
        The day to look ahead from for a month; today if left out.

    Returns
    -------
    date

    Raises
    ------
    InputError
        No such day or month, another century, or a day and month that may be the wrong way round.

    Examples
    --------
    >>> start_date("2026-05-01")
    datetime.date(2026, 5, 1)
    >>> start_date("May 31, 2026") == start_date("5/31/2026") == start_date("2026-05-31")
    True
    >>> start_date("May", date(2026, 11, 28)), start_date(12, date(2026, 11, 28))
    (datetime.date(2027, 5, 15), datetime.date(2026, 12, 15))
    """
    if isinstance(start, str) and any(c.isdigit() for c in start) and not start.strip().isdigit():
        found, why = date_of(start.strip(), "", in_a_file=False)
        if found is None:
            raise InputError(f"start = {start!r}: {_WHEN}.{why}{'.' if why else ''}")
        return found.date()
    if hasattr(start, "to_pydatetime"):
        start = start.to_pydatetime()
    if isinstance(start, np.datetime64):
        start = start.astype("datetime64[D]").item()
    if np.ndim(start) or (blank(start) and not isinstance(start, str)):
        raise InputError(f"start = {start}: {_WHEN}.")
    if hasattr(start, "date"):
        start = start.date()
    if isinstance(start, date):
        within("start, year", start.year, 1950, 2100)
        return start
    now = today or date.today()
    this_year = date(now.year, climate.month_number(start), 15)
    return this_year if this_year >= now else this_year.replace(year=now.year + 1)
