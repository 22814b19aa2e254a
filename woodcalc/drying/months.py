"""The month to saw: days, danger of checks and danger of stain of each of the twelve, and which is the best."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc import climate, moisture
from woodcalc import species as woods
from woodcalc.checks import blank
from woodcalc.drying.danger import BARE, CHECKS_SAY, Care, checks_by_month, checks_say, dates_say
from woodcalc.drying.rate import (
    REFERENCE_WIDTH_FT,
    SD_LOG_PLACE,
    biot,
    felt_weather,
    rate,
    thickness,
)
from woodcalc.drying.safe_loss import NEAR, bears
from woodcalc.drying.seasons import days_to_target
from woodcalc.drying.stain import (
    FRESH,
    HIGH,
    OTHERS_TIMES,
    SOME,
    STAIN_SAYS,
    Yard,
    flying_months,
    insects_of,
    stain_by_month,
    stain_says,
    stains_easily,
)
from woodcalc.sizes import thickness_name

if TYPE_CHECKING:
    import pandas as pd


# Shares of what is safe that differ by so little of themselves are one, of paces that are known to a tenth at best: a
# wood that is a little faster raises them all and moves no month. Under NEAR none is felt. Some stain weighs as two
# such steps. All judgment.
ALIKE = 0.15
_STAIN_WEIGHS, _STAIN_FADES = 2 * ALIKE, (0.85, 1.15)
_SHARE_OF_PACE = 0.7  # the power of the pace that a day's loss goes with, about: it was read off the slab
BAD = 2  # a level from which on a month is called a bad one: every board in a dry week, or high for stain
_NEVER_DAYS = 4 * 365.0  # that a wait counts as which has no end
POWDERPOST = "lyctid powderpost beetles"  # that come to boards, and not to logs alone
# What slows a stack, the least first, and how a sentence names it
SLOWER = (
    (Care(shade=True), "shade cloth on the sunny and the windward side"),
    (Care(shade=True, closer=True), "shade cloth, and boards and piles closer together"),
    (Care(shade=True, closer=True, shed=True), "a shed, shade cloth, and boards closer together"),
)


def _harm(table: Any) -> Any:
    """One number for each month: the outermost boards' share of what is safe, from where it is felt, and stain."""
    return np.maximum(table.outer.fillna(0), NEAR / (1 + ALIKE)) + _STAIN_WEIGHS * table.stain_harm


def as_good(table: pd.DataFrame) -> list[int]:
    """Return the months that are about as good as the mildest, the shortest wait first.

    Never a bad month where another is not, and never one of a higher level of stain. Where nothing is known of checks,
    the coolest.

    Parameters
    ----------
    table : DataFrame
        As in `Months`.

    Returns
    -------
    list of int

    Examples
    --------
    >>> as_good(month_to_saw("northern red oak", "4/4", "Madison").table)
    [2, 1, 12, 11]
    """
    danger, days = table.danger.to_numpy(), table.days.fillna(np.inf).to_numpy()
    if table.checks.isna().all():
        mild = table[danger == danger.min()]
        return [int(mild.temp_f.idxmin())]
    floored = np.maximum(danger, BAD - 1)
    harm, stain = np.where(floored == floored.min(), _harm(table).to_numpy(), np.inf), table.stain.to_numpy()
    near = (harm <= harm.min() * (1 + ALIKE)) & (stain <= stain[harm.argmin()])
    return [int(m) + 1 for m in np.argsort(days, kind="stable") if near[m]]


