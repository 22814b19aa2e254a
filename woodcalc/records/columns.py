"""What the four tables of a learner's records hold: columns, limits, and what must agree within a row."""

from __future__ import annotations

import functools
import math
import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from woodcalc.checks import InputError, blank, suggest
from woodcalc.records.cells import as_text
from woodcalc.sizes import (
    LOG_TAPER_IN_PER_FT,
    LOG_TRIM_IN,
    MOST_FT3,
    WIDEST_SCALED_IN,
    board_feet,
    last_scaled_in,
    lifted_ft3,
    round_in,
    scaled_lengths_ft,
)

SHOWN = 12  # problems listed in one message
ALL = "all"  # the column of a problem that is not one cell's
MARKS = {"logs": "log", "boards": "board", "stacks": "stack"}  # what each row of a table goes by
# days of felling and sawing, in columns of the learner's own: boards are held against their logs by them
SAWN = (
    "date",
    "sawn",
    "sawn_on",
    "date_sawn",
    "cut",
    "cut_on",
    "milled",
    "felled",
    "felled_on",
    "date_felled",
)
WORKED_OUT = ("board_feet", "unit")  # mostly follows from the rest of a row


@dataclass(frozen=True)
class Problem:
    """One thing in a table that cannot be right, or is doubtful, and where it stands.

    Attributes
    ----------
    file : str
    row : int or None
        As a spreadsheet counts; None speaks of the whole file.
    column : str
    found, expected : str
        In words; the likely slip stands at the end of `expected`.
    mend : str
        What, written into that cell, would put it right; "" if that cannot be told.
    about : str
        Which log, board or stack the row is of, e.g. ``"board 1-3 of stack A"``.
    cell : str or None
        The text of the cell when it was read: `records.mend` changes no other.
    used : bool
        Of a doubt: the row is used though it is doubtful; False if what it tells is left out.
    says : str
        The whole of it in words, where found and expected do not say it well.
    rivals : tuple of int
        Other rows of the file, if it may be one of those just as well.
    mends : tuple of str
        Mends that each may be the right one; then `mend` is "".
    """

    file: str
    row: int | None
    column: str
    found: str
    expected: str
    mend: str = ""
    about: str = ""
    cell: str | None = field(default=None, compare=False, repr=False)
    used: bool = True
    says: str = ""
    rivals: tuple[int, ...] = ()
    mends: tuple[str, ...] = ()

    def __str__(self):
        where = self.file + (f", row {self.row}" if self.row else "")
        if self.says:
            return f"{where}: {self.says}"
        where += f", column {self.column}" if self.column != ALL else ""
        about = f" ({self.about})" if self.about else ""
        return f"{where}: found {self.found}{about}; expected {self.expected}"


