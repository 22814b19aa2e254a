"""What of a sawing plan is beyond a mill: said before the first pass."""

from __future__ import annotations

from math import ceil, sqrt
from typing import TYPE_CHECKING, NamedTuple

from woodcalc.logs import BARK_SHARE, at_most_lb
from woodcalc.sawing.four_sided import STEADY
from woodcalc.sawing.patterns import CANT_SHARE
from woodcalc.sawing.settings_sheet import (
    has_sheet,
    kept_passes,
    room_in,
    set_ups,
    stop_pass,
    turns_lb,
    widest_cut_in,
    with_bark,
)
from woodcalc.sizes import feet_and_inches, fraction, length_told, sixteenths

if TYPE_CHECKING:
    from woodcalc.sawing.mill import Mill
    from woodcalc.sawing.sawn_log import SawingPlan


STANDING = "standing cant"


class Limit(NamedTuple):
    """One thing that a log asks of a mill, and what the mill has."""

    what: str
    says: str
    stops: bool  # the log is not to be loaded; otherwise the sheet goes round it


def limits(plan: SawingPlan, mill: Mill, bark_in: float | None = None) -> list[Limit]:
    """Return what a `Mill` cannot hold or cut of a `SawingPlan`, before the first pass; nothing for a quartered log.

    No mill holds a plank stood on edge: a cant less than half as wide as the small end has no passes.

    Diameters and widths are taken with bark, as it was measured, or a tenth of the log's volume (`logs.BARK_SHARE`).

    Parameters
    ----------
    plan : SawingPlan
    mill : Mill
    bark_in : float, optional
        That the sheet is made for (in): its first slabs are as thick as its set-ups have them.

    Returns
    -------
    list of Limit
        Those that stop the log first.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> from woodcalc.sawing import saw
    >>> from woodcalc.sawing.mill import Mill
    >>> plan = saw(Log(small_in=18, length_ft=12), 1/8, [1.125], "cant", drop_step_in=1/16)
    >>> [limit.what for limit in limits(plan, Mill(largest_in=20, widest_in=24, lowest_in=2))]
    ['largest log', 'lowest safe cut']
    """
    if not has_sheet(plan):
        return []
    log, found = plan.log, []
    if plan.too_tall:
        found.append(
            Limit(
                STANDING,
                "Not for a standing cant. Each that gives these boards stands more than "
                f"{fraction(STEADY, 2)} times as tall as what it lies on or is held between, and can fall. Saw this "
                "log through and through, or cut it in two and print a sheet for each half.",
                True,
            )
        )
    if 0 < plan.cant_in < CANT_SHARE * log.small_in - 1e-6:
        tall = max(s.tall_in for s in set_ups(plan) if s.cant)
        found.append(
            Limit(
                STANDING,
                f"Not for a standing cant. One {sixteenths(plan.cant_in)} in wide would stand "
                f"{sixteenths(_up(tall))} in tall, like a plank on edge, and fall. Saw this log through and through, "
                f"or around a cant at least {sixteenths(_up(CANT_SHARE * log.small_in))} in wide.",
                True,
            )
        )
    bark = 1 + 2 * log.bark_in / log.small_in if log.bark_in is not None else sqrt(1 + BARK_SHARE)

    def beyond(what: str, asks: float, has: float, says: str, stops: bool = True) -> None:
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
        f"It is {feet_and_inches(12 * long_ft, 8)} long with its trim, and your mill takes "
        f"{length_told(mill.longest_ft)}. Cut it shorter first.",
    )
    widest = _up(widest_cut_in(plan, log.large_end_in / 2 * (bark - 1)))
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
    if bark_in is not None:
        slab = _up(max((s.slab_in for s in with_bark(turns, bark_in)), default=0.0))
    beyond(
        "throat",
        slab,
        mill.throat_in,
        f"A first slab is up to {sixteenths(slab)} in thick, and your mill has "
        f"{sixteenths(mill.throat_in)} in of room above the blade. Take it off in more passes: the "
        "set-up says at which height.",
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
                    "Have a winch or a machine rated for that before you load it.",
                    False,
                )
            )
    if below := below_lowest(plan, mill.lowest_in):
        first = sixteenths(float(below[0]))
        left_out = (
            f"The pass at {first} in is left out,"
            if len(below) == 1
            else f"The {len(below)} passes from {first} in down are left out,"
        )
        found.append(
            Limit(
                "lowest safe cut",
                f"Your blade goes no lower than {sixteenths(mill.lowest_in)} in. {left_out} and a thick piece stays.",
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


def _up(size: float) -> float:
    return ceil(size * 16 - 1e-6) / 16
