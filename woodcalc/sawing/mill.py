"""The mill that a log is sawn on: what it can hold and cut, and what of a sawing plan is beyond it."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import ceil, sqrt
from typing import TYPE_CHECKING, Any, NamedTuple

from woodcalc.checks import InputError, within
from woodcalc.logs import BARK_SHARE, at_most_lb
from woodcalc.sawing.settings_sheet import (
    has_sheet,
    kept_passes,
    room_in,
    set_ups,
    stop_pass,
    turns_lb,
    widest_cut_in,
)
from woodcalc.sizes import sixteenths

if TYPE_CHECKING:
    from woodcalc.sawing.sawn_log import SawingPlan

TURNERS = ("cant hook", "winch", "mill's turner")
LEVELERS = ("wedges or blocks", "toe board")
UNIT_IN = 1 / 16  # marks of a usual height scale
_SPELL = {
    "kerf_in": ("Kerf", 0.02, 0.75, "in"),
    "step_in": ("Scale or step", 1 / 16, 1, "in"),
    "lowest_in": ("Lowest safe cut", 0.25, 4, "in"),
    "widest_in": ("Widest cut", 4, 80, "in"),
    "throat_in": ("Room above the blade", 0.5, 40, "in"),
    "largest_in": ("Largest log", 6, 90, "in"),
    "longest_ft": ("Longest log", 4, 66, "ft"),
}


@dataclass(frozen=True)
class Mill:
    """A sawmill as its owner measured it; what is 0 was not measured, and nothing is checked against it.

    Attributes
    ----------
    kerf_in : float
        Width of the saw line (in), 0.02 to 0.75.
    step_in : float
        Marks of the height scale, or the step that the head drops by (in), sixteenths, up to 1.
    lowest_in : float
        Lowest height of the blade over the bed that clears stops and clamps by half an inch (in).
    widest_in : float
        Widest cut that passes between the blade's guides (in).
    throat_in : float
        Room above the blade (in), for the slab.
    largest_in : float
        Largest diameter that the head clears, bark in (in).
    longest_ft : float
        Longest log, trim in (ft).
    turner : str
        One of `TURNERS`.
    leveler : str
        One of `LEVELERS`: what brings the small end up.
    edger : bool
        Whether there is one.

    Raises
    ------
    InputError
        A size that no mill has; a word that is not known.

    Examples
    --------
    >>> Mill(kerf_in=0.1, largest_in=26).largest_in
    26.0
    """

    kerf_in: float = 0.125
    step_in: float = UNIT_IN
    lowest_in: float = 0.0
    widest_in: float = 0.0
    throat_in: float = 0.0
    largest_in: float = 0.0
    longest_ft: float = 0.0
    turner: str = "mill's turner"
    leveler: str = "wedges or blocks"
    edger: bool = False

    def __post_init__(self):
        for name, (label, low, high, unit) in _SPELL.items():
            value = getattr(self, name)
            if value or name in ("kerf_in", "step_in"):
                value = within(label, value, low, high, unit)
            object.__setattr__(self, name, float(value))
        if abs(self.step_in / UNIT_IN - round(self.step_in / UNIT_IN)) > 1e-6:
            raise InputError(
                f"Scale or step = {self.step_in:g}: expected sixteenths of an inch, like 1/16, 1/8 or 1/4."
            )
        for label, word, known in (
            ("Turner", self.turner, TURNERS),
            ("Leveler", self.leveler, LEVELERS),
        ):
            if word not in known:
                raise InputError(f"{label} = {word!r}: expected one of {', '.join(known)}.")
        if not isinstance(self.edger, bool):
            raise InputError(f"Edger = {self.edger!r}: expected True or False.")

    @classmethod
    def of(cls, values: Any) -> Mill:
        """Return the mill of a dict of its values, as it is kept; other names are passed over.

        Parameters
        ----------
        values : dict

        Examples
        --------
        >>> Mill.of({"kerf_in": 0.1, "color": "red"}).kerf_in
        0.1
        """
        if not isinstance(values, dict):
            raise InputError(f"a mill = {str(values)[:40]!r}: expected names and values.")
        known = {f.name for f in fields(cls)}
        try:
            return cls(**{name: value for name, value in values.items() if name in known})
        except (TypeError, ValueError) as why:
            raise InputError(str(why)) from None


def kerf_of_stack_in(drop_in: float, stack_in: float, boards: int) -> float:
    """Return the kerf (in) from a stack of boards sawn one after the other: what the head dropped and wood is missing.

    Parameters
    ----------
    drop_in : float
        From the pass before the first board to the pass under the last (in), as the scale shows it.
    stack_in : float
        The boards pressed together (in).
    boards : int
        How many, 1 to 40.

    Raises
    ------
    InputError
        A stack thicker than the drop, or a kerf that no saw has.

    Examples
    --------
    >>> kerf_of_stack_in(9.5, 8.6, 8)
    0.1125
    """
    boards = int(within("Boards in the stack", boards, 1, 40))
    drop = float(within("The head dropped", drop_in, 0.25, 80, "in"))
    stack = float(within("The boards together", stack_in, 0.25, 80, "in"))
    kerf = (drop - stack) / boards
    if not 0.02 <= kerf <= 0.75:
        raise InputError(
            f"{boards} boards of {stack:g} in together from a drop of {drop:g} in leave {kerf:.3f} in for each saw line; "
            "expected 0.02 to 0.75 in. Was one pass too few or too many counted?"
        )
    return round(kerf, 4)


class Limit(NamedTuple):
    """One thing that a log asks of a mill, and what the mill has."""

    what: str
    says: str
    stops: bool  # the log is not to be loaded; otherwise the sheet goes round it


def limits(plan: SawingPlan, mill: Mill) -> list[Limit]:
    """Return what a `Mill` cannot hold or cut of a `SawingPlan`, before the first pass; nothing for a quartered log.

    Diameters and widths are taken with bark, which adds a tenth to a log's volume (`logs.BARK_SHARE`).

    Parameters
    ----------
    plan : SawingPlan
    mill : Mill

    Returns
    -------
    list of Limit
        Those that stop the log first.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> plan = saw(Log(small_in=18, length_ft=12), 1/8, [1.125], "cant", drop_step_in=1/16)
    >>> [limit.what for limit in limits(plan, Mill(largest_in=20, widest_in=24, lowest_in=2))]
    ['largest log', 'lowest safe cut']
    """
    if not has_sheet(plan):
        return []
    bark = sqrt(1 + BARK_SHARE)
    log, found = plan.log, []

    def beyond(what, asks, has, says, stops=True):
        if has and asks > has + 1e-6:
            found.append(Limit(what, says, stops))

    room = _up(room_in(plan) * bark)
    beyond(
        "largest log",
        room,
        mill.largest_in,
        f"It takes about {sixteenths(room)} in with its bark, and your mill takes {sixteenths(mill.largest_in)} in. "
        "Don't load it.",
    )
    long_ft = log.length_ft + log.trim_in / 12
    beyond(
        "longest log",
        long_ft,
        mill.longest_ft,
        f"It is {long_ft:.4g} ft long with its trim, and your mill takes {mill.longest_ft:g} ft. Cut it shorter first.",
    )
    widest = _up(widest_cut_in(plan) * bark)
    beyond(
        "widest cut",
        widest,
        mill.widest_in,
        f"Its widest cut is about {sixteenths(widest)} in with bark, and your blade's guides pass "
        f"{sixteenths(mill.widest_in)} in. Don't saw it this way"
        + (": around a cant the cuts are narrower." if plan.pattern == "through-and-through" else "."),
    )
    turns = set_ups(plan)
    slab = max((s.slab_in for s in turns), default=0.0)
    slab = _up(slab + room_in(plan) * (bark - 1) / 2)
    beyond(
        "throat",
        slab,
        mill.throat_in,
        f"Its first slab is up to {sixteenths(slab)} in thick with bark, and your mill has "
        f"{sixteenths(mill.throat_in)} in of room above the blade. Take the slab off in two passes: make one more, "
        "higher up, first.",
        stops=False,
    )
    if mill.turner == "cant hook":
        heavy = [
            (s.number, lb) for s, (lb, hooked) in zip(turns, turns_lb(plan), strict=True) if lb and not hooked
        ]
        if heavy:
            number, lb = max(heavy, key=lambda pair: pair[1])
            found.append(
                Limit(
                    "turner",
                    f"Two people can't turn it by cant hook: at set-up {number} it may weigh {at_most_lb(lb)}. "
                    "You need a winch or a machine rated for that.",
                    True,
                )
            )
    if below := below_lowest(plan, mill.lowest_in):
        first = float(below[0])
        found.append(
            Limit(
                "lowest safe cut",
                f"Your blade goes no lower than {sixteenths(mill.lowest_in)} in: the "
                f"{'pass' if len(below) == 1 else f'{len(below)} passes'} from {sixteenths(first)} in down "
                f"{'is' if len(below) == 1 else 'are'} left out. A thick piece stays.",
                False,
            )
        )
    return sorted(found, key=lambda limit: not limit.stops)


def below_lowest(plan: SawingPlan, lowest_in: float) -> list[float]:
    """Return the heights (in) of the passes of a `SawingPlan` that a mill's lowest safe cut leaves out.

    Parameters
    ----------
    plan : SawingPlan
    lowest_in : float
        Of the mill (in); 0 leaves none out.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> below_lowest(saw(Log(small_in=18, length_ft=12), 1/8, [1.125], "cant"), 2.0)
    [1.125]
    """
    if not lowest_in:
        return []
    kept = kept_passes(plan)
    stop = stop_pass(set_ups(plan, lowest_in))
    return kept.loc[kept["pass"] >= stop, "blade_in"].tolist() if stop else []


def _up(size):
    return ceil(size * 16 - 1e-6) / 16
