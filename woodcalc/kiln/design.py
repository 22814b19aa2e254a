"""A solar kiln of one's own on paper: how much glass the wood can bear, how large a box, what vents and fans, how long.

Sizes follow from the load; what the sun does to it, from `ways.solar` with the same glass, fans and walls. What carries
it (wind, snow, footings) and its wiring are not worked out here.
"""

from __future__ import annotations

import math
import warnings
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import climate, moisture, tables, units
from woodcalc import species as woods
from woodcalc.checks import RangeWarning, blank, within
from woodcalc.drying.safe_loss import nominal_inches, safe_loss_pct_per_day
from woodcalc.kiln import ways
from woodcalc.kiln.collector import Collector

if TYPE_CHECKING:
    import pandas as pd

RULE_BF_PER_FT2 = (
    10.0  # Wengert & Meyer, Processing Trees to Lumber (Univ. of Wisconsin): D01 of the rules in print
)
STICKER_IN = 0.75
PLENUM_IN, OVERHEAD_IN = (
    18.0,
    24.0,
)  # free on either side of the stack, and over it for the fans: common practice
STACK_END_IN = 6.0  # free at either end of the stack: common practice
FAN_DAYS = 30  # days of fans that a cost is told for
AIR_DRIED_PCT = 20.0  # to which a stack outdoors is dried before a kiln takes it: common practice
FIRST_DAYS = 20  # in which green wood is most at risk: judgment
GLASS_FT2 = (0.02, 0.5)  # ft2 of glass for a board foot, between which the limits are looked for
END_DAYS = 120  # a kiln that takes longer in its best month never ends: judgment
# Stacks that a kiln is built for, the smallest first: boards of 8 ft, end to end in a long one. Common practice
STACKS_FT = (
    (8.0, 4.0),
    (8.0, 5.0),
    (8.0, 6.0),
    (16.0, 4.0),
    (16.0, 5.0),
    (16.0, 6.0),
    (24.0, 6.0),
    (24.0, 8.0),
)
HIGHEST_FT = 4.5  # stack that is loaded by hand: common practice
LESS_SHADE_H = 1.0  # that a saw among the trees gains, where a change is told
# A vent draws by the warmth of the box: speed = 0.6 sqrt(2 g h dT / T), ASHRAE Handbook Fundamentals, ch. 16, from
# memory; between vents so far apart, with air so much warmer than outdoors: assumptions
_VENT_SHARE, _VENTS_APART_FT, _VENT_RISE_F = 0.6, 5.0, 15.0


@dataclass(frozen=True)
class Box:
    """The stack, and the inside of the box around it.

    Attributes
    ----------
    stack_ft, inside_ft : tuple of float
        Length, width (the way the air goes) and height.
    layers : int
    gap_ft2 : float
        Open between the layers, the long side of the stack.
    volume_ft3 : float
        Inside.
    """

    stack_ft: tuple[float, float, float]
    inside_ft: tuple[float, float, float]
    layers: int
    gap_ft2: float

    @property
    def volume_ft3(self) -> float:
        """Inside of the box, ft3."""
        return math.prod(self.inside_ft)


def box_for(load_bf: float, thickness_in: float | str, length_ft: float = 8.0, width_ft: float = 4.0) -> Box:
    """Return the stack that a load makes, and the box that it needs.

    Parameters
    ----------
    load_bf : float
        50 to 20,000 bf.
    thickness_in : float or str
        Nominal, 0.75 to 4 in.
    length_ft, width_ft : float
        Of the stack: 4 to 24 and 2 to 8 ft.

    Returns
    -------
    Box

    Examples
    --------
    >>> box = box_for(450, 1)
    >>> box.layers, [round(f, 1) for f in box.stack_ft], round(box.volume_ft3)
    (16, [8.0, 4.0, 2.3], 273)
    """
    load = within("load_bf", load_bf, 50, 20000, "bf")
    length = within("length_ft", length_ft, 4, 24, "ft")
    width = within("width_ft", width_ft, 2, 8, "ft")
    thick = nominal_inches(thickness_in)
    a_layer = length * width * 0.9 * max(thick, 1.0)  # a tenth open between the boards: common practice
    layers = math.ceil(load / a_layer)
    height = layers * (thick + STICKER_IN) / 12
    return Box(
        (length, width, height),
        (length + 2 * STACK_END_IN / 12, width + 2 * PLENUM_IN / 12, height + OVERHEAD_IN / 12),
        layers,
        layers * STICKER_IN / 12 * length,
    )


