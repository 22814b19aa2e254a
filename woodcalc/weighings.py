"""What weighings and meter readings tell of a stack's moisture, and which of them cannot be right."""

from __future__ import annotations

import math
import re
import warnings
from bisect import bisect, insort
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from itertools import islice
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from woodcalc.checks import InputError, blank, in_a_list
from woodcalc.units import POUNDS

if TYPE_CHECKING:
    import pandas as pd


# Wood in the log may hold a little more than its cavities in sound wood do: bark, ice, light growth (common practice).
_MORE_WATER = 1.15
_ANY_WOOD_MC = 300.0  # % at most where the wood is not known: above western redcedar's 258
DRY_WEIGHT = "the board's oven-dry weight"  # what a weighing waits for
WHICH_BOARD = "the board's number"
_METER_END = 120.0  # % that a meter can show at most
# A stack may lose a fifth of its weight between two weighings and gains next to nothing: rain on one board.
FALL, _RISE = 0.8, 1.25
RISE_PCT = 4.0  # points of moisture that a board gains in a wet spell; more in the warm months is doubtful
WARM = range(4, 10)  # April to September
_GREEN = (
    1.3  # of the oven-dry weight: as wet as wood gets from the air (Wood Handbook, FPL-GTR-282, 2021, ch. 4)
)
SEASON = timedelta(days=400)  # a stack is read for a year or so
_FALLEN = 0.4  # of a weighing: no board is lighter than that the next time
_NEAR_DAYS = 60  # a day that was likely meant lies no further from the other weighings of the board
_QUICKER = 1.1  # than from the weighing before: a scale's last digit, a warm week (common practice)
_NOTHING = 1e-9  # what is no more than that weighs nothing, in any unit
_LOOK_BACK = 60  # weighings of one board that are held against a later one


@dataclass(frozen=True)
class Stray:
    """A reading that is left out, or used though it is doubtful.

    Attributes
    ----------
    row : int
        Index of the row in the readings.
    column : str
        Where the slip likely stands.
    expected : str
        What was expected, and the likely slip.
    mend : str
        What would put it right, or "".
    says : str
        The whole thing in one or two sentences.
    used : bool
    twice : bool
        The reading stands in another row already, and counts once.
    rivals : tuple of int
        Other rows, if leaving out one of those explains what does not fit just as well.
    little : bool
        Nothing is wrong with the reading; it tells little.
    remark : bool
        All may be well: it is good to know, and no more.
    """

    row: int
    column: str
    expected: str
    mend: str
    says: str
    used: bool = False
    twice: bool = False
    rivals: tuple[int, ...] = ()
    little: bool = False
    remark: bool = False


@cache
def _greatest_mc(species: Any) -> float:
    """The most water that a wood can hold, %, with a little over."""
    from woodcalc import moisture
    from woodcalc import species as woods

    try:
        return _MORE_WATER * moisture.greatest_mc_pct(woods.get(species).basic_sg)
    except (InputError, AttributeError, TypeError):
        return _ANY_WOOD_MC


def mc_readings(readings: pd.DataFrame, stack: str, species: str) -> pd.DataFrame:
    """Return the moisture contents that the readings of one stack tell, in order of date.

    A weight tells a moisture content once the board's oven-dry weight is known (a row of kind ``oven-dry``; if
    there are several, the one that goes with the weighings counts). Meter readings are corrected for temperature
    where it was noted.
    A reading that cannot be right is left out, and said; it never stops the others.

    Parameters
    ----------
    readings : DataFrame
        The readings table.
    stack : str
        Which stack.
    species : str
        The wood: how much water it can hold, and the meter's correction.

    Returns
    -------
    DataFrame
        ``date``, ``board``, ``kind``, ``mc_pct``. ``.attrs["notes"]`` says in full sentences what could not be used
        or is doubtful, and why.

    Examples
    --------
    >>> import pandas as pd
    >>> rows = [("2025-05-10", 16.6, "weight"), ("2025-05-24", 1.49, "weight"), ("2025-06-07", 13.7, "weight"),
    ...         ("2025-05-10", 9.32, "oven-dry")]
    >>> table = pd.DataFrame(rows, columns=["date", "value", "kind"])
    >>> table = table.assign(stack="A", board="1-3", unit="lb", date=pd.to_datetime(table["date"]))
    >>> found = mc_readings(table, "A", "northern red oak")
    >>> found["mc_pct"].round(1).tolist()
    [78.1, 47.0]
    >>> found.attrs["notes"][0].rpartition(". ")[2]
    'Is 14.9 meant?'
    """
    import pandas as pd

    told, strays, waiting = readings_told(readings[readings["stack"] == stack], species)
    result = pd.DataFrame(
        [(r.date, r.board, r.kind, mc) for r, mc in told], columns=["date", "board", "kind", "mc_pct"]
    )
    result["mc_pct"] = result["mc_pct"].astype(float)
    result.attrs["notes"] = [stray.says for stray in strays] + waiting
    return result


_CELLS = ("date", "board", "kind", "value", "unit", "temp_f")


def rows_by_stack(readings: pd.DataFrame) -> dict[str, list[tuple[Any, ...]]]:
    """Return {stack: its rows as plain tuples}, for `readings_told`: many stacks from one look through the table.

    Parameters
    ----------
    readings : DataFrame
        The readings table; its index names the rows.

    Returns
    -------
    dict of str to list of tuple
        In the order of the table; each tuple the row's name, then date, board, kind, value, unit, temp_f.

    Examples
    --------
    >>> import pandas as pd
    >>> table = pd.DataFrame({"stack": ["A"], "date": [pd.Timestamp("2025-05-24")], "kind": ["meter"], "value": [24.0]})
    >>> {stack: [row[3:5] for row in rows] for stack, rows in rows_by_stack(table).items()}
    {'A': [('meter', 24.0)]}
    """
    stacks: dict[str, list[tuple[Any, ...]]] = {}
    for stack, *row in zip(readings["stack"], readings.index, *_cells(readings), strict=True):
        stacks.setdefault(stack, []).append(tuple(row))
    return stacks


def _cells(readings: pd.DataFrame) -> list[Any]:
    return [readings[name] if name in readings else [None] * len(readings) for name in _CELLS]