class RecordsError(InputError):
    """One or more problems in a table; `.problems` holds them all, the message the first dozen."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        more = len(self.problems) - SHOWN
        lines = [str(p) for p in self.problems[:SHOWN]] + (
            [f"... and {more} more like these"] if more > 0 else []
        )
        super().__init__("\n".join(lines))


@dataclass(frozen=True)
class Column:
    """One column of a table: what it means, how it is written, and what it may hold."""

    name: str
    kind: str  # text, species, place, nominal, in, ft, lb, F, number, date, choice
    means: str
    example: str = ""
    needed: bool = False
    low: float = 0.0
    high: float = 0.0
    unit: str = ""
    hint: str = ""
    choices: tuple[str, ...] = ()
    default: str | float | None = None
    label: str = ""  # what the form calls it, if not by its name
    also: tuple[str, ...] = ()  # other headers that mean the same, lower case, words joined by _

    @property
    def numeric(self) -> bool:
        """True if the column holds numbers."""
        return self.kind in ("in", "ft", "F", "number")

    @property
    def expected(self) -> str:
        """What a cell may hold, in words."""
        if self.numeric:
            return f"a number from {self.low:g} to {self.high:g} {self.unit}".rstrip()
        words = {
            "date": "a date like 2025-05-24",
            "nominal": f"a thickness in quarters of an inch from {4 * self.low:.0f}/4 to {4 * self.high:.0f}/4, "
            "like 4/4 or 8/4",
            "choice": " or ".join(self.choices),
            "species": "a species that the book knows",
            "place": "a place that the book knows, like Madison, WI",
        }
        return words.get(self.kind, "a word or number")


def _read(file="columns.toml"):
    """The columns of each table, from the text file beside this one."""
    try:
        found = tomllib.loads((Path(__file__).parent / file).read_text(encoding="utf-8-sig"))
        return {table: tuple(_column(**each) for each in columns) for table, columns in found.items()}
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, TypeError) as error:
        raise InputError(f"{file}: {error}. Its first lines say how a column is written.") from None


def _column(**written):
    several = {name: tuple(value) for name, value in written.items() if isinstance(value, list)}
    numbers = {name: float(value) for name, value in written.items() if type(value) is int}
    return Column(**written | several | numbers)


TABLES = _read()


@functools.cache
def columns_of(table: str) -> tuple[Column, ...]:
    """Return the columns of a table, in the order of the file."""
    if table not in TABLES:
        raise suggest(table, list(TABLES), "table")
    return TABLES[table]


def across(table: str, values: dict[str, list[Any]], rows: Sequence[int | None], file: str) -> list[Problem]:
    """Return the problems of rows whose cells are good one by one and do not go together."""
    problems = []
    if table == "logs":
        problems += _odd_ends(values, rows, file) + _huge_logs(values, rows, file)
    elif table == "readings":
        problems += _units(values, rows, file)
    elif table == "stacks":
        problems += _too_wet(values, rows, file)
    if table in MARKS:
        problems += _twice(MARKS[table], values[MARKS[table]], rows, file)
    return problems


def _end(one, other):
    """The diameter of an end that was measured one way, the other way, or both."""
    return other if blank(one) else one if blank(other) else round_in(one, other)


def _odd_ends(values, rows, file):
    """Problems of ends that do not go together: too oval, swapped, all flare."""
    problems: list[Problem] = []
    names = ("small_in", "small_across_in", "large_in", "large_across_in", "butt_flare_in")
    for row, small, small_2, large, large_2, flare in zip(rows, *(values[n] for n in names), strict=True):
        for name, one, other in (("small_across_in", small, small_2), ("large_across_in", large, large_2)):
            if max(one, other) > 2 * min(one, other):  # false if either is blank
                expected = f"at most twice, and at least half, of the first way, {one:g} in"
                problems.append(Problem(file, row, name, f"{other:g}", expected))
        thin, thick = _end(small, small_2), _end(large, large_2)
        if thick < thin:
            expected = f"at least the small end, {thin:.4g} in. Are the two ends swapped?"
            problems.append(Problem(file, row, "large_in", f"{thick:.4g}", expected))
        elif thick - flare < thin:
            expected = f"at most {thick - thin:.4g} in: what the large end is wider than the small one"
            problems.append(Problem(file, row, "butt_flare_in", f"{flare:g}", expected))
    return problems


def _huge_logs(values, rows, file):
    """Problems of logs that no rule can scale and no truck can carry, though each number by itself can be."""
    problems: list[Problem] = []
    ends = (
        map(_end, values[end], values[f"{end.removesuffix('_in')}_across_in"])
        for end in ("small_in", "large_in")
    )
    for row, small, large, length, trim in zip(
        rows, *ends, values["length_ft"], values["trim_in"], strict=True
    ):
        if blank(small) or blank(length):
            continue
        large = small + LOG_TAPER_IN_PER_FT * length if blank(large) else large
        trim = LOG_TRIM_IN if blank(trim) else trim
        end = last_scaled_in(small, large, length)
        volume = lifted_ft3(small, large, length, trim)
        if large < small or (volume <= MOST_FT3 and end <= WIDEST_SCALED_IN):
            continue
        found = f"{small:g} to {large:g} in by {length:g} ft"
        if volume > MOST_FT3:
            why = f"a log of at most {MOST_FT3:,.0f} cubic feet; this one would hold {volume:,.0f}"
        else:
            why = (
                f"an end of at most {WIDEST_SCALED_IN:g} in: a log of {length:g} ft is scaled in "
                f"{len(scaled_lengths_ft(length))} pieces, and the last would be {end:.0f} in at its small end"
            )
        hint = "Is it in cm, or the distance around the log?"
        problems.append(Problem(file, row, "small_in", found, f"{why}. {hint}"))
    return problems


def _too_wet(values, rows, file):
    """Problems of stacks that would hold more water when they were stacked than their wood can."""
    problems: list[Problem] = []
    for row, wood, wet in zip(rows, values["species"], values["start_mc_pct"], strict=True):
        most = math.inf if blank(wet) else _most_mc_pct(wood)
        if not blank(wet) and wet > most:
            can = f"{wood} cannot hold more water. Is the point in its place?"
            expected = f"a number from 5 to {math.floor(most)} %: {can}"
            problems.append(Problem(file, row, "start_mc_pct", f"{wet:g}", expected))
    return problems


@functools.cache
def _most_mc_pct(wood):
    from woodcalc import moisture
    from woodcalc import species as woods

    try:
        return moisture.most_mc_pct(woods.get(wood))
    except InputError:  # told in its own column
        return math.inf


def _units(values, rows, file):
    """Problems of readings whose unit does not go with their kind."""
    problems: list[Problem] = []
    scales: dict[str, set[str]] = {}
    for board, kind, unit in zip(values["board"], values["kind"], values["unit"], strict=True):
        if kind in ("weight", "oven-dry") and unit in ("lb", "g", "kg", "oz"):
            scales.setdefault(board, set()).add(unit)
            scales.setdefault(ALL, set()).add(unit)
    cells = (values[name] for name in ("board", "kind", "value", "unit"))
    for row, board, kind, value, unit in zip(rows, *cells, strict=True):
        used = scales.get(board) or scales.get(ALL) or ()  # the scale's unit, where only one was ever written
        mend = next(iter(used)) if len(used) == 1 else ""
        if kind == "meter" and unit not in ("", "%"):
            expected = "% for a meter reading. Was it weighed? Then the kind is weight"
            problems.append(
                Problem(file, row, "unit", repr(unit), expected, "%" if board not in scales else "")
            )
        elif kind == "meter" and value > 200:
            problems.append(
                Problem(file, row, "value", f"{value:g}", "a moisture content, 0.1 to 200 %. A weight?")
            )
        elif kind in ("weight", "oven-dry") and unit in ("", "%"):
            expected = "lb, g, kg or oz for a weight" + (f". The other weights are in {mend}" if mend else "")
            problems.append(Problem(file, row, "unit", repr(unit) if unit else "nothing", expected, mend))
    return problems


def _twice(column, labels, rows, file):
    first: dict[str, int | None] = {}
    problems: list[Problem] = []
    for label, row in zip(labels, rows, strict=True):
        if label and label in first:
            expected = f"one row for each {column}; row {first[label]} has it already"
            problems.append(Problem(file, row, column, f"{label!r} again", expected))
        elif label:
            first[label] = row
    return problems


def what_row(table: str, values: dict[str, list[Any]], i: int, column: str) -> str:
    """Return which log, board or stack row `i` is of, in words, for a message about one of its columns."""
    if table == "readings":
        board, stack, day = (values[name][i] for name in ("board", "stack", "date"))
        parts = [named(what, mark) for what, mark in (("board", board), ("stack", stack)) if mark]
        parts += [as_text(day)] if column != "date" else []
        return ", ".join(part for part in parts if part)
    mark = values[MARKS[table]][i]
    return f"{MARKS[table]} {mark}" if mark and column != MARKS[table] else ""


def named(what: str, mark: str) -> str:
    """Return how a board or stack is called: with the word before its mark, unless that is in the mark.

    Examples
    --------
    >>> named("stack", "A"), named("stack", "Stack A")
    ('stack A', 'Stack A')
    """
    return mark if mark.casefold().startswith(f"{what} ") else f"{what} {mark}"


def rows_named(rows: Sequence[str]) -> str:
    """Return rows in words, of many the first.

    Examples
    --------
    >>> rows_named(["4"]), rows_named(["4", "5", "9"])
    ('row 4', 'rows 4, 5 and 9')
    """
    some = [*rows[:SHOWN], *([f"{len(rows) - SHOWN:,} more"] if len(rows) > SHOWN else [])]
    return f"row {some[0]}" if len(some) == 1 else f"rows {', '.join(some[:-1])} and {some[-1]}"


def fill(table: str, values: dict[str, list[Any]]) -> None:
    """Fill what follows from the rest of the row: board feet, the meter's unit."""
    if table == "boards":
        sizes = zip(*(values[name] for name in ("nominal", "width_in", "length_ft")), strict=True)
        open_bf = {
            i: size
            for i, (bf, size) in enumerate(zip(values["board_feet"], sizes, strict=True))
            if blank(bf) and not any(map(blank, size))
        }
        if open_bf:
            for i, bf in zip(open_bf, board_feet(*zip(*open_bf.values(), strict=True)), strict=True):
                values["board_feet"][i] = float(bf)
    if table == "readings":
        values["unit"] = [
            "%" if kind == "meter" and not unit else unit
            for kind, unit in zip(values["kind"], values["unit"], strict=True)
        ]


def number_rows(labels: Sequence[str]) -> list[str]:
    """Give a log or board without a mark the number of its place in the table."""
    taken = set(labels)
    return [label or (f"{i}" if f"{i}" not in taken else f"{i}*") for i, label in enumerate(labels, start=1)]


def next_number(labels: Sequence[str]) -> str:
    """Return the next free number after the marks of a table, as text.

    Examples
    --------
    >>> next_number(["1", "7", "north oak"]), next_number(["1.0", "2.0"])  # as a spreadsheet may write them
    ('8', '3')
    """
    numbers = [int(m[1]) for label in labels if (m := re.fullmatch(r"([0-9]{1,9})(?:\.0+)?", label))]
    return f"{max(numbers, default=0) + 1}"