@dataclass(frozen=True, eq=False)
class Months:
    """Twelve months in which a stack may be built; made by `month_to_saw`.

    Attributes
    ----------
    species : Species
    thickness_in : float
    site : Site
    table : DataFrame
        Index month 1-12: `days` to 20 % (NaN: not within four years), `checks` (0 to 3, NaN: not known), `stain` (0 to
        2), `outer` and `dry` (shares of what is safe), `first_loss_pct` and `dated_loss_pct` of
        `checks_by_month`, `worst_month` (of checks), `warm_wet_days`, `stain_harm`
        (0 and up, faded around the levels), `danger` (the greater level), `temp_f`.
    note : str
        Where the pace that checks are held against is not one in print for the wood itself; "" where it is.
    mc_pct, airflow, pile_width_ft, care, yard, hours_to_sticks, part :
        As they were given.
    """

    species: woods.Species
    thickness_in: float
    site: climate.Site
    table: pd.DataFrame
    note: str = ""
    mc_pct: float = 20.0
    airflow: str = "ordinary"
    pile_width_ft: float = REFERENCE_WIDTH_FT
    care: Care = BARE
    yard: Yard = FRESH
    hours_to_sticks: float = 12.0
    part: str = "mixed"

    @cached_property
    def best(self) -> int:
        """The month of the least danger; of those about as good the one with the shortest wait (`as_good`).

        Examples
        --------
        >>> month_to_saw("northern red oak", "4/4", "Madison").best
        2
        """
        return as_good(self.table)[0]

    @cached_property
    def runner_up(self) -> int:
        """The next month that is about as good, 0 for none: the mildest, or the next in days if the best is that.

        Examples
        --------
        >>> month_to_saw("northern red oak", "4/4", "Madison").runner_up
        1
        """
        best, *others = as_good(self.table)
        if not others:
            return 0
        mildest = min(others, key=lambda month: _harm(self.table)[month])
        return int(mildest if _harm(self.table)[mildest] < _harm(self.table)[best] else others[0])

    @property
    def margin_pct(self) -> int:
        """How far the shares of what is safe may be off: the wood's own pace and how stacks differ, in fives.

        Examples
        --------
        >>> month_to_saw("northern red oak", "4/4", "Madison").margin_pct
        20
        """
        return int(
            5 * np.ceil(20 * np.hypot(_SHARE_OF_PACE * rate(self.species).sd_log_rate, SD_LOG_PLACE) - 0.5)
        )

    @property
    def _checks_known(self) -> bool:
        return bool(self.table.checks.notna().any())

    @cached_property
    def bad(self) -> tuple[int, ...]:
        """Months in which every board is in danger of checks, or stain is likely.

        Examples
        --------
        >>> month_to_saw("eastern white pine", "4/4", "Madison").bad
        (6, 7, 8)
        """
        return tuple(int(m) for m in self.table.index[self.table.danger >= BAD])

    def reason(self, month: int) -> str:
        """Return what can be said of a month: checks, stain, days.

        Examples
        --------
        >>> month_to_saw("northern red oak", "4/4", "Madison").reason(7)
        'only the outermost boards may check, in a dry week, some stain, 91 days to 20 %'
        """
        row = self.table.loc[month]
        checks = self._checks(month) or "checks not known"
        stain = stain_says(self.species, row.stain, row.warm_wet_days if self.part != "heartwood" else 0)
        return f"{checks}, {stain}, {self._days(row.days)}"

    def says_of_dates(self, month: int) -> str:
        """Return where the dates' own fastest day is on the other side of what is safe, with both; "" if it isn't.

        Examples
        --------
        >>> month_to_saw("northern red oak", "8/4", "Mobile").says_of_dates(6)[:66]
        'On its fastest day an ordinary board loses 0.9 %, by the dates 1.5'
        """
        row = self.table.loc[month]
        return dates_say(row, bears(self.species, self.thickness_in).loss_pct)

    def _checks(self, month: int) -> str:
        row = self.table.loc[month]
        comes = 0 if row.worst_month == month or blank(row.worst_month) else int(row.worst_month)
        return checks_say(row.checks, row.outer, comes)

    def with_care(self, care: Care, month: int) -> tuple[float, float]:
        """Return the levels of checks and of stain in a month, were this done for the stack.

        Examples
        --------
        >>> month_to_saw("yellow-poplar", "8/4", "Madison").with_care(Care(shade=True), 6)
        (0.0, 2.0)
        """
        checks, stain = _what_spoils(
            self.species, self.thickness_in, self.site, self.airflow, self.pile_width_ft, care, self.yard,
            self.hours_to_sticks, self.part,
        )  # fmt: skip
        return float(checks.level[month]), float(stain.level[month])

    def _days(self, days: float) -> str:
        to = f"down to {self.mc_pct:g} %"
        return f"not {to} within four years" if blank(days) else f"{days:.0f} days to {self.mc_pct:g} %"

    def advice(self) -> str:
        """Return the best month with its reason, and the bad ones, in a sentence or two.

        Examples
        --------
        >>> said = month_to_saw("northern red oak", "4/4", "Madison").advice()
        >>> said[:76]
        'Saw and stack in February: no board is likely to check, no stain, 129 days t'
        >>> said.split(". ")[-1]
        'January is as good, 26 days longer.'
        """
        return " ".join(filter(None, [self._which(), self._next_best(), self._beetles(), self.note]))

    def _next_best(self) -> Any:
        if not self.runner_up or len(self.bad) == 12:
            return ""
        days = self.table.days
        longer = days[self.runner_up] - days[self.best]
        name = climate.MONTH_NAMES[self.runner_up - 1]
        return f"{name} is as good" + (f", {longer:.0f} days longer." if longer >= 1 else ".")

    def draws_beetles(self, month: int) -> bool:
        """Whether powderpost beetles lay in the sapwood of this wood in a month.

        Examples
        --------
        >>> walnut = month_to_saw("black walnut", "4/4", "Madison")
        >>> walnut.draws_beetles(6), walnut.draws_beetles(10)
        (True, False)
        """
        return self.part != "heartwood" and POWDERPOST in insects_of(self.species, month, self.site)

    def _beetles(self) -> str:
        if not self.draws_beetles(self.best):
            return ""
        name = climate.MONTH_NAMES[self.best - 1]
        when = months_told(flying_months(POWDERPOST, self.site))
        return f"Its sapwood draws powderpost beetles in {when}: in {name} keep bark and old wood away."

    def _which(self) -> str:
        name = climate.MONTH_NAMES[self.best - 1]
        first = f"Saw and stack in {name}: {self.reason(self.best)}."
        if len(self.bad) == 12:
            return (
                f"No month is a good one here. The mildest is {name}: {self.reason(self.best)}. "
                f"{self._if_it_must_be(self.best)}"
            )
        of = "" if self._checks_known else " for stain"
        if not self.bad:
            return f"{first} No month is a bad one{of}."
        many = "Bad months" if len(self.bad) > 1 else "A bad month"
        return f"{first} {many}{of}: {months_told(self.bad)}."

    def against(self, month: int) -> str:
        """Return why a month is a bad one, what slows the stack enough, and which is better; "" if it isn't bad.

        Examples
        --------
        >>> pine = month_to_saw("eastern white pine", "4/4", "Madison")
        >>> pine.against(1), pine.against(7)[:71]
        ('', 'July is a bad month to saw eastern white pine 4/4 at Madison, WI: stain')
        """
        row = self.table.loc[month]
        if row.danger < BAD:
            return ""
        why = [self._checks(month)] if not blank(row.checks) and row.checks >= BAD else []
        why += [STAIN_SAYS[int(row.stain)]] if row.stain >= BAD else []
        told = (
            f"{climate.MONTH_NAMES[month - 1]} is a bad month to saw {self.species.name} "
            f"{thickness_name(self.thickness_in)} at {self.site.name}: {' and '.join(why)}."
        )
        best = self.best
        if self.table.danger[best] < row.danger:
            told += f" {climate.MONTH_NAMES[best - 1]} is better: {self.reason(best)}."
        return f"{told} {self._if_it_must_be(month)}"

    def _enough_for_stain(self, care: Any, month: Any) -> Any:
        """Within how many hours on sticks the stain stays under likely, from fresh logs; or that nothing does."""
        for hours in (12.0, 6.0, 2.0):
            how: dict[str, Any] = {"airflow": self.airflow, "pile_width_ft": self.pile_width_ft, "care": care}
            stain = stain_by_month(
                self.species, self.thickness_in, self.site, part=self.part, hours_to_sticks=hours, **how
            )
            if stain.level[month] < BAD:
                return f"enough from fresh logs if they are on sticks within {hours:g} hours"
        return "that is not enough here for its sapwood, so saw the heartwood, or wait"

    def _if_it_must_be(self, month: int) -> str:
        row = self.table.loc[month]
        dry = "stickers the same day, dry and narrow"
        must = "If it must be then: "
        if blank(row.checks) or row.checks < BAD:
            wind, care = ", wide spaces and wind", Care(wide=True)
            if self.with_care(care, month)[0] >= BAD:
                wind, care = "; no more wind than now, or it checks", self.care
            return f"{must}for stain, {dry}{wind}: {self._enough_for_stain(care, month)}."
        found = next(((each, words) for each, words in SLOWER if self.with_care(each, month)[0] < BAD), None)
        coat = "coat the ends on the day of sawing"
        if found is None:
            rest = (
                f"wait for {climate.MONTH_NAMES[self.best - 1]}"
                if self.best != month and len(self.bad) < 12
                else "saw it thinner, or quarter-sawn, or count on checks"
            )
            return f"{must}{coat}. Even {SLOWER[-1][1]} are not enough: {rest}."
        care, slow = found
        checks, stain = self.with_care(care, month)
        if row.worst_month != month:
            by = climate.MONTH_NAMES[(int(row.worst_month) - 2) % 12]
            slow += f", by {by}" if by != climate.MONTH_NAMES[month - 1] else ""
        told = f"for checks, {coat}, then {slow}"
        if checks >= 1:
            told += "; the outermost boards still may check"
        if stain < BAD:
            return f"{must}{told}." + (
                " In that shade its sapwood may stain some, which costs less." if stain > row.stain else ""
            )
        return (
            f"What slows drying against checks keeps faces wet for stain, and stain costs more in this wood. {must}"
            f"{coat}, {dry}, sawn from fresh logs; only where checks cost more than stain, {slow}."
        )