def readings_told(
    mine: pd.DataFrame | list[tuple[Any, ...]], species: str | None, driest: tuple[float, str] | None = None
) -> tuple[list[tuple[_Reading, float]], list[Stray], list[str]]:
    """Return ((reading, its moisture content) by date, strays, sentences about weighings without an oven-dry weight).

    Parameters
    ----------
    mine : DataFrame or list of tuple
        The readings of one stack; its index names the rows. Or one value of `rows_by_stack`.
    species : str
    driest : tuple of (float, str), optional
        The lowest moisture that wood reaches outdoors where the stack stands, %, and how that place is named.

    Examples
    --------
    >>> import pandas as pd
    >>> rows = [(2, pd.Timestamp("2025-05-24"), "1-3", "meter", 24.0, "%", 70.0)]
    >>> told, strays, waiting = readings_told(rows, "northern red oak")
    >>> [round(mc) for _, mc in told], strays, waiting
    ([24], [], [])
    """
    cells = mine if isinstance(mine, list) else zip(mine.index, *_cells(mine), strict=True)
    rows, strays = _usable(cells)
    told, waiting = [], []
    boards: dict[str, list[_Reading]] = {}
    for r in rows:
        if r.kind == "meter":
            mc, stray = _metered(r, driest)
            strays += [stray] if stray else []
            if mc is not None:
                told.append((r, mc))
        else:
            boards.setdefault(r.board.casefold(), []).append(r)
    nameless = _nameless(boards)
    for board in boards.values():
        dry = [r for r in board if r.kind == "oven-dry"]
        weights = [r for r in board if r.kind == "weight"]
        most = 1 + _greatest_mc(species) / 100
        counts = _dry_weight_that_counts(dry, weights, most)
        others = _dry_weights_disagree(dry, counts, weights, most)
        good, odd = _weighed(weights, counts, most)
        strays += others + _without_doubtful_units(odd, dry, weights, most, bool(others))
        if counts:
            told += [(r, 100 * (r.lb / counts.lb - 1)) for r in good]
            strays += _drier_than_outdoors(good, odd, counts, driest) if driest else []
        elif good:
            waiting.append(good)
    strays += [_whose(r, boards, told) for r in nameless]
    order = {r.row: i for i, r in enumerate(rows)}
    told.sort(key=lambda pair: order[pair[0].row])
    strays.sort(key=lambda stray: stray.row)
    return told, strays, _waits(waiting)


def _nameless(boards: dict[str, list[_Reading]]) -> list[Any]:
    """Take out the weights that name no board where other weights of the stack name theirs, and return them.

    Weights that make a board of their own, with an oven-dry weight and two weighings, stay one.
    """
    kinds = [r.kind for r in boards.get("", ())]
    if not kinds or len(boards) == 1 or ("oven-dry" in kinds and kinds.count("weight") > 1):
        return []
    return boards.pop("")


def _whose(r: Any, boards: Any, told: Any) -> Any:
    """The stray of a weight that names no board: which of the stack's it may be of."""
    names = [rows[0].board for rows in boards.values()]
    on = [rows[0].board for rows in boards.values() if r.kind == "weight" and _goes_on(r, rows, told)]
    some = names[:6] + ["another"] * (len(names) > 6)
    asks = " or ".join(filter(None, (", ".join(some[:-1]), some[-1])))
    says = f"No board given in this row. Board {asks}?"
    if len(on) == 1:
        says += f" Its weight goes on from those of board {on[0]}." if len(names) > 1 else ""
    expected = f"the board's number: {asks}?"
    return Stray(r.row, "board", expected, on[0] if len(on) == 1 else "", says)


def _goes_on(r: Any, rows: Any, told: Any) -> Any:
    """True if a weight lies between the weighings of a board that are used, or goes on from its last one."""
    used = {each.row for each, _ in told}
    dry = next((each for each in rows if each.kind == "oven-dry"), None)
    weights = [each for each in rows if each.kind == "weight" and (not dry or each.row in used)]
    if any(each.date == r.date for each in weights) or (dry and r.lb <= dry.lb):
        return False
    before, after = _beside(r, weights)
    if (
        not before or not 0.85 * before[0].lb <= r.lb <= 1.01 * before[0].lb
    ):  # a seventh of its weight in one go
        return False
    return not after or after[0].lb <= 1.01 * r.lb


@dataclass(frozen=True)
class _Reading:
    """One row of the readings, its weight in pounds."""

    row: int
    date: datetime
    board: str
    kind: str
    value: float
    unit: str
    temp_f: float
    lb: float

    @property
    def name(self) -> str:
        what = {"weight": "weight", "oven-dry": "oven-dry weight", "meter": "meter reading"}[self.kind]
        board = f" of board {self.board}" if self.board else ""
        return f"The {what}{board} on {self.date:%Y-%m-%d}, {self}"

    def __str__(self) -> str:
        return f"{self.value:.6g} {self.unit}"


def _usable(cells: Any) -> tuple[list[_Reading], list[Any]]:
    """Return (readings in order of date, strays): rows that hold a date, a number, a kind and a unit, once each."""
    rows: list[_Reading] = []
    strays: list[Stray] = []
    seen: dict[tuple[Any, ...], int] = {}
    for row, day, board, kind, value, unit, temp in cells:
        board = "" if blank(board) else str(board)
        try:
            value, temp = float(value), float("nan") if blank(temp) else float(temp)
        except (TypeError, ValueError):
            value = float("nan")
        unit = "%" if kind == "meter" else unit
        good = (
            not blank(day)
            and kind in ("meter", "weight", "oven-dry")
            and math.isfinite(value)
            and value > _NOTHING
        )
        if not good or not hasattr(day, "year") or (kind != "meter" and unit not in POUNDS):
            of = f" of board {board}" if board else ""
            when = f" on {day:%Y-%m-%d}" if hasattr(day, "year") and not blank(day) else ""
            expected = "a date, a kind (meter, weight or oven-dry), a number above 0, and lb, kg, oz or g for a weight"
            says = f"A reading{of}{when} is left out: it needs {expected}."
            strays.append(Stray(row, "value", expected, "", says))
            continue
        lb = value * POUNDS[unit] if kind != "meter" else value
        r = _Reading(row, day, board, kind, value, unit, temp, lb)
        key = (day, board, kind, value, unit, None if blank(temp) else temp)
        if key in seen:
            expected = f"each reading once; row {seen[key]} has the same"
            what = r.name.replace(f"{day:%Y-%m-%d}", f"{day.day} {day:%B}")
            says = f"{what}, stands there twice (rows {seen[key]} and {row}). It counts once."
            strays.append(Stray(row, "value", expected, "", says, twice=True))
            continue
        seen[key] = row
        rows.append(r)
    rows.sort(key=lambda r: r.date)
    return rows, strays


