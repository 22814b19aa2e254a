"""Open the log: the best boards out of it by the three trade patterns, and where the rest of the wood goes.

A log is a frustum, oval if need be, straight or bowed in an arc. A board of a bowed log is as long as its straight run,
and may lie anywhere along it; only a quartered one is sawn as the straight log that fits inside it.
Boards are stacked from saw line to saw line; a board is as wide as the log allows at its outer face where it
is narrowest, edged to the width step, and may be shorter than the log where only the large end is wide
enough. No wane is left on. The first cut and the sequence of thicknesses are found exactly, by dynamic
programming over saw lines that lie on sixteenths of an inch, with the kerf between them. Every piece is a box
in the log, so that boards, slabs, edgings and sawdust can be measured one by one and add up to the log.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import ceil, inf
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc.checks import InputError, suggest, within
from woodcalc.logs import MOST_DEFECT_PCT, SOLID_FT3_PER_CORD, Log, defect_says, logs_of
from woodcalc.sawing.four_sided import BIG_IN, STEADY, four_sided, stands_too_tall
from woodcalc.sawing.frustum import TooThin
from woodcalc.sawing.patterns import CANT_SHARE, cant, quartered, through_and_through
from woodcalc.sawing.sawn_log import BOARD_COLUMNS, SawingPlan, halves_bf
from woodcalc.sawing.search import TINY, Wanted, shop_for, thickness_names
from woodcalc.sawing.settings_sheet import kept_passes
from woodcalc.sizes import length_told

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.sawing.search import Shop


__all__ = ["PATTERNS", "SawingPlan", "SawnTally", "TooThin", "Wanted", "saw", "saw_tally"]

PATTERNS = ("through-and-through", "cant", "quartered")
A_SIDE = 3  # common practice: two or three boards off a side, then turn; a log may be under stress
SCALE_IN = 1 / 16  # marks of a mill's height scale: with this drop no board comes out thinner than it is set


class AllDefect(InputError):
    """A log of which nothing is sound: it is not sawn."""


def pattern_name(pattern: str) -> str:
    """Return one of `PATTERNS` from the words that name it, however they are joined.

    Parameters
    ----------
    pattern : str
        In any case, with spaces or hyphens.

    Examples
    --------
    >>> pattern_name("Through and through")
    'through-and-through'
    """
    name = "-".join(str(pattern).lower().split())
    if name not in PATTERNS:
        raise suggest(pattern, PATTERNS, "sawing pattern")
    return name


def saw(
    log: Log,
    kerf_in: float,
    thicknesses_in: Sequence[float | str] | Mapping[str, float],
    pattern: str = "cant",
    *,
    width_step_in: float = 0.5,
    length_step_ft: float = 2.0,
    least_width_in: float = 4.0,
    least_length_ft: float = 4.0,
    least_slab_in: float | None = None,
    least_cant_in: float | None = None,
    most_cant_in: float | None = None,
    cant_in: float | None = None,
    opening_in: float | None = None,
    value_per_bf: Mapping[str, float] | float | None = None,
    wanted: Sequence[Wanted | tuple | dict[str, Any]] = (),
    drop_step_in: float | None = None,
    a_side: int = A_SIDE,
    bow_up: bool = False,
    steady_cant: bool = True,
) -> SawingPlan:
    """Return the best way to saw a log by one pattern, for the most board feet or the most value.

    Through-and-through: sawn down to the board just above the pith, turned over onto that wide flat, and the
    half log sawn down to the bed. Cant: slabs and side boards off two opposite faces down to a cant, centred
    on the pith and no wider than the square that fits into the small end; the cant turned, and sawn from side
    to side into boards no wider than itself; for a big log that would stand too tall on its foot, and the cant is sawn
    off all four faces (`steady_cant`). Quartered: halved through the pith, quartered, and each quarter
    sawn from its two flat faces by turns. Among all saw lines on sixteenths of an inch that the pattern
    allows, none gives more. A timber, 4 in thick or more, is never laid with the pith within an inch of its face: the
    heart is boxed in, or left out.

    Parameters
    ----------
    log : Log
    kerf_in : float
        Width of the saw line (in), 0.02 to 0.75.
    thicknesses_in : sequence of float, or mapping of str to float
        Green sawn thicknesses (in), 0.25 to 16, taken up to the next sixteenth, each as often as it serves. A
        mapping gives them names: ``{"4/4": 1.125}``. Without one, 1.125 is called 4/4: the quarters that it
        holds; and ``"4/4"`` stands for the 1.125 that it is sawn to (`sizes.sawn_in`).
    pattern : {"through-and-through", "cant", "quartered"}
    width_step_in : float
        Boards are edged down to a multiple of this (in).
    length_step_ft : float
        Boards may be shorter than the log by multiples of this (ft).
    least_width_in, least_length_ft : float
        Narrowest (in) and shortest (ft) board worth keeping.
    least_slab_in : float, optional
        Least thickness of any slab at the small end (in). If left out, 1/2 in where a cant is opened, so that it
        stands on a flat as long as itself, and less where that would cost over 3 %; none elsewhere.
    least_cant_in, cant_in : float, optional
        Least width of the cant, or the width that it must have (in, to the eighth; then it may be wider
        than the square). If both are left out, half the small end at least, as a narrower one stood on edge tips;
        narrower only where no other gives a board, or one that is wanted.
    most_cant_in : float, optional
        Greatest width of the cant, and so of its boards (in).
    opening_in : float, optional
        Blade height above the bed of the first cut, if it is not to be looked for (in); through-and-through
        only.
    value_per_bf : mapping of str to float, or float, optional
        Worth of a board foot by thickness name, or of all; then the aim is the most value, otherwise the most board
        feet.
    wanted : sequence of Wanted
        Boards to be had first (or their values, ``(8, 2.0, 8, 12)``); the rest goes by the aim.
    drop_step_in : float, optional
        For a mill whose blade drops by multiples of a set step (in, to the sixteenth): thickness + kerf is
        taken up to the next multiple, and the boards come out that much thicker.
    a_side : int
        Boards off one side before the half turn, where both sides give more, as they do of a big log; 0: all of them.
        So a log under stress stays straight. Cant only. It gives up no board, but each round costs two turns.
    bow_up : bool
        Whether the outside of a bow is up for the first pass; otherwise it lies level. Through-and-through only.
    steady_cant : bool
        Whether a log of 18 in or more is sawn around a cant off four faces, `four_sided.four_sided`, where one off two
        would stand more than 1-1/2 times as tall as its foot. Not where a `cant_in`, or one under half the small end
        is asked for. Cant only.

    Returns
    -------
    SawingPlan

    Raises
    ------
    InputError
        A setting outside its range; no thickness; a cant that is wider than the log. `TooThin` if no board
        fits, `AllDefect` if nothing of the log is sound.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> plan = saw(Log(small_in=16, length_ft=12), 1/8, {"4/4": 1.125}, "cant")
    >>> round(plan.board_feet, 1), round(sum(plan.shares.values()), 9)
    (141.8, 1.0)
    """
    if not isinstance(log, Log):
        raise InputError(f"log = {log!r}: expected a Log, e.g. Log(small_in=16, length_ft=12).")
    if not log.sound_share:
        says = defect_says(log.defect_pct)
        raise AllDefect(says[0].lower() + says[1:])
    pattern = pattern_name(pattern)
    if opening_in is not None and pattern != "through-and-through":
        raise InputError(
            f"opening_in is for through-and-through; the {pattern} pattern is laid out from the pith."
        )
    if bow_up and pattern != "through-and-through":
        raise InputError(
            f"bow_up is for through-and-through; the {pattern} pattern starts with the bow level."
        )
    again = partial(
        saw,
        kerf_in=kerf_in,
        thicknesses_in=thicknesses_in,
        pattern=pattern,
        width_step_in=width_step_in,
        length_step_ft=length_step_ft,
        least_width_in=least_width_in,
        least_length_ft=least_length_ft,
        least_slab_in=least_slab_in,
        least_cant_in=least_cant_in,
        most_cant_in=most_cant_in,
        value_per_bf=value_per_bf,
        drop_step_in=drop_step_in,
        a_side=a_side,
        bow_up=bow_up,
        steady_cant=steady_cant,
    )
    most = inf if most_cant_in is None else float(within("most_cant_in", most_cant_in, 2, 60, "in"))
    try:
        shop = shop_for(
            log,
            kerf_in,
            thicknesses_in,
            [Wanted.of(w) for w in wanted],
            value_per_bf,
            drop_step_in,
            width_step_in,
            length_step_ft,
            least_width_in,
            least_length_ft,
            least_slab_in or 0.0,
        )
        if pattern == "through-and-through":
            plan = through_and_through(shop, opening_in, bow_up)
        elif pattern == "quartered":
            plan = quartered(shop)
        else:
            a_side = int(within("a_side", a_side, 0, 40, "boards"))
            plan = cant(shop, least_cant_in, cant_in, least_slab_in is None, a_side, most)
            narrow = min(least_cant_in or inf, most) < CANT_SHARE * log.small_in
            if steady_cant and cant_in is None and not narrow:
                plan = _steadier(shop, plan, a_side, most)
    except TooThin as none:
        if log.sweep_in and not wanted and (both := halves_bf(log, again)):
            none.in_two_bf = both
        raise
    return replace(plan, again=again) if log.sweep_in and not wanted else plan


def _steadier(shop: Shop, plan: SawingPlan, a_side: int = 0, most: float = inf) -> SawingPlan:
    """Return a big log's plan around a cant that stands steady, for one around a cant off two faces that does not.

    Where the log tapers so much that no beam has whole faces, the cant is as wide as the rule asks for and is turned
    over at the pith. The plan stays as it is if it keeps the rule or the log is not big; and, marked `too_tall`, if no
    cant keeps it, or none without the loss of a wanted board.

    Parameters
    ----------
    shop : Shop
        The log, the saw and what is wanted, as `shop_for` makes it.
    plan : SawingPlan
        Around a cant off two faces.
    a_side, most :
        As in `four_sided`.
    """
    if shop.log.small_in < BIG_IN or not stands_too_tall(shop, plan):
        return plan
    other = four_sided(shop, a_side, most)
    if other is None:
        low, high = shop.span("x")
        least = ceil((high - low) / STEADY / shop.width_step - TINY) * shop.width_step
        tries = [least + n * shop.width_step for n in range(4)]
        heights = [h for h in tries if h < 2 * shop.end_top("y") and abs(h * 8 - round(h * 8)) < TINY]
        if not heights:
            return replace(plan, too_tall=True)
        try:
            other = cant(shop, None, None, False, a_side, heights=heights)
        except TooThin:
            return replace(plan, too_tall=True)
        if stands_too_tall(shop, other):
            return replace(plan, too_tall=True)
    if sum(b.wanted for b in other.cut_boards) < sum(b.wanted for b in plan.cut_boards):
        return replace(plan, too_tall=True)
    return replace(other, given_up_bf=plan.board_feet - other.board_feet)


@dataclass(frozen=True)
class SawnTally:
    """Every log of a tally sawn.

    Attributes
    ----------
    plans : tuple of SawingPlan
        One for each log that gives a board.
    boards : DataFrame
        All boards with the log that each came from; `board` is the log's label and the number on its sheet.
    logs : DataFrame
        A row for each log: boards, board feet, `net_bf` with its defects taken off, cubic feet of the log and of
        lumber, slab, edging and sawdust, and a note where a log gives no board, should not be sawn, or gives more in
        two.
    short : tuple of Wanted
        Wanted boards that the logs did not give.
    """

    plans: tuple[SawingPlan, ...]
    boards: pd.DataFrame
    logs: pd.DataFrame
    short: tuple[Wanted, ...]

    @property
    def board_feet(self) -> float:
        """Board feet of all boards, if every log were sound."""
        return float(self.logs["board_feet"].sum())

    @property
    def net_bf(self) -> float:
        """Board feet with the share of each log taken off that is rotten, split or missing."""
        return float(self.logs["net_bf"].sum())

    @property
    def firewood_cords(self) -> float:
        """Cords of 128 ft3, stacked, from slabs, edgings and logs that give no board.

        80 ft3 of solid wood make a cord (Haynes 1990, Table B-7, in Briggs 1994, Appendix 2).
        """
        return float((self.logs["slab_ft3"] + self.logs["edging_ft3"]).sum() / SOLID_FT3_PER_CORD)

    @property
    def sheets(self) -> pd.DataFrame:
        """Settings sheets of all logs as one DataFrame, the log's label in the first column; no pass below a stop.

        Raises
        ------
        InputError
            Quartered logs: see `settings_sheet.sheet`.
        """
        import pandas as pd

        sheets = [kept_passes(plan).assign(log=plan.log.label) for plan in self.plans]
        table = pd.concat(sheets, ignore_index=True) if sheets else pd.DataFrame(columns=["log"])
        return table[["log", *(c for c in table.columns if c != "log")]]


def saw_tally(
    logs: pd.DataFrame | Sequence[Log],
    kerf_in: float,
    thicknesses_in: Sequence[float | str] | Mapping[str, float] | Callable[[Log], Mapping[str, float]],
    pattern: str = "cant",
    *,
    wanted: Sequence[Wanted | tuple | dict[str, Any]] = (),
    seen: Callable[[int], None] | None = None,
    **settings: Any,
) -> SawnTally:
    """Saw every log of a tally; wanted boards are looked for in the largest logs first.

    Parameters
    ----------
    logs : DataFrame or sequence of Log
        A row for each log; columns `small_in` and `length_ft`, others of `Log` if known; `log` is its label.
    kerf_in, pattern, settings :
        As in `saw`.
    thicknesses_in : sequence, mapping or callable
        As in `saw`; or what gives a mapping for each log, as by its wood.
    wanted : sequence of Wanted
        Boards to be had first, over all logs together; none is looked for in a log over `logs.MOST_DEFECT_PCT`.
    seen : callable, optional
        Called before each log with how many are done, and at the end with all of them.

    Returns
    -------
    SawnTally

    Raises
    ------
    InputError
        As in `saw`; a log too thin for a board is no error but goes to firewood, and one that is all defect is not
        sawn.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> tally = saw_tally([Log(16, length_ft=12), Log(3, length_ft=8)], 1/8, [1.125])
    >>> len(tally.plans), round(tally.board_feet), tally.logs["note"].tolist()
    (1, 142, ['', 'too thin for a board'])
    """
    import pandas as pd

    if hasattr(logs, "columns"):
        logs = logs_of(logs)
    logs = [log if log.label else replace(log, label=str(n)) for n, log in enumerate(logs, 1)]
    if callable(thicknesses_in):
        of_log = thicknesses_in
    else:
        of_log = partial(_always, thickness_names(thicknesses_in))
    largest_first = sorted(range(len(logs)), key=lambda i: -logs[i].volume_ft3)
    plans, left, rotten = {}, [Wanted.of(w) for w in wanted], set()
    halves: dict[int, float] = {}
    for done, i in enumerate(largest_first if left else range(len(logs))):
        if seen:
            seen(done)
        hold = [
            replace(w, count=min(w.count, _at_most(w, logs[i])))
            for w in left
            if w and _at_most(w, logs[i]) and logs[i].defect_pct <= MOST_DEFECT_PCT
        ]
        try:
            plans[i] = saw(logs[i], kerf_in, of_log(logs[i]), pattern, wanted=hold, **settings)
        except TooThin as none:
            halves[i] = none.in_two_bf
            continue
        except AllDefect:
            rotten.add(i)
            continue
        for n, w in ((n, w) for n, w in enumerate(left) if w):
            mine = (w.nominal, w.width_in, w.length_ft)
            got = sum(b.wanted and (b.nominal, b.width_in, b.length_ft) == mine for b in plans[i].cut_boards)
            left[n] = _fewer(w, got)

    if seen:
        seen(len(logs))
    rows: list[dict[str, Any]] = []
    for i, log in enumerate(logs):
        plan, whole = plans.get(i), log.volume_ft3
        no_board = {"lumber": 0.0, "slab": 0.0 if i in rotten else whole, "edging": 0.0, "sawdust": 0.0}
        volumes = plan.volumes_ft3 if plan else no_board
        rows.append(
            {
                "log": log.label,
                "species": log.species,
                "small_in": log.small_in,
                "length_ft": log.length_ft,
                "boards": len(plan.cut_boards) if plan else 0,
                "board_feet": plan.board_feet if plan else 0.0,
                "net_bf": plan.net_bf if plan else 0.0,
                "defect_pct": log.defect_pct,
                "log_ft3": whole,
                **{f"{k}_ft3": v for k, v in volumes.items()},
                "note": _note(log, plan, halves.get(i, 0.0)),
            }
        )
    in_order = [plans[i] for i in sorted(plans)]
    boards = [plan.boards for plan in in_order]
    boards = pd.concat(boards, ignore_index=True) if boards else pd.DataFrame(columns=BOARD_COLUMNS)
    boards["board"] = [f"{log}-{n}" for log, n in zip(boards["log"], boards["board"], strict=True)]
    return SawnTally(tuple(in_order), boards, pd.DataFrame(rows), tuple(w for w in left if w is not None))


def _always(names: Any, _log: Any) -> Any:
    """Return the same thicknesses for every log."""
    return names


def _note(log: Log, plan: SawingPlan | None, halves_bf: float) -> str:
    """What a tally says of a log beside its numbers; `halves_bf` of one that gives no board as a whole."""
    if not log.sound_share:
        return "nothing of it is sound: not sawn"
    if plan is None:
        thin = "too thin for a board" + (", its bow counted" if log.sweep_in else "")
        return thin + (
            f"; cut in two at {length_told(log.length_ft / 2)}: about {halves_bf:.0f} bf" if halves_bf else ""
        )
    if log.defect_pct > MOST_DEFECT_PCT:
        return "more than half is gone: cut it back first"
    if plan.in_two_bf:
        return f"cut in two at {length_told(log.length_ft / 2)}: about {plan.in_two_bf:.0f} bf"
    if plan.too_tall:
        return "no cant with these boards stands safely: saw it through and through"
    return ""


def _at_most(wanted: Any, log: Any) -> Any:
    """How many boards of this kind one log can hold, by the area of its end: keeps the search small."""
    if wanted.length_ft > log.length_ft:
        return 0
    return int(np.pi * log.large_end_in**2 / 4 / (wanted.width_in * wanted.thickness_in))


def _fewer(wanted: Any, got: Any) -> Any:
    return wanted if not got else replace(wanted, count=wanted.count - got) if wanted.count > got else None