def cautions(months: Mapping[str, Months], month: int) -> list[str]:
    """Return what to look out for in the first weeks of stacks of several woods that are built in a month.

    Parameters
    ----------
    months : mapping of Months
        By wood.
    month : int

    Returns
    -------
    list of str
        A sentence for each wood for which the month is a bad one, then on checks and on stain.

    Examples
    --------
    >>> cautions({"white oak": month_to_saw("white oak", "4/4", "Madison")}, 5)[0][:57]
    'Only the outermost boards may check, in a dry week: white'
    """
    found = [said for each in months.values() if (said := each.against(month))]
    rest = {name: each for name, each in months.items() if month not in each.bad}
    shade, coat = Care(shade=True), "Coat the ends on the day of sawing"
    after = {
        name: each.with_care(shade, month) for name, each in rest.items() if each.table.checks[month] == 1
    }
    if stains := [name for name, (_, stain) in after.items() if stain >= BAD]:
        found.append(
            f"{CHECKS_SAY[1].capitalize()}; shade would make stain likely, which costs more: "
            f"{', '.join(stains)}. {coat}, put the boards of least worth outermost, and leave the sides open."
        )
    for enough, words in ((True, "that is enough"), (False, "that helps, and is not enough for them")):
        of = [name for name, (checks, stain) in after.items() if stain < BAD and (checks < 1) == enough]
        if of:
            when = _by(rest, of, month)
            found.append(
                f"{CHECKS_SAY[1].capitalize()}: {', '.join(of)}. {coat}. Shade the sunny and the windward side{when}: "
                f"{words}."
            )
    if stain := [name for name, each in rest.items() if each.table.stain[month] == 1]:
        found.append(
            f"Some stain in the first weeks: {', '.join(stain)}. Have them on dry, narrow stickers within 12 hours of "
            "the saw."
        )
    if eaten := [name for name, each in months.items() if each.draws_beetles(month)]:
        when = months_told(flying_months(POWDERPOST, months[eaten[0]].site))
        found.append(
            f"Powderpost beetles fly in {when} and lay in sapwood: {', '.join(eaten)}. Carry bark, slabs and old wood "
            "away from the stack, and look for flour-like dust."
        )
    return found