def _metered(r: _Reading, driest: tuple[float, str] | None = None) -> tuple[float | None, Stray | None]:
    """Return (moisture content or None, stray or None) of a meter reading."""
    from woodcalc import moisture

    low, high = moisture.meter_range_pct()
    if driest and r.value < min(low, driest[0]):
        asked = _lost_digit(r, high) or "Is the number right?"
        expected = f"at least {low:g} %, where a pin meter begins, and {_outdoors(driest)}. {asked}"
        return None, Stray(r.row, "value", expected, "", f"{r.name}, is left out: expected {expected}")
    if r.value > _METER_END:
        expected = f"at most {_METER_END:.0f} %: no meter shows more. Was it a weight?"
        return None, Stray(r.row, "value", expected, "", f"{r.name}, is left out: expected {expected}")
    if not low <= r.value <= high:
        expected = f"{low:g} to {high:g} %, where a pin meter can be trusted; it counts for little"
        says = f"{r.name}, is outside {low:g} to {high:g} %, where a pin meter can be trusted: it counts for little."
        return r.value, Stray(r.row, "value", expected, "", says, True, little=r.value > high)
    if blank(r.temp_f):
        return r.value, None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return float(moisture.meter_corrected_pct(r.value, r.temp_f)), None
    except InputError as error:
        expected = f"the temperature of the wood in F. {error}"
        says = f"{r.name}, is used as it is: its temperature of {r.temp_f:g} F cannot be right."
        return r.value, Stray(r.row, "temp_f", expected, "", says, True)


def _lost_digit(r: _Reading, high: float) -> str:
    """Ask whether the first digit of a meter reading was lost; "" if it cannot be."""
    longer = [f"{d}{r.value:.10g}" for d in range(1, 10)]
    return "Is its first digit missing?" if any(float(text) <= high for text in longer) else ""


def _outdoors(driest: tuple[float, str]) -> str:
    """How dry wood gets outdoors, in words."""
    return f"wood outdoors in {driest[1]} hardly gets below {driest[0]:.0f} %"


SOONEST_INDOORS_DAYS = (
    60  # from the first weighing: sooner, no board is dry enough to come in (`common practice`)
)


def _drier_than_outdoors(good: Any, odd: Any, dry: Any, driest: Any) -> Any:
    """Strays of a board whose moisture comes out drier than the air leaves it: fewest rows accused.

    Several such weighings are explained by the oven-dry weight alone. A single one may be wrong itself: then both
    are named, and neither alone. After wetter ones and with none after them, the board may be indoors: a remark, if
    it was on sticks for as long as that takes at the least.
    """
    asked = {s.row for s in odd}
    low = [r for r in good if r.lb < (1 + driest[0] / 100) * dry.lb]
    if not low or any(r.row in asked for r in low) or dry.row in asked:
        return []
    last = low[-1]
    comes = f"{last} on {last.date:%Y-%m-%d} comes to {100 * (last.lb / dry.lb - 1):.1f} %"
    why = f"{_outdoors(driest)}, and {comes}"
    indoors = len(good) > len(low) and good[-len(low) :] == low
    kiln = (
        " If the board came in from outdoors, into a kiln or a heated room, all is well." if indoors else ""
    )
    well = indoors and (low[0].date - good[0].date).days >= SOONEST_INDOORS_DAYS
    if len(low) == 1:
        of = f" of board {dry.board}" if dry.board else ""
        one = f"The weight{of} in row {last.row} or its oven-dry weight in row {dry.row}, {dry}, looks wrong"
        says = f"{one}: {why}.{kiln}"
        return [Stray(last.row, "value", f"more: {why}", "", says, True, rivals=(dry.row,), remark=well)]
    slip = f"Was it bone dry when you weighed it, and is it this board's?{kiln}"
    says = f"{dry.name}, looks too high: {why}. {slip}"
    return [Stray(dry.row, "value", f"less: {why}. {slip}", "", says, True, remark=well)]


def _holds(r: _Reading, dry: _Reading, most: float) -> bool:
    """True if a weighing is above the oven-dry weight and holds no more water than the wood can."""
    return dry.lb < r.lb <= most * dry.lb


def _dry_weight_that_counts(dry: list[_Reading], weights: list[_Reading], most: float) -> Any:
    """The oven-dry weight of a board that most weighings go with; among equals the one nearest the first written."""
    if not dry:
        return None
    first = min(dry, key=lambda r: r.row)

    def misfit(d: _Reading) -> tuple[int, float, int]:
        return sum(not _holds(r, d, most) for r in weights), abs(d.lb / first.lb - 1), d.row

    return min(dry, key=misfit)


def _dry_weights_disagree(
    dry: list[_Reading], counts: _Reading, weights: list[_Reading], most: float
) -> list[Stray]:
    """Oven-dry weights of one board that differ from the one that counts, as strays with the likely slip."""
    out = []
    for r in dry:
        if abs(r.lb / counts.lb - 1) <= 0.01:
            continue
        fix, slip = _fix(r, lambda m: abs(m.lb / counts.lb - 1) <= 0.01)
        low, high = _room(r, [w for w in weights if _holds(w, counts, most)], counts, most)
        if not slip and 1.05 * counts.lb < r.lb and low <= r.lb <= high:
            fix, slip = ("kind", "weight"), "Was it a weighing, of kind weight?"
        slip = slip or "Was another board on the scale?"
        says = f"{r.name}, is not the one that counts: row {counts.row} has {counts}. {slip}"
        expected = f"the same as in row {counts.row}, {counts}: a board has one, and that one counts. {slip}"
        out.append(Stray(r.row, fix[0], expected, fix[1], says))
    return out


def _without_doubtful_units(
    strays: list[Stray], dry: list[_Reading], weights: list[_Reading], most: float, disagree: bool
) -> list[Stray]:
    """Keep the mend of a unit only where at least two other weighings of the board bear it out.

    None is offered while the oven-dry weights disagree, or if most of a board's rows would need it.
    """
    units = [s for s in strays if s.column == "unit" and s.mend]
    too_many = 2 * len(units) > len(weights) > 1
    rows, odd = {r.row: r for r in [*dry, *weights]}, {s.row for s in strays}
    sound = [w for w in weights if w.row not in odd]

    def borne_out(s: Any) -> Any:
        r = rows[s.row]
        mended = replace(r, unit=s.mend, lb=r.value * POUNDS[s.mend])
        return sum(islice((1 for w in sound if _goes_with(mended, w, most)), 2)) == 2

    return [
        replace(s, mend="")
        if s.column == "unit" and s.mend and (disagree or too_many or not borne_out(s))
        else s
        for s in strays
    ]


