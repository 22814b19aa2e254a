"""What a careful sawyer's rules cost in board feet, and what they save in passes, turns and boards."""

from __future__ import annotations

import contextlib
from collections.abc import Collection, Mapping, Sequence
from math import ceil
from typing import TYPE_CHECKING, Any, NamedTuple

from woodcalc.checks import InputError
from woodcalc.sawing.best import A_SIDE, SCALE_IN, saw
from woodcalc.sawing.frustum import TooThin
from woodcalc.sawing.patterns import CANT_SHARE
from woodcalc.sawing.sawn_log import halves_bf

if TYPE_CHECKING:
    from woodcalc.logs import Log
    from woodcalc.sawing.sawn_log import SawingPlan

NARROWEST_IN = 4.0  # the narrowest board that is kept: a cant may be as narrow


class Rule(NamedTuple):
    """One thing that a careful sawyer does: name, words, and the settings of `saw` with it and without."""

    name: str
    says: str
    on: Mapping[str, Any]
    off: Mapping[str, Any]


RULES = (
    Rule(
        "wide_cant",
        "A cant at least half as wide as the small end",
        {},
        {"least_cant_in": NARROWEST_IN},
    ),
    Rule("foot", "A first slab of 1/2 in where the cant is opened", {}, {"least_slab_in": 0.0}),
    Rule("steady", "The same drop every time", {"drop_step_in": SCALE_IN}, {"drop_step_in": None}),
    Rule(
        "steady_cant",
        "A big log's cant off four faces, at most 1-1/2 times as tall as its foot",
        {},
        {"steady_cant": False},
    ),
    Rule("few_a_side", "Three boards off a side, then turn", {"a_side": A_SIDE}, {"a_side": 0}),
)
USUAL = tuple(rule.name for rule in RULES)


class Cost(NamedTuple):
    """What one rule gives up and saves, all others as they are; below 0: the other way round."""

    rule: Rule
    board_feet: float  # given up
    passes: int  # saved
    turns: int  # saved
    boards: int  # saved: to lift, edge and stack


def sawn_by(
    log: Log,
    kerf_in: float,
    thicknesses_in: Sequence[float | str] | Mapping[str, float],
    rules: Collection[str] = USUAL,
    **settings: Any,
) -> SawingPlan:
    """Return a log sawn around a cant by some of the `RULES`.

    Parameters
    ----------
    log : Log
    kerf_in : float
        In.
    thicknesses_in : sequence or mapping
        As in `saw`.
    rules : collection of str
        Names of those that hold.
    **settings
        Others of `saw`; they go before a rule's; but no greatest width of the cant goes under `least_cant_in`.

    Raises
    ------
    InputError
        A rule that is not known, or as `saw`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> plan = sawn_by(Log(26, 29, 12), 1/8, {"4/4": 1.0625})
    >>> round(plan.board_feet), plan.cant_in, plan.cant_wide_in
    (420, 20.0625, 14.0)
    """
    known = {rule.name for rule in RULES}
    if unknown := set(rules) - known:
        raise InputError(f"rule {sorted(unknown)[0]!r}: expected one of {', '.join(sorted(known))}.")
    given: dict[str, Any] = {}
    for rule in RULES:
        given |= rule.on if rule.name in rules else rule.off
    least = least_cant_in(log)
    if "wide_cant" in rules and settings.get("most_cant_in", least) < least:
        settings = {"least_cant_in": least, **settings, "most_cant_in": least}
    return saw(log, kerf_in, thicknesses_in, "cant", **{**given, **settings})


def least_cant_in(log: Log) -> float:
    """Return the narrowest cant that stands safely on the bed by the first of the `RULES` (in, to the half inch).

    Parameters
    ----------
    log : Log

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> least_cant_in(Log(26.5))
    13.5
    """
    return ceil(2 * CANT_SHARE * log.small_in - 1e-9) / 2


def costs(
    log: Log,
    kerf_in: float,
    thicknesses_in: Sequence[float | str] | Mapping[str, float],
    rules: Collection[str] = USUAL,
    **settings: Any,
) -> list[Cost]:
    """Return what each rule costs for one log: with it less without it, the others as they are.

    Parameters
    ----------
    log, kerf_in, thicknesses_in, rules, settings :
        As in `sawn_by`.

    Returns
    -------
    list of Cost
        One for each of `RULES`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> for c in costs(Log(26, 29, 12), 1/8, {"4/4": 1.0625}):
    ...     print(f"{c.rule.says}: {c.board_feet:.0f} bf, {c.passes} passes, {c.turns} turns, {c.boards} boards")
    A cant at least half as wide as the small end: 1 bf, 5 passes, 1 turns, 5 boards
    A first slab of 1/2 in where the cant is opened: 0 bf, 0 passes, 0 turns, 0 boards
    The same drop every time: 0 bf, 0 passes, 0 turns, 0 boards
    A big log's cant off four faces, at most 1-1/2 times as tall as its foot: -1 bf, -3 passes, -3 turns, -3 boards
    Three boards off a side, then turn: 0 bf, 0 passes, -2 turns, 0 boards
    """
    now = sawn_by(log, kerf_in, thicknesses_in, rules, **settings)
    out = []
    for rule in RULES:
        held = rule.name in rules
        other = sawn_by(log, kerf_in, thicknesses_in, {*rules} ^ {rule.name}, **settings)
        with_it, without = (now, other) if held else (other, now)
        out.append(
            Cost(
                rule,
                round(without.board_feet - with_it.board_feet, 6) + 0.0,
                len(without.passes) - len(with_it.passes),
                without.passes[-1].setup - with_it.passes[-1].setup,
                len(without.cut_boards) - len(with_it.cut_boards),
            )
        )
    return out


def ways_with_a_bow(
    log: Log,
    kerf_in: float,
    thicknesses_in: Sequence[float | str] | Mapping[str, float],
    **settings: Any,
) -> dict[str, float]:
    """Return the board feet of a bowed log by each way to saw it, the most first; one that gives none is left out.

    Parameters
    ----------
    log : Log
    kerf_in, thicknesses_in, settings :
        As in `saw`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> for way, bf in ways_with_a_bow(Log(12, length_ft=16, sweep_in=3), 1/8, {"4/4": 1.0625}).items():
    ...     print(f"{way}: {bf:.0f} bf")
    bucked in two first, each half around a cant: 114 bf
    through and through, the bow up: 99 bf
    around a cant, the bow level, then up: 97 bf
    through and through, the bow level: 88 bf
    """

    def around_a_cant(piece: Log) -> SawingPlan:
        return saw(piece, kerf_in, thicknesses_in, "cant", **settings)

    def through(bow_up: bool) -> float:
        cants = ("most_cant_in", "least_cant_in", "cant_in", "a_side")
        kept = {name: value for name, value in settings.items() if name not in cants}
        return saw(log, kerf_in, thicknesses_in, "through-and-through", bow_up=bow_up, **kept).board_feet

    found = {}
    for way, bf in (
        ("around a cant, the bow level, then up", lambda: around_a_cant(log).board_feet),
        ("through and through, the bow level", lambda: through(False)),
        ("through and through, the bow up", lambda: through(True)),
        ("bucked in two first, each half around a cant", lambda: halves_bf(log, around_a_cant)),
    ):
        with contextlib.suppress(TooThin):
            found[way] = bf()
    return {way: bf for way, bf in sorted(found.items(), key=lambda each: -each[1]) if bf}