def _by(months: dict[str, Months], names: list[str], month: int) -> str:
    """Until when the shade has to stand, where the worst of them all comes later than the month of stacking."""
    later = [(int(months[name].table.worst_month[month]) - month) % 12 for name in names]
    return f" by {climate.MONTH_NAMES[(month + min(later) - 2) % 12]}" if min(later) > 1 else ""


def month_to_saw(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    *,
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
    care: Care = BARE,
    yard: Yard = FRESH,
    hours_to_sticks: float = 12.0,
    mc_pct: float = 20.0,
    part: str = "mixed",
) -> Months:
    """Weigh the twelve months in which a green stack may be built.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft :
        As in `air_dry`.
    care, yard, hours_to_sticks :
        As in `checks_by_month` and `stain_by_month`.
    mc_pct : float
        That the days are counted to.
    part : {"mixed", "heartwood", "sapwood"}
        Of the log: heartwood does not stain. Checks and days are those of mixed boards.

    Returns
    -------
    Months

    Examples
    --------
    >>> oak = month_to_saw("northern red oak", "8/4", "Albuquerque")
    >>> oak.bad
    (3, 4, 5, 6, 7, 8, 9, 10)
    """
    import pandas as pd

    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    how: dict[str, Any] = {"airflow": airflow, "pile_width_ft": pile_width_ft, "care": care}
    checks, stain = _what_spoils(
        wood, thick, place, airflow, pile_width_ft, care, yard, hours_to_sticks, part
    )
    table = pd.DataFrame(
        {
            "days": likely_days(wood, thick, place, mc_pct=mc_pct, **how),
            "checks": checks.level,
            "stain": stain.level,
            "dry": checks.dry,
            "outer": checks.outer,
            "first_loss_pct": checks.first_loss_pct,
            "dated_loss_pct": checks.dated_loss_pct,
            "worst_month": checks.worst_month,
            "warm_wet_days": stain.total,
            "stain_harm": _stain_harm(wood, stain, part),
            "danger": np.fmax(checks.level, stain.level),
            "temp_f": place.monthly.temp_f,
        }
    )
    note = bears(wood, thick).note
    return Months(
        wood, thick, place, table, note, mc_pct, airflow, pile_width_ft, care, yard, hours_to_sticks, part
    )