def stack_ft(load_bf: float, thickness_in: float | str) -> tuple[float, float]:
    """Return length and width of the smallest usual stack that holds a load and can be loaded by hand, ft.

    Examples
    --------
    >>> stack_ft(800, "5/4"), stack_ft(2000, 1)
    ((8.0, 4.0), (16.0, 5.0))
    """
    fits = (size for size in STACKS_FT if box_for(load_bf, thickness_in, *size).stack_ft[2] <= HIGHEST_FT)
    return next(fits, STACKS_FT[-1])


@dataclass(frozen=True, eq=False)
class SolarKiln:
    """A solar kiln as somebody would build it, for one wood and place.

    Attributes
    ----------
    species : str or Species
    thickness_in : float or str
    site : str or Site
    load_bf, mc_start_pct, mc_target_pct, glazing, insulation_r, fan_hours, fan_ft_min, fan_w, shade_h, part :
        As in `ways.solar`.
    glass_ft2, slope_deg, facing_deg : float
        As `collector_ft2` there and so on; a tenth of the load and the latitude if not given.
    night_fans_above_pct : float or None
        As there; here 20 if not given, as the rule in print has it.
    length_ft, width_ft : float
        Of the stack.
    usd_per_kwh : float
        0 to 2.

    Raises
    ------
    InputError
        A value outside its range, or a site without sunshine figures.

    Examples
    --------
    >>> mine = SolarKiln("northern red oak", 1, "Madison", 450)
    >>> round(mine.glass), round(mine.fan_cfm), round(mine.vent_in2), round(mine.watts)
    (45, 1200, 84, 135)
    >>> mine.glass < mine.most_glass_ft2
    True
    """

    species: str | woods.Species
    thickness_in: float | str
    site: str | climate.Site
    load_bf: float = 450.0
    mc_start_pct: float | None = None
    mc_target_pct: float = 8.0
    glass_ft2: float | None = None
    slope_deg: float | None = None
    facing_deg: float = 180.0
    shade_h: tuple[float, float] = (0.0, 0.0)
    glazing: int = 2
    insulation_r: float = 11.0
    fan_ft_min: float = 150.0
    fan_w: float | None = None
    fan_hours: tuple[float, float] | str = (8, 18)
    night_fans_above_pct: float | None = 20.0
    length_ft: float = 8.0
    width_ft: float = 4.0
    usd_per_kwh: float = 0.17
    part: str = "mixed"

    def __post_init__(self) -> None:
        within("usd_per_kwh", self.usd_per_kwh, 0, 2, "dollars", "Is it in cents?")
        place = climate.get(self.site)
        if not place.has_sun:
            place.hourly_day(1)  # says which figures are missing
        self.run(1, days=1, stop=False, rough=4)  # refuses what `ways.solar` refuses

    @property
    def glass(self) -> float:
        """Glass, ft2: as given, or by the rule in print."""
        return self.load_bf / RULE_BF_PER_FT2 if self.glass_ft2 is None else self.glass_ft2

    @property
    def start_pct(self) -> float:
        """What the charge starts at: as given, or green."""
        return float(
            moisture.start_mc_pct(woods.get(self.species), self.mc_start_pct, self.part, name="mc_start_pct")
        )

    @property
    def slope(self) -> float:
        """Slope of the glass, degrees."""
        return abs(climate.get(self.site).latitude) if self.slope_deg is None else self.slope_deg

    @cached_property
    def box(self) -> Box:
        """The stack, and the inside of the box around it."""
        return box_for(self.load_bf, self.thickness_in, self.length_ft, self.width_ft)

    @property
    def safe_loss_pct_per_day(self) -> float | None:
        """Greatest safe loss of the wood, % MC a day; None if none is published."""
        found: Any = safe_loss_pct_per_day(woods.get(self.species), nominal_inches(self.thickness_in))
        return None if found is None else float(found)

    @property
    def fan_cfm(self) -> float:
        """Air that the fans have to move through the stack, cubic feet a minute."""
        return self.fan_ft_min * self.box.gap_ft2

    @property
    def watts(self) -> float:
        """What the fans draw, W."""
        return ways.Fans(self.fan_hours, self.fan_ft_min, math.inf, self.fan_w).watts(self.load_bf)

    @property
    def fan_usd(self) -> float:
        """Fans for 30 days by their hours, dollars; day and night costs 24 hours a day."""
        fans = ways.Fans(self.fan_hours, self.fan_ft_min, math.inf, self.fan_w).running(1)
        hours = 24.0 if fans is None else float(fans.sum())
        return self.watts / 1000 * hours * FAN_DAYS * self.usd_per_kwh

    @property
    def vent_cfm(self) -> float:
        """Air that passes the open vents, cubic feet a minute."""
        return ways.vent_ft3_per_h(self.load_bf, nominal_inches(self.thickness_in)) / 60

    @property
    def vent_in2(self) -> float:
        """Open area of the inlets, and again of the outlets, square inches."""
        speed_m_s = _VENT_SHARE * math.sqrt(
            2 * 9.81 * _VENTS_APART_FT * units.M_PER_FT * (_VENT_RISE_F / units.F_PER_C) / 300.0
        )
        return self.vent_cfm / (speed_m_s * 60 / units.M_PER_FT) * 144

    @cached_property
    def most_glass_ft2(self) -> float | None:
        """Largest glass under which no cloudless day of the first weeks is over the safe loss, in any month.

        None if no safe loss is published for the wood; infinity if half a square foot for a board foot is safe.
        """
        safe = self.safe_loss_pct_per_day
        if safe is None:
            return None

        def bears(ft2: float) -> bool:
            runs = (
                self.run(m, ft2, days=FIRST_DAYS, sunny=True, stop=False, rough=4) for m in self._sunniest
            )
            return all(not run.too_fast_days for run in runs)

        return _edge(bears, *(each * self.load_bf for each in GLASS_FT2))

    @cached_property
    def least_glass_ft2(self) -> float | None:
        """Least glass with which the charge is dry in 120 days from its best month on; None if none does it."""

        def misses(ft2: Any) -> Any:
            runs = (self.run(m, ft2, days=END_DAYS, rough=4) for m in (4, 5, 6))
            return all(blank(run.days_to()) for run in runs)

        least = _edge(misses, *(each * self.load_bf for each in GLASS_FT2))
        return None if math.isinf(least) else least

    @cached_property
    def _looks(self) -> dict[Any, Any]:
        return {}

    def looks(self, month: int) -> tuple[ways.Run, ways.Run]:
        """Two rough looks at a charge loaded in the middle of a month, kept: all of it, and cloudless first weeks."""
        if month not in self._looks:
            clear = self.run(month, days=FIRST_DAYS, sunny=True, stop=False, rough=4)
            self._looks[month] = self.run(month, days=365, rough=4), clear
        found: tuple[ways.Run, ways.Run] = self._looks[month]
        return found

    def by_month(self, month: int) -> dict[str, Any]:
        """What comes of loading in the middle of a month: a row of `months`."""
        run, clear = self.looks(month)
        return dict(
            days=run.days_to(), kwh=run.kwh, cost_usd=run.kwh * self.usd_per_kwh, too_fast_days=run.too_fast_days,
            worst_loss_pct=clear.daily.loss_pct.max(), temp_max_f=clear.daily.temp_max_f.max(),
            rise_f=clear.daily.rise_f.median(), too_hot=run.too_hot,
        )  # fmt: skip

    @cached_property
    def months(self) -> pd.DataFrame:
        """By the month in which it is loaded, on the 15th.

        Returns
        -------
        DataFrame
            Index `month`: `days` (NaN: not in a year), `kwh`, `cost_usd`, `too_fast_days` (of the month's average
            days), `worst_loss_pct` (of the first weeks, cloudless), `temp_max_f`, `rise_f` (cloudless, of those weeks),
            `too_hot`.
        """
        import pandas as pd

        table = pd.DataFrame(
            [self.by_month(m) for m in range(1, 13)], index=pd.RangeIndex(1, 13, name="month")
        )
        return table.astype({"too_fast_days": "Int64"})

    def bears_ft2(self, month: int) -> float | None:
        """Glass under which the worst cloudless day of its first weeks is just safe, if it is loaded in a month.

        By straight lines through two areas and then two more, near enough for a dial; `most_glass_ft2` looks closer, at
        all months. None if no safe loss is published; infinity if half a square foot for a board foot is safe.
        """
        if month not in self._bears:
            self._bears[month] = self._bears_ft2(month)
        found: float | None = self._bears[month]
        return found

    @cached_property
    def _bears(self) -> Any:
        return {}

    def _bears_ft2(self, month: Any) -> Any:
        safe = self.safe_loss_pct_per_day
        if safe is None:
            return None
        losses = self.looks(month)[1].daily.loss_pct
        worst, until = (
            float(losses.max()),
            int(losses.idxmax()) + 2,
        )  # the worst day hardly moves with the glass
        low, high = (each * self.load_bf for each in GLASS_FT2)
        area = min(max(self.glass, low), high)
        slope = worst / area
        for _ in range(2):
            other = min(max(area + (safe - worst) / slope, 0.4 * area, low), 3 * area, high)
            if math.isclose(other, area, rel_tol=0.03):
                break
            there = self.run(month, other, days=until, sunny=True, stop=False, rough=4)
            met = (float(there.daily.loss_pct.max()) - worst) / (other - area)
            slope = met if met > 0 else slope
            area, worst = other, float(there.daily.loss_pct.max())
        found = area + (safe - worst) / slope
        return math.inf if found > high else max(found, low)

    def changed(self) -> dict[str, SolarKiln]:
        """This kiln with one thing changed, by the words for it: only what makes sense for it.

        Examples
        --------
        >>> list(SolarKiln("black cherry", 1, "Madison", 450).changed())[:2]
        ['one layer of glazing more', 'walls of R-21 in place of R-11']
        """
        shade = sum(self.shade_h)
        fast = min(1.5 * self.fan_ft_min, 400.0)
        watts = None if self.fan_w is None else self.fan_w * (fast / self.fan_ft_min) ** 2
        better = min(self.insulation_r + 10, 60.0)
        changes: dict[str, dict[str, Any]] = {}
        if self.glazing < 3:
            changes["one layer of glazing more"] = dict(glazing=self.glazing + 1)
        if better > self.insulation_r:
            changes[f"walls of R-{better:g} in place of R-{self.insulation_r:g}"] = dict(insulation_r=better)
        changes["half as much glass again"] = dict(glass_ft2=1.5 * self.glass)
        if shade:
            less = max(shade - LESS_SHADE_H, 0.0) / shade
            changes["an hour less of shade"] = dict(shade_h=tuple(less * h for h in self.shade_h))
        else:
            changes["an hour of shade, morning and evening"] = dict(shade_h=(LESS_SHADE_H, LESS_SHADE_H))
        if self.fan_hours == "always":
            changes["fans off at night"] = dict(fan_hours=(8, 18), night_fans_above_pct=None)
        elif self.night_fans_above_pct is not None:
            changes["fans off at night"] = dict(night_fans_above_pct=None)
        else:
            changes["fans on day and night until 20 %"] = dict(night_fans_above_pct=20.0)
        if fast > self.fan_ft_min:
            changes["air half as fast again"] = dict(fan_ft_min=fast, fan_w=watts)
        if self.facing_deg != 180:
            changes["facing south"] = dict(facing_deg=180.0)
        if self.start_pct > AIR_DRIED_PCT + 2:
            changes[f"dried outdoors to {AIR_DRIED_PCT:g} % first"] = dict(mc_start_pct=AIR_DRIED_PCT)
        return {words: replace(self, **change) for words, change in changes.items()}

    def changes(self, month: int) -> pd.DataFrame:
        """What one change of the kiln buys, loaded in the middle of a month.

        Returns
        -------
        DataFrame
            Index `change`: `days`, `cost_usd`, `days_fewer`, `usd_less` and `worst_loss_pct`.

        Examples
        --------
        >>> bool(SolarKiln("black cherry", 1, "Madison", 450).changes(5).days_fewer["half as much glass again"] > 0)
        True
        """
        import pandas as pd

        now = self.by_month(month)
        rows = {words: each.by_month(month) for words, each in self.changed().items()}
        table = pd.DataFrame.from_dict(rows, orient="index")[["days", "cost_usd", "worst_loss_pct"]]
        table.insert(2, "days_fewer", now["days"] - table.days)
        table.insert(3, "usd_less", now["cost_usd"] - table.cost_usd)
        return table.rename_axis("change")

    @property
    def risk(self) -> float | None:
        """Greatest loss of a cloudless day of the first weeks over the safe loss, of all months; over 1 it checks."""
        safe = self.safe_loss_pct_per_day
        return None if safe is None else float(self.months.worst_loss_pct.max()) / safe

    @cached_property
    def sun_kwh(self) -> np.ndarray:
        """Sun that the black surface keeps, kWh on an average day of each month (12)."""
        hours = self._collector().year(climate.get(self.site))[2].reshape(365, 24).sum(1)
        month = np.repeat(np.arange(12), climate.MONTH_DAYS)
        return np.bincount(month, hours) / np.bincount(month) * self.glass * units.M2_PER_FT2 / 1000

    def beside_print(self) -> pd.DataFrame:
        """Return what rules in print say beside this kiln: `rule`, `printed`, `mine`, `unit`, `source`."""
        import pandas as pd

        rules = tables.read("solar_kiln_rules").set_index("id")
        most = self.most_glass_ft2
        wet = self.run(7, days=FIRST_DAYS, sunny=True, stop=False)
        dry = self.run(7, days=60, sunny=True, mc_start_pct=max(12.0, self.mc_target_pct + 4))
        rows = [
            ("D01", self.load_bf / self.glass, "bf/ft2"),
            ("D01", math.nan if most is None else self.load_bf / most, "bf/ft2, the most glass that is safe"),
            ("D02", self.slope, "degrees"),
            ("D06", float(wet.daily.rise_f.median()), "F, wet, greatest hour of a cloudless July day"),
            ("D06", float(dry.daily.rise_f.median()), "F, nearly dry, greatest hour of a cloudless July day"),
            ("D08", float(dry.daily.temp_max_f.max()), "F, nearly dry, cloudless July"),
        ]
        return pd.DataFrame(
            [(rules.item[k], rules.value[k], mine, unit, rules.source[k]) for k, mine, unit in rows],
            columns=["rule", "printed", "mine", "unit", "source"],
        )

    def _collector(self) -> Collector:
        return Collector(self.glass, self.slope, self.facing_deg, self.glazing, self.shade_h)

    @cached_property
    def _sunniest(self) -> set[int]:
        """Months in which a cloudless sun on this glass is strongest, and in which it is warmest besides."""
        place = climate.get(self.site)
        hours = self._collector().year(place, sunny=True)[2].reshape(365, 24).sum(1)
        month = np.repeat(np.arange(1, 13), climate.MONTH_DAYS)
        strongest = int(np.argmax(np.bincount(month, hours)[1:] / climate.MONTH_DAYS)) + 1
        return {strongest, int(place.monthly.temp_f.to_numpy().argmax()) + 1}

    def run(self, month: int, glass_ft2: float | None = None, **change: Any) -> ways.Run:
        """Return a run of this kiln, loaded in the middle of a month.

        Parameters
        ----------
        month : int
            1 to 12.
        glass_ft2 : float, optional
            Another area of glass.
        **change
            Further settings of `ways.solar`, or other ones.
        """
        given = dict(
            load_bf=self.load_bf, mc_start_pct=self.mc_start_pct, mc_target_pct=self.mc_target_pct,
            collector_ft2=self.glass if glass_ft2 is None else glass_ft2, slope_deg=self.slope,
            facing_deg=self.facing_deg, glazing=self.glazing, insulation_r=self.insulation_r,
            fan_hours=self.fan_hours, fan_ft_min=self.fan_ft_min, fan_w=self.fan_w, shade_h=self.shade_h,
            night_fans_above_pct=self.night_fans_above_pct, part=self.part,
        )  # fmt: skip
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RangeWarning)  # hot glass is what is looked for
            run: ways.Run = ways.solar(self.species, self.thickness_in, self.site, month, **given | change)
        return run


def _edge(holds: Any, low: float, high: float) -> float:
    """Where a statement that holds for little glass and not for much ends; infinity if it holds for all."""
    if holds(high):
        return math.inf
    for _ in range(7):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low