def _goes_with(r: Any, weighing: Any, most: Any) -> Any:
    """True if a weight and another weighing of the board can both be right."""
    if r.kind == "oven-dry":
        return _holds(weighing, r, most)
    first, last = sorted((r, weighing), key=lambda each: each.date)
    return last.lb <= 1.03 * first.lb and first.lb <= most * last.lb


def _waits(boards: list[Any]) -> list[Any]:
    """Say which boards' weighings wait for an oven-dry weight: once for all that were weighed alike."""
    alike: dict[Any, list[str]] = {}
    for weights in boards:
        board = weights[0].board
        alike.setdefault((len(weights), weights[0].date, not board), []).append(board)
    return [_wait(n, first, names) for (n, first, _), names in alike.items()]


def _wait(n: Any, first: Any, names: Any) -> Any:
    numbers = ("", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")
    many = f"{numbers[n] if n < len(numbers) else n} weighing{'s' if n > 1 else ''}"
    when = f"{'on' if n == 1 else 'since'} {first:%Y-%m-%d}"
    if len(names) > 1:
        of = f"each of boards {in_a_list(names)}"
        return f"{many} {of} {when} wait for the boards' oven-dry weights: add them (rows of kind oven-dry)."
    board = f" of board {names[0]}" if names[0] else ""
    return f"{many}{board} {when} wait{'s' * (n == 1)} for {DRY_WEIGHT}: add it (a row of kind oven-dry)."


def _weighed(weights: list[_Reading], dry: _Reading, most: float) -> tuple[list[_Reading], list[Stray]]:
    """Return (weighings that can be right, strays) of one board: the fewest rows that explain what does not fit.

    Parameters
    ----------
    weights : list of _Reading
        In order of date.
    dry : _Reading or None
        The oven-dry weight that counts.
    most : float
        Wettest over oven-dry weight that the wood can have.
    """
    odd = [r for r in weights if dry and not _holds(r, dry, most)]
    if odd and (both := _first_two_asked(odd, weights, dry, most)):
        return [], [both]
    if odd and (asked := _dry_weight_asked(odd, weights, dry, most)):
        out = {s.row for s in asked}
        return (_without(weights, odd) if len(asked) > 1 and dry.row not in out else []), asked
    if not odd and (asked := _dates_asked(weights, dry, most)):
        return [] if dry else weights, [asked]
    if not odd and (asked := _two_apart(weights, most)):
        return weights, [asked]
    good = _without(weights, odd)
    off, rivals = _off_the_others(good, dry, most)
    steady = _without(good, off)
    strays = [_out_of_range(r, steady, dry, most, len(weights) == 1) for r in odd]
    if (
        odd
        and len(weights) > 1
        and not any(s.mend for s in strays)
        and (_dries_on(weights, most) or _in_a_run(odd, weights, dry))
    ):
        if _slows(weights):  # nothing but the oven-dry weight is out of line
            return [], _off_from_all(weights, dry, most, used=False)
        strays = [
            _off_or(odd, *_off_from_all(weights, dry, most))
        ]  # the weighings go with each other, not with it
    used = list(steady)
    for r in off:
        others = rivals.get(r.row, ())
        stray = _one_of(r, others) if others else _jump(r, steady, dry, most)
        strays.append(stray)
        if stray.used:
            insort(used, r, key=_DAY)
    return used, strays


def _without(some: list[_Reading], others: list[_Reading]) -> list[_Reading]:
    """Readings without some others, by their rows."""
    rows = {r.row for r in others}
    return [r for r in some if r.row not in rows]


def _first_two_asked(odd: list[_Reading], weights: list[_Reading], dry: _Reading, most: float) -> Any:
    """Ask about a board's first weight and its oven-dry weight together, if one slip in both explains the rest.

    Two of one day are one witness: the oven-dry weight is worked out from the first one. That they go with each other
    tells nothing against the weighings that come after.
    """
    first, later = weights[0], weights[1:]
    if not later or dry.date != first.date or [r.row for r in odd] != [r.row for r in later]:
        return None
    units = {u: POUNDS[u] / POUNDS[first.unit] for u in POUNDS if u != first.unit == dry.unit}
    moved: dict[Any, float] = {f: f for f in (10, 0.1, 100, 0.01)}
    ways = [
        how
        for how, factor in {**moved, **units}.items()
        if _dries_on([replace(first, lb=first.lb * factor), *later], most)
        and all(_holds(r, replace(dry, lb=dry.lb * factor), most) for r in later)
    ]
    if not ways:
        return None
    how = next((way for way in ways if way in ("lb", "kg")), ways[0])
    both, board = (
        f"{dry} (row {dry.row}) and {first} (row {first.row})",
        f" of board {dry.board}" * bool(dry.board),
    )
    unit = isinstance(how, str)
    if len(later) == 1:
        r = later[0]
        meant = f"Was it weighed in {first.unit}?" if unit else f"Is {r.value / how:.6g} meant?"
        meant += (
            f" Or were those two weighed in {how}?"
            if unit
            else f" Or are those two {dry.value * how:.4g} and {first.value * how:.4g}?"
        )
        says = (
            f"{r.name}, is left out: it does not go with the oven-dry weight and the first weight, {both}, which are "
            f"of one day. {meant}"
        )
        return Stray(r.row, "value", f"a weight that goes with {both}", "", says, rivals=(dry.row, first.row))
    meant = (
        f"Were both weighed in {how}?"
        if unit
        else f"Are {dry.value * how:.4g} and {first.value * how:.4g} meant?"
    )
    says = (
        f"The oven-dry weight{board} and its first weight, {both}, are of one day, and do not go with what it weighed "
        f"afterwards, {later[0]} to {later[-1]}. {meant}"
    )
    return Stray(dry.row, "value", "weights that go with those after them", "", says, rivals=(first.row,))


def _dry_weight_asked(
    odd: list[_Reading], weights: list[_Reading], dry: _Reading, most: float
) -> list[Stray]:
    """Strays where the oven-dry weight, or it and a wet one, explain why weighings do not go with it; [] if not."""
    wet = _swapped(weights, dry, most)
    if wet and 2 * len(odd) > len(weights):
        return _swap_asked(wet, weights, dry)
    if len(weights) == 1:
        return []
    (column, mend), slip = _fix(dry, lambda m: all(_holds(r, m, most) for r in weights))
    unit = _common_unit(odd, weights, dry, most)
    if unit and (len(odd) < len(weights) or not slip or _RARE.search(slip)):
        return _units_asked(odd, weights, dry, unit)
    if 2 * len(odd) <= len(weights):
        of_one = _fix(odd[0], lambda m: _holds(m, dry, most))[1] if len(odd) == 1 else ""
        # where one weighing undercuts the oven-dry weight and others do not, that weighing is the suspect
        if not slip or (len(odd) == 1 and _RARE.search(slip)) or (of_one and not _RARE.search(of_one)):
            return []
    elif not slip and len(odd) <= 1 + len(weights) - _at_most_held(weights, most):
        return []  # no oven-dry weight at all would need fewer rows to be wrong
    if not mend or any(_same(r, dry) for r in weights):
        return _off_from_all(weights, dry, most, used=False, slip=slip)
    others = f"weighings, {weights[0]} to {weights[-1]}"
    expected = f"an oven-dry weight that goes with the board's {others}. {slip}"
    says = f"{dry.name}, does not go with the board's {len(weights)} {others}: they are left out. {slip}"
    return [Stray(dry.row, column, expected, mend, says)]


def _at_most_held(weights: Any, most: Any) -> Any:
    """How many weighings of a board one and the same oven-dry weight could go with."""
    lb = sorted(r.lb for r in weights)
    return max(bisect(lb, most * low) - i for i, low in enumerate(lb))


def _common_unit(odd: list[_Reading], weights: list[_Reading], dry: _Reading, most: float) -> str:
    """The unit in which several weighings together go with the oven-dry weight and the rest; "" if there is none."""
    if len(odd) < 2 or any(_same(r, dry) for r in odd):
        return ""
    rows = {r.row for r in odd}
    for unit in POUNDS:
        if any(r.unit == unit for r in odd):
            continue
        mended = [replace(r, unit=unit, lb=r.value * POUNDS[unit]) if r.row in rows else r for r in weights]
        if all(_holds(r, dry, most) for r in mended) and _dries_on(mended, most):
            return unit
    return ""


def _units_asked(odd: Any, weights: Any, dry: Any, unit: Any) -> Any:
    """Strays of weighings that go with the oven-dry weight in another unit; it is named as well if all of them do."""
    board = f" of board {dry.board}" if dry.board else ""
    if len(odd) == len(weights):
        says = (
            f"The {len(weights)} weighings{board}, {weights[0]} to {weights[-1]}, do not go with its oven-dry weight, "
            f"{dry} (row {dry.row}): they are left out. Were they weighed in {unit}, or is that weight wrong?"
        )
        return [Stray(dry.row, "value", "", "", says, rivals=tuple(r.row for r in weights))]
    asked = f"Was it weighed in {unit}, in several rows of this board?"
    expected = f"a weight that goes with the board's others and its oven-dry weight, {dry}. {asked}"
    why = f"is left out: it is under the board's oven-dry weight, {dry}. {asked}"
    return [Stray(r.row, "unit", expected, "", f"{r.name}, {why}") for r in odd]


def off_the_path(count: int, follows: Callable[[int, int], bool]) -> tuple[list[int], list[int]]:
    """Return (places that the longest path through a row of things leaves out for sure, those that it may leave out).

    Parameters
    ----------
    count : int
        How many things there are, in order.
    follows : callable
        Of two places, the earlier first: whether the second can come after the first.

    Returns
    -------
    tuple of list of int
        Where two paths are as long as each other, what is on one of them alone may be left out.

    Examples
    --------
    >>> seen = [50, 45, 90, 40, 35]
    >>> off_the_path(5, lambda i, j: seen[j] <= seen[i])
    ([2], [])
    >>> off_the_path(2, lambda i, j: False)
    ([], [0, 1])
    """
    if all(follows(i, i + 1) for i in range(count - 1)):
        return [], []
    up, down = [1] * count, [1] * count
    for j in range(count):
        up[j] += max((up[i] for i in range(max(j - _LOOK_BACK, 0), j) if follows(i, j)), default=0)
    for i in reversed(range(count)):
        after = range(i + 1, min(i + 1 + _LOOK_BACK, count))
        down[i] += max((down[j] for j in after if follows(i, j)), default=0)
    through = [u + d - 1 for u, d in zip(up, down, strict=True)]
    longest = max(through)
    at = [u for u, t in zip(up, through, strict=True) if t == longest]
    tied = [i for i in range(count) if through[i] == longest and at.count(up[i]) > 1]
    return [i for i in range(count) if through[i] < longest], tied


def _off_the_others(weights: list[_Reading], dry: _Reading, most: float) -> tuple[list[Any], dict[Any, Any]]:
    """Return (weighings that do not go with the rest of their board, {row: those that explain it as well})."""
    if len(weights) < 3:
        return [], {}
    follows = _follows(dry, most)
    middle = sorted(r.lb for r in weights)[len(weights) // 2]
    # wet over dry is less than that in any wood
    far = [r for r in weights if not 1 / 3.3 < r.lb / middle < 3.3]
    near = _without(weights, far)
    sure, tied = off_the_path(len(near), lambda i, j: follows(near[i], near[j]))
    off = [near[i] for i in sure]
    if not tied:
        return sorted([*off, *far], key=_DAY), {}
    torn = [near[i] for i in tied]
    rest = _without(near, off)
    fixes = {r.row: _fix_beside(r, [o for o in rest if o is not r], dry, most) for r in torn}
    fixed = [r for r in torn if fixes[r.row][1]]
    # a moved point or another unit tells which one it is, if no other slip tells of another
    plain = [r for r in fixed if fixes[r.row][0][0] != "date" and not _RARE.search(fixes[r.row][1])]
    if len(plain) == 1 == len(fixed):
        one, rivals = plain[0], {}
    else:
        one = (plain or fixed)[0] if len(plain or fixed) == 1 else max(torn, key=_DAY)
        rivals = _rivals([one], torn, follows)
    rest = [r for r in rest if r is not one]
    more, again = off_the_path(len(rest), lambda i, j: follows(rest[i], rest[j]))
    rivals |= _rivals([rest[i] for i in again[1:]], [rest[i] for i in again], follows)
    also = [rest[i] for i in sorted({*more, *again[1:]})]
    return sorted([*off, *far, one, *also], key=_DAY), rivals


def _rivals(some: Any, tied: Any, follows: Any) -> Any:
    """Return {row: the weighings among those tied that it cannot stand beside} of some weighings."""
    found = {r.row: [o for o in tied if o is not r and not follows(*sorted((r, o), key=_DAY))] for r in some}
    return {row: others for row, others in found.items() if others}


def _follows(dry: _Reading, most: float) -> Any:
    """A function of two weighings: whether the later one can come after the earlier."""

    def follows(a: Any, b: Any) -> Any:
        if b.lb > a.lb:
            return b.lb - a.lb <= rise_lb(a, b)
        return b.lb >= max(1 / most, _FALLEN) * a.lb

    def rise_lb(a: Any, b: Any) -> Any:
        green = dry and a.lb > _GREEN * dry.lb  # damp air wets dry wood alone
        warm = b.date.month in WARM or (green and b.date.month == WARM.start - 1)
        if a.date == b.date or not warm:
            return (_RISE - 1) * a.lb
        return max(0.03 * a.lb, RISE_PCT / 100 * dry.lb) if dry else 0.05 * a.lb

    return follows


def turned(day: datetime) -> datetime:
    """Return the day with month and day of the month changed over; the day itself where there is no such day.

    Examples
    --------
    >>> import pandas as pd
    >>> turned(pd.Timestamp("2025-09-05")) == pd.Timestamp("2025-05-09"), turned(pd.Timestamp("2025-05-24")).day
    (True, 24)
    """
    return day.replace(month=day.day, day=day.month) if day.day <= 12 else day


_WRONG_WAY = "Are the dates the wrong way round (day and month)?"


def _dates_asked(weights: Any, dry: Any, most: Any) -> Any:
    """Ask about the dates where a board's weights rise as they stand and fall with day and month changed over."""

    def falls(rows: Any) -> Any:
        return (
            all(b.lb <= 1.03 * a.lb for a, b in zip(rows, rows[1:], strict=False))
            and rows[0].lb < most * rows[-1].lb
        )

    if len(weights) < 3 or weights[-1].lb <= 1.03 * weights[0].lb:
        return None
    for one in weights:  # a single one of them is for `_off_the_others`
        if falls(sorted((replace(r, date=turned(r.date)) if r is one else r for r in weights), key=_DAY)):
            return None
    other_way = sorted((replace(r, date=turned(r.date)) for r in weights), key=_DAY)
    if not falls(other_way):
        return None
    r, last = weights[0], max(weights[1:], key=lambda each: each.lb)
    board = f" of board {r.board}" if r.board else ""
    go = f"go from {r} on {r.date:%Y-%m-%d} to {last} on {last.date:%Y-%m-%d}"
    out = ": they are left out" if dry else ""
    expected = f"days on which the board gets lighter: its {len(weights)} weighings {go}. {_WRONG_WAY}"
    says = f"The {len(weights)} weighings{board} {go}{out}. {_WRONG_WAY}"
    return Stray(r.row, "date", expected, "", says, not dry)


def _two_apart(weights: Any, most: Any) -> Any:
    """Ask about the only two weighings of a board, if the second can't come after the first: which has the slip?"""
    if len(weights) != 2 or weights[0].lb / most <= weights[1].lb <= _RISE * weights[0].lb:
        return None
    first, r = weights
    slip = "Is the point in its place in both, and the unit right?"
    if r.lb > first.lb and turned(r.date) < turned(first.date):
        slip = f"{slip} If so: {_WRONG_WAY[0].lower()}{_WRONG_WAY[1:]}"
    expected = f"a weight that goes with the one before it, {first} (row {first.row}). {slip}"
    says = f"{r.name}, does not go with the weighing before it, {first}. {slip}"
    return Stray(r.row, "value", expected, "", says, True)


_DAY = attrgetter("date")


def _beside(r: _Reading, steady: list[_Reading]) -> tuple[list[_Reading], list[_Reading]]:
    """Return (the steady weighing just before, the one just after), each in a list; they are in order of date."""
    at = bisect(steady, r.date, key=_DAY)
    return steady[max(at - 1, 0) : at], steady[at : at + 1]


def _room(
    r: _Reading, steady: list[_Reading], dry: _Reading | None = None, most: float = math.inf
) -> tuple[float, float]:
    """Return (lowest, highest) pounds that a weighing can be, from those beside it and from the oven-dry weight."""
    before, after = _beside(r, steady)
    low = 0.97 * after[0].lb if after else dry.lb if dry else 0.5 * before[0].lb
    high = 1.03 * before[0].lb if before else most * dry.lb if dry else 2.2 * after[0].lb
    return low, high


def _slips(r: _Reading) -> Any:
    """Yield (column, mend, the reading as it would be, question) for the usual slips of the pen in one weight.

    No digit is made up: the point is moved, kg and lb are changed, neighbors are swapped, a doubled digit goes.
    """
    text = f"{r.value:.10g}"
    for factor in (10, 0.1, 100, 0.01):
        yield "value", f"{r.value * factor:.6g}", r.unit, "moved"
    if r.unit in ("lb", "kg"):
        yield "unit", "kg" if r.unit == "lb" else "lb", "kg" if r.unit == "lb" else "lb", "unit"
    if "e" in text:  # far from any scale's: no digits to swap
        return
    for written in (text, f"{text}0" if "." in text else f"{text}.0"):
        at = [i for i, c in enumerate(written) if c.isdigit()]
        for i, j in zip(at, at[1:], strict=False):
            swapped = list(written)
            swapped[i], swapped[j] = swapped[j], swapped[i]
            value = "".join(swapped)
            lone = _MOVED.match(text) and i == 0
            if written[i] != written[j] and not lone and (value[0] != "0" or value.startswith("0.")):
                yield "value", f"{float(value):.10g}", r.unit, "swapped"
    for i, (a, b) in enumerate(zip(text, text[1:], strict=False)):
        if a == b:
            yield "value", f"{float(text[:i] + text[i + 1 :]):.10g}", r.unit, "doubled"


# 0.932 is 9.32 with the point moved, and hardly 10.932 or 9.032: no such scale shows thousandths
_MOVED = re.compile(r"0\.\d{3}")
_OR_LOST = ", or is its first digit missing"
_DOUBLED, _SWAPPED = ", with one digit too many", ", with two digits swapped"
_RARE = re.compile(
    f"{_DOUBLED}|{_SWAPPED}| or (?!is its first digit)"
)  # slips that are less common than a moved point or another unit
# what is asked about a weight: done by a press only where the row is not used and nothing else is in question
ASKED = re.compile(rf" Is ([\d.]+(?: or [\d.]+)*) meant(?:{_DOUBLED}|{_SWAPPED})?\?")


def _fix(r: _Reading, fits: Any, whole: Any = None) -> tuple[tuple[str, str], str]:
    """Return ((column, mend), question) for the one usual slip that makes a weight fit; (("value", ""), "") if none.

    Where several would, the question names them, and there is no mend; nor is there one if the first digit may be
    missing as well: that the weight with it fits is for `whole` to say, `fits` if left out.
    """
    found: dict[float, tuple[str, str, str]] = {}
    for column, mend, unit, what in _slips(r):
        value = float(mend) if column == "value" else r.value
        mended = replace(r, value=value, unit=unit, lb=value * POUNDS[unit])
        if mended.lb > 0 and fits(mended):
            found.setdefault(round(mended.lb, 6), (column, mend, what))
    ways = [*found.values()]
    if len(ways) > 1:
        meant = [f"{r.value:.6g} {mend}" if column == "unit" else mend for column, mend, _ in ways]
        return ("value", ""), f"Is {' or '.join(dict.fromkeys(meant))} meant?"
    if not ways:
        units = [u for u in POUNDS if u != r.unit and fits(replace(r, unit=u, lb=r.value * POUNDS[u]))]
        if units or not any(map(fits, _with_a_digit_before(r))):
            return ("unit" if units else "value", ""), f"Was it weighed in {units[0]}?" if units else ""
        return ("value", ""), "Is its first digit missing?"
    (column, mend, what) = ways[0]
    if why := {"doubled": _DOUBLED, "swapped": _SWAPPED}.get(what, ""):
        # in nearly every number two digits can be swapped so that it fits: that is asked, and never done
        return (column, ""), f"Is {mend} meant{why}?"
    lost = not _MOVED.match(f"{r.value:.10g}") and any(map(whole or fits, _with_a_digit_before(r)))
    asks = f"Was it weighed in {mend}" if column == "unit" else f"Is {mend} meant"
    return (column, "" if lost else mend), f"{asks}{_OR_LOST if lost else ''}?"


def _with_a_digit_before(r: _Reading) -> Any:
    """The reading with each of the nine digits before its weight, one after the other."""
    return (replace(r, lb=float(f"{d}{r.value:.10g}") * POUNDS[r.unit]) for d in range(1, 10))


def _on_its_way(m: _Reading, steady: list[_Reading], low: float, high: float) -> bool:
    """True if a weight lies on a board's way down: under the line between those beside it, in no great step."""
    before, after = _beside(m, steady)
    steps = [*((a, m) for a in before), *((m, b) for b in after)]
    fortnights = [max((b.date - a.date) / timedelta(days=14), 1) for a, b in steps]
    if (
        any(b.lb < FALL**n * a.lb for (a, b), n in zip(steps, fortnights, strict=True))
        or not low <= m.lb <= high
    ):
        return False
    if not before or not after:
        return not before or m.lb <= 1.01 * before[0].lb
    (a,), (b,) = before, after
    share = (m.date - a.date) / max(b.date - a.date, timedelta(days=1))
    return m.lb <= 1.02 * (a.lb + share * (b.lb - a.lb))


def _fix_beside(
    r: _Reading, steady: list[_Reading], dry: _Reading, most: float
) -> tuple[tuple[str, str], str]:
    """The slip that makes a weighing go with the steady ones around it: in its weight, or in its day."""
    low, high = _room(r, steady, dry, most)
    (column, mend), slip = _fix(r, lambda m: low <= m.lb <= high, lambda m: _on_its_way(m, steady, low, high))
    day, follows = turned(r.date), _follows(dry, most)
    if day == r.date or not _holds_or_free(r, dry, most):
        return (column, mend), slip
    moved = replace(r, date=day)
    before, after = _beside(moved, steady)
    fits = all(follows(a, moved) for a in before) and all(follows(moved, b) for b in after)
    fits = fits and all(r.lb <= 1.01 * a.lb for a in before) and all(b.lb <= 1.01 * r.lb for b in after)
    near = any(abs((day - o.date).days) <= _NEAR_DAYS for o in (*before, *after))
    if not fits or not near or len(steady) < 2:
        return (column, mend), slip
    asked = f"s {day:%Y-%m-%d} meant, with day and month the other way round?"
    return (("value", ""), f"{slip} Or i{asked}") if slip else (("date", f"{day:%Y-%m-%d}"), f"I{asked}")


def _holds_or_free(r: Any, dry: Any, most: Any) -> Any:
    return dry is None or _holds(r, dry, most)


def _around(r: _Reading, steady: list[_Reading]) -> str:
    before, after = _beside(r, steady)
    if before and after:
        return f"the weighings around it are {before[0]} and {after[0]}"
    return f"the weighing before it is {before[0]}" if before else f"the weighing after it is {after[0]}"


def _one_of(r: Any, others: Any) -> Any:
    """The stray of weighings of which one does not fit, and nothing tells which."""
    rows = sorted([r, *others], key=_DAY)
    named = [f"row {each.row} ({each} on {each.date:%Y-%m-%d})" for each in rows]
    many = "two" if len(rows) == 2 else "weighings"
    board = f" of board {r.board}" if r.board else ""
    says = (
        f"One of these {many}{board} does not fit: {', '.join(named[:-1])} or {named[-1]}. Look at your note."
    )
    expected = "a weight that goes with the others"
    return Stray(r.row, "value", expected, "", says, True, rivals=tuple(o.row for o in others))


def _jump(r: Any, steady: Any, dry: Any, most: Any) -> Any:
    """The stray of a weighing that jumps: left out if a usual slip explains it, else used and said."""
    if not steady:
        return Stray(r.row, "value", "", "", f"{r.name}, does not go with the others.", True)
    (column, mend), slip = _fix_beside(r, steady, dry, most)
    around = _around(r, steady)
    before, after = _beside(r, steady)
    possible = all(_FALLEN * a.lb <= r.lb <= _RISE * a.lb for a in before)
    possible = possible and all(a.lb <= _RISE * r.lb for a in after)
    if slip and not possible:
        says = f"{r.name}, is left out: {around}. {slip}"
        return Stray(r.row, column, f"a weight that goes with the others: {around}. {slip}", mend, says)
    if not slip:
        wrong_way = before and r.lb > before[0].lb and turned(r.date) < turned(before[0].date)
        slip = "Was another board on the scale, or did rain get at it?" if possible else _OTHER_BOARD
        slip = f"{slip} {_WRONG_WAY}" if wrong_way else slip
    says = f"{r.name}, is doubtful: {around}. {slip}"
    return Stray(r.row, column, f"a weight that goes with the others: {around}. {slip}", mend, says, True)


_OTHER_BOARD = "Was another board on the scale?"


def _out_of_range(r: _Reading, steady: list[_Reading], dry: _Reading, most: float, alone: bool) -> Stray:
    """The stray of a weighing that is below the oven-dry weight, or holds more water than the wood can.

    If it is the board's only one, either of the two weights can have the slip: both are named, and none is mended.
    """
    rivals = (dry.row,) if alone else ()
    if _same(r, dry):
        asked = "Which of the two did you read off the scale?"
        expected = (
            f"more than the board's oven-dry weight, {dry} (row {dry.row}): the two are the same. {asked}"
        )
        says = f"{r.name}, is left out: it is the same as the board's oven-dry weight, {dry} (row {dry.row}). {asked}"
        return Stray(r.row, "value", expected, "", says, rivals=rivals)
    (column, mend), slip = _fix_beside(r, steady, dry, most)
    if r.lb <= dry.lb:
        why = f"it is under the board's oven-dry weight, {dry}"
        expected = f"more than the board's oven-dry weight, {dry} (row {dry.row})"
    else:
        wet = 100 * (r.lb / dry.lb - 1)
        why = f"over an oven-dry weight of {dry} it makes {wet:.0f} % moisture, more than the wood can hold"
        top = f"{most * dry.lb / POUNDS[r.unit]:.3g} {r.unit}"
        expected = f"at most {top} for an oven-dry weight of {dry} (row {dry.row})"
    why += f" (row {dry.row})" if alone else ""
    why += f", and {_around(r, steady)}" if steady else ""
    other = _fix(dry, lambda m: _holds(r, m, most))[1] if alone else ""
    if other and not _RARE.search(other):
        column, mend = "value", ""
        other = f"{other[0].lower()}{other[1:]}"
        slip = f"{slip} Or of the oven-dry weight: {other}" if slip else f"Of the oven-dry weight: {other}"
    slip = slip or (_OTHER_BOARD if steady else "Check both weights.")
    return Stray(
        r.row,
        column or "value",
        f"{expected}. {slip}",
        mend,
        f"{r.name}, is left out: {why}. {slip}",
        rivals=rivals,
    )


def _same(r: _Reading, dry: _Reading) -> bool:
    """True if a weighing is the oven-dry weight over again, in whatever unit."""
    return math.isclose(r.lb, dry.lb, rel_tol=1e-3)


def _swapped(weights: list[_Reading], dry: _Reading, most: float) -> Any:
    """The weighing that, changed for the oven-dry weight, makes all weights of a board go together; None if none."""
    lightest = min(weights, key=lambda r: r.lb)
    if _same(lightest, dry) or lightest is not weights[0]:  # green and dry are mixed up, no later weighing
        return None
    changed = [replace(r, lb=dry.lb) if r is lightest else r for r in weights]
    holds = all(_holds(r, lightest, most) for r in changed)
    return lightest if holds and _dries_on(changed, most) else None


def _swap_asked(wet: Any, weights: Any, dry: Any) -> Any:
    """Ask whether two weights are swapped. No mend: one row alone put right would lose the weight in the other."""
    slip = "Are the wet and the dry weight swapped? If so, swap them in the form."
    expected = f"at least the oven-dry weight, {dry} (row {dry.row}). {slip}"
    out = "it is left out" if len(weights) == 1 else f"the board's {len(weights)} weighings are left out"
    says = f"{wet.name}, is under the board's oven-dry weight, {dry}: {out}. {slip}"
    light = Stray(wet.row, "value", expected, "", says)
    expected = f"at most the wet weight, {wet} (row {wet.row}). {slip}"
    says = f"{dry.name}, is above the board's wet weight, {wet}. {slip}"
    return [light, Stray(dry.row, "value", expected, "", says)]


def _dries_on(weights: Any, most: Any) -> Any:
    """True if the weighings of a board go with each other as drying does, whatever its oven-dry weight."""
    steps = [b.lb / a.lb for a, b in zip(weights, weights[1:], strict=False)]
    return all(FALL <= step <= 1.03 for step in steps) and weights[0].lb < most * weights[-1].lb


def _slows(weights: Any) -> Any:
    """True if a board loses weight ever more slowly from one weighing to the next, as one that dries undisturbed."""
    pairs = zip(weights, weights[1:], strict=False)
    pace = [math.log(a.lb / b.lb) / max((b.date - a.date).days, 1) for a, b in pairs]
    return (
        len(pace) > 2
        and min(pace) > 0
        and all(b <= _QUICKER * a for a, b in zip(pace, pace[1:], strict=False))
    )


def _in_a_run(odd: Any, weights: Any, dry: Any) -> Any:
    """True if several weighings that follow on each other are all too heavy for an oven-dry weight, or too light.

    The heavy ones are a board's first, the light ones its last, and each comes down from the one before.
    """
    rows, n = {r.row for r in odd}, len(odd)
    light = all(r.lb <= dry.lb for r in odd)
    if n < 2 or not (light or all(r.lb > dry.lb for r in odd)):
        return False
    run, beside = (weights[-n:], weights[-n - 1 : -n]) if light else (weights[:n], weights[n : n + 1])
    way = [*beside, *run] if light else [*run, *beside]
    return {r.row for r in run} == rows and all(
        FALL**2 * a.lb <= b.lb <= 1.01 * a.lb for a, b in zip(way, way[1:], strict=False)
    )


def _off_or(odd: Any, stray: Any) -> Any:
    """The stray of an oven-dry weight that does not go with some weighings, with those named beside it."""
    rows = [r.row for r in odd]
    named = in_a_list([str(row) for row in rows])
    many = f"are the weighings in rows {named}" if len(rows) > 1 else f"is the weighing in row {named}"
    says = f"{stray.says} Or {many} wrong?"
    return replace(stray, says=says, rivals=tuple(rows))


def _off_from_all(weights: Any, dry: Any, most: Any, used: Any = True, slip: Any = "") -> Any:
    """The stray of an oven-dry weight that cannot be right beside weighings that go with each other."""
    light, heavy = min(weights, key=lambda r: r.lb), max(weights, key=lambda r: r.lb)
    if dry.lb >= light.lb:
        expected = f"less than the board's lightest weighing, {light} (row {light.row})"
    else:
        low = f"{heavy.lb / most / POUNDS[dry.unit]:.3g} {dry.unit}"
        expected = f"at least {low} for a board that weighed {heavy} (row {heavy.row})"
    asked = slip or "Was it weighed bone dry, and is it this board's?"
    if _dries_on(weights, most):
        asked = f"The weighings go with each other. {asked}"
    says = f"{dry.name}, cannot be right: expected {expected}. {asked}"
    return [Stray(dry.row, "value", f"{expected}. {asked}", "", says, used)]