def _stain_harm(wood: Any, stain: Any, part: Any) -> Any:
    """0 for none, 1 for some, 2 and up for more, faded around the limits: a hair of warmth is no whole level."""
    if part == "heartwood":
        return 0.0 * stain.total
    easily = stains_easily(wood)
    limits = [SOME, HIGH] if easily else [SOME * OTHERS_TIMES]
    from_, to = _STAIN_FADES
    total = stain.total.to_numpy()
    levels = sum(np.clip((total / limit - from_) / (to - from_), 0.0, 1.0) for limit in limits)
    return levels + easily * 2 * np.maximum(total / limits[-1] - 1, 0.0)


@lru_cache(maxsize=256)
def _what_spoils(
    wood: woods.Species,
    thick: float,
    place: climate.Site,
    airflow: str,
    pile_width_ft: float,
    care: Care,
    yard: Yard,
    hours_to_sticks: float,
    part: str,
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """Checks and stain by month: the same down to any moisture."""
    how: dict[str, Any] = {"airflow": airflow, "pile_width_ft": pile_width_ft, "care": care}
    stain = stain_by_month(wood, thick, place, part=part, yard=yard, hours_to_sticks=hours_to_sticks, **how)
    return checks_by_month(wood, thick, place, **how), stain


def likely_days(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    *,
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
    care: Care = BARE,
    mc_pct: float = 20.0,
) -> np.ndarray:
    """Likely days to a moisture content from the middle of each month, with what is done for the stack.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft :
        As in `air_dry`.
    care : Care
    mc_pct : float

    Returns
    -------
    ndarray (12,)
        NaN where it is not reached within four years.

    Examples
    --------
    >>> bare, shaded = (likely_days("northern red oak", 1, "Madison", care=c) for c in (BARE, Care(shade=True)))
    >>> bare.round().tolist()[4], shaded.round().tolist()[4]
    (78.0, 103.0)
    """
    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    per_day = rate(wood).per_day / thick**2 / care.takes_times
    none = np.zeros(12, dtype=int)
    factor, emc = (each[None] for each in felt_weather(place))
    first = climate.MID_MONTHS
    bi = float(biot(airflow, pile_width_ft, thick)) * np.sqrt(care.air_times)
    green = moisture.start_mc_pct(wood)
    return days_to_target(
        np.full(12, per_day), bi, none, np.full(12, green), mc_pct, factor, emc, none, first
    )


@lru_cache(maxsize=256)
def _best_month(
    wood: woods.Species, thick: float, place: climate.Site, airflow: str, pile_width_ft: float
) -> int:
    """The one that `month_to_saw` has; 0 where nothing is known of checks."""
    months = month_to_saw(wood, thick, place, airflow=airflow, pile_width_ft=pile_width_ft)
    return 0 if months.table.outer.isna().all() else months.best


# What a sawyer can do about checks, as lists name it
LEVERS = (
    ("as it is", BARE),
    ("shade cloth, or a shed", Care(shade=True)),
    ("boards and piles closer", Care(closer=True)),
    ("shed, shade, closer", Care(shade=True, closer=True, shed=True)),
    ("wide spaces", Care(wide=True)),
    ("quarter-sawn", Care(quartersawn=True)),
)


def what_helps(
    species: str | woods.Species,
    thickness_in: float | str,
    site: str | climate.Site,
    month: int,
    *,
    airflow: str = "ordinary",
    pile_width_ft: float = REFERENCE_WIDTH_FT,
) -> pd.DataFrame:
    """Weigh what can be done for a stack that is built in the middle of a month.

    Parameters
    ----------
    species, thickness_in, site, airflow, pile_width_ft :
        As in `air_dry`.
    month : int

    Returns
    -------
    DataFrame
        Index the `LEVERS`, half the thickness (from 8/4 on), and the month of the least danger where that is another.
        `outer`, `dry` and `ends` as in `checks_by_month`, `days` to 20 % (NaN: not within four years), `warm_wet_days`
        and level of `stain` of `stain_by_month`, `month`.

    Examples
    --------
    >>> helps = what_helps("northern red oak", "8/4", "Madison", 6)
    >>> helps.outer.round(2)[["as it is", "shade cloth, or a shed", "wide spaces"]].tolist()
    [2.11, 1.41, 2.61]
    """
    import pandas as pd

    wood, place, thick = woods.get(species), climate.get(site), thickness(thickness_in)
    best = _best_month(wood, thick, place, airflow, pile_width_ft)
    cases = [(name, care, thick, month) for name, care in LEVERS]
    if thick >= 2:
        cases.append((f"half as thick ({thickness_name(thick / 2)})", BARE, thick / 2, month))
    if best not in (0, month):
        cases.append((f"stacked in {climate.MONTH_NAMES[best - 1]}", BARE, thick, best))
    found = []
    for name, care, t, m in cases:
        checks, wet = _what_spoils(wood, t, place, airflow, pile_width_ft, care, FRESH, 12.0, "mixed")
        found.append((name, checks.outer[m], checks.dry[m], checks.ends[m], wet.total[m], wet.level[m], m))
    cares, thicks = [care for _, care, _, _ in cases], np.array([t for _, _, t, _ in cases])
    paces = rate(wood).per_day / thicks**2 / [care.takes_times for care in cares]
    biots = [
        float(biot(airflow, pile_width_ft, t)) * care.air_times**0.5
        for t, care in zip(thicks, cares, strict=True)
    ]
    first = climate.MID_MONTHS[np.array([m - 1 for *_, m in cases])]
    each, none = np.arange(len(cases)), np.zeros(len(cases), dtype=int)
    factor, emc = (weather[None] for weather in felt_weather(place))
    green = np.full(len(cases), moisture.start_mc_pct(wood))
    days = days_to_target(paces, np.array(biots), each, green, 20.0, factor, emc, none, first)
    table = pd.DataFrame(
        found, columns=["what", "outer", "dry", "ends", "warm_wet_days", "stain", "month"]
    ).set_index("what")
    return table.assign(days=days)


def one_for_all(months: Mapping[str, Months], board_feet: Mapping[str, float]) -> tuple[int, tuple[str, ...]]:
    """Return the one month for stacks of several woods, weighed by board feet, and the woods that lose by it.

    Parameters
    ----------
    months : mapping of Months
        By wood.
    board_feet : mapping of float
        By wood; one that isn't there counts for next to nothing.

    Returns
    -------
    (int, tuple of str)
        Of months that cost all of them as little, the one with the shortest wait.

    Examples
    --------
    >>> woods = {name: month_to_saw(name, "8/4", "Madison") for name in ("northern red oak", "eastern white pine")}
    >>> one_for_all(woods, {"northern red oak": 900, "eastern white pine": 100})
    (12, ())
    """
    import pandas as pd

    cost, wait = (pd.Series(0.0, index=pd.RangeIndex(1, 13)) for _ in range(2))
    for name, each in months.items():
        weight, harm = board_feet.get(name, 0.0) + 1e-6, _harm(each.table)
        good = as_good(each.table)
        worse = harm / harm[good].min() - 1 + (each.table.danger >= BAD)
        cost += weight * worse.where(~worse.index.isin(good), 0.0)
        wait += weight * each.table.days.fillna(_NEVER_DAYS)
    month = int(wait[cost <= cost.min() + 1e-9].idxmin())
    return month, tuple(name for name, each in months.items() if month not in as_good(each.table))


def months_told(months: tuple[int, ...]) -> str:
    """Return months in words, those in a row as a span; "" for none.

    Examples
    --------
    >>> months_told((5, 6, 7, 10)), months_told((1, 2, 11, 12)), months_told((6,))
    ('May to July and October', 'November to February', 'June')
    """
    runs: list[list[int]] = []
    for month in sorted(months):
        if runs and runs[-1][-1] == month - 1:
            runs[-1].append(month)
        else:
            runs.append([month])
    if len(runs) > 1 and runs[0][0] == 1 and runs[-1][-1] == 12:
        runs = [*runs[1:-1], runs[-1] + runs[0]]
    names = climate.MONTH_NAMES
    told = [names[r[0] - 1] + (f" to {names[r[-1] - 1]}" if len(r) > 1 else "") for r in runs]
    return " and ".join(filter(None, [", ".join(told[:-1]), *told[-1:]]))
