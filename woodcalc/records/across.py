"""Rows of the learner's tables held against other rows and other tables: marks, woods, sizes, days."""

from __future__ import annotations

import difflib
import math
from datetime import date, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from woodcalc.checks import InputError, blank
from woodcalc.dates import calendar_day, date_of, date_order
from woodcalc.records.cells import as_text, bare, bare_quarters, likely_ids, range_of
from woodcalc.records.choices import standing_at
from woodcalc.records.columns import MARKS, SAWN, rows_named
from woodcalc.records.measures import odd_sizes
from woodcalc.units import fahrenheit
from woodcalc.weighings import rows_by_stack

if TYPE_CHECKING:
    from woodcalc.climate import Site
    from woodcalc.records.gathered import Gathered

_FIRST = {"mdy": "month", "dmy": "day", "ymd": "year"}  # what comes first in each order of a date
_COLDER_F, _WARMER_F = 25.0, 40.0  # than the usual nights and days: about a record, and wood in the sun
_WARMEST_C = 45.0  # no wood is warmer outdoors: what is more was no reading in C


def look_across(held: Gathered) -> None:
    """Doubt what shows only when rows and tables are held against each other.

    Parameters
    ----------
    held : Gathered
        Gets the doubts.
    """
    _nearly_one(held)
    _marks(held, "boards", "log", "logs")
    _marks(held, "readings", "stack", "stacks")
    _woods(held)
    _sizes(held)
    for odd in odd_sizes(held.frames):
        held.doubt(*odd)
    _odd_orders(held)
    _stacks(held)
    _days_of_boards(held)
    _ids(held)


def look_at_warmth(held: Gathered) -> None:
    """Doubt temperatures of readings before they correct what a meter showed.

    Parameters
    ----------
    held : Gathered
        Gets the doubts.
    """
    if "readings" in held.frames:
        stacks = held.frames.get("stacks")
        rows = {} if stacks is None else {r.stack: r for r in stacks.itertuples()}
        _too_cold(held, held.frames["readings"], rows)


def look_at_boards(held: Gathered) -> None:
    """Doubt readings whose board does not go with the other tables, the stack, or the place.

    Parameters
    ----------
    held : Gathered
        Gets the doubts and remarks; its readings are judged.
    """
    if "readings" not in held.frames:
        return
    frame = held.frames["readings"]
    stacks = {r.stack: r for r in held.frames["stacks"].itertuples()} if "stacks" in held.frames else {}
    boards = _boards_of(rows_by_stack(frame))
    _boards_not_there(held, frame)
    _spelled_otherwise(held, boards)
    _woods_of_stacks(held, boards, stacks)


def _nearly_one(held):
    """Marks of one table that differ only in capitals or blanks: each stands for itself, and that is said."""
    for table, frame in held.frames.items():
        column = MARKS.get(table)
        if column is None:
            continue
        seen: dict[str, tuple[Any, Any]] = {}
        for row, mark in frame[column].items():
            first = seen.setdefault(bare(mark), (row, mark))
            if mark and first[1] != mark:
                expected = (
                    f"a mark that cannot be taken for {first[1]!r} of row {first[0]}; they are read as two "
                    f"{table}. Is one of them to have another name, or is it the same one twice?"
                )
                held.doubt(table, row, column, expected)


def _marks(held, table, column, of):
    """Marks that point to nothing in another table."""
    if table not in held.frames or of not in held.frames:
        return
    frame, known = held.frames[table], list(held.frames[of][MARKS[of]])
    lost = frame[~frame[column].isin([*known, ""])]
    near = {bare(k): k for k in known}
    aside = held.sheets[of].marks() - set(known)
    for mark, rows in lost.groupby(column, sort=False):
        mend = near.get(bare(mark), "")
        if mend:
            for row in rows.index:
                held.doubt(table, row, column, f"a {column} of {of}.csv. Is {mend} meant?", mend)
            continue
        n = len(rows) - 1
        more = f" (and {n} more row{'s' if n > 1 else ''})" if n else ""
        if ends := range_of(mark, known):
            which = f"{ends[0]} to {ends[1]}, or {' and '.join(ends)}"
            expected = f"one {column} in each row, such as {ends[0]}. Is it {which}?"
        elif mark in aside:
            expected = f"a {column} that can be used; its row in {of}.csv is set aside"
        else:
            named = ", ".join(map(str, known[:6])) + (" ..." if len(known) > 6 else "")
            expected = f"a {column} of {of}.csv, which has {named or 'no rows'}"
        held.doubt(table, rows.index[0], column, expected, found=f"{mark!r}{more}")


def _woods(held):
    """Boards whose wood is not their log's."""
    if "boards" not in held.frames or "logs" not in held.frames:
        return
    boards, logs = held.frames["boards"], held.frames["logs"]
    of = dict(zip(logs["log"], logs["species"], strict=True))
    log_wood = boards["log"].map(of)
    other = boards[log_wood.notna() & (log_wood != boards["species"])]
    for row, log in zip(other.index, other["log"], strict=True):
        held.doubt("boards", row, "species", f"{of[log]}, the wood of log {log} in logs.csv", of[log])


def _sizes(held):
    """Thicknesses that are whole numbers: 4 for 4/4 is read as four inches."""
    for table in ("boards", "stacks"):
        sheet = held.sheets.get(table)
        if sheet and not sheet.by_quarters:
            for row in held.frames[table].index:
                if many := bare_quarters(sheet.cell(row, "nominal")):
                    expected = (
                        f"a thickness in quarters. It is read as {4 * many}/4, {many} in thick. "
                        f"Is {many}/4 meant?"
                    )
                    held.doubt(table, row, "nominal", expected, f"{many}/4")


def _odd_orders(held):
    """The one date of a column that is written day first where the others are written month first, or so."""
    for table, sheet in held.sheets.items():
        for column, order in sheet.date_orders().items():
            if not order:
                continue
            rows = held.frames[table].index
            odd = [
                row
                for row in rows
                if (other := date_order([sheet.cell(row, column)])) in _FIRST and other != order
            ]
            if len({sheet.cell(row, column) for row in odd}) != 1:
                continue
            day = held.frames[table].loc[odd[0], column]
            first, others = _FIRST[date_order([sheet.cell(odd[0], column)])], _FIRST[order]
            expected = (
                f"a date with the {others} first, as the others have it. The {first} stands first here, and it is "
                f"read as {calendar_day(day)}. Is {as_text(day)} meant?"
            )
            for row in odd:
                held.doubt(table, row, column, expected, as_text(day))


def _stacks(held):
    """Stacks that are stacked in the future."""
    if "stacks" not in held.frames or held.clock_is_behind:
        return
    stacks = held.frames["stacks"]
    for row, day in zip(stacks.index, stacks["stacked"], strict=True):
        if day.date() > held.today + timedelta(days=1):
            far = day.date() > held.today + timedelta(days=366)
            mend = held.likely_day("stacks", row, "stacked", None, ()) if far else ""
            expected = f"a day up to today, {as_text(held.today)}, unless it is still to be stacked"
            held.doubt("stacks", row, "stacked", expected + (". Is the year right?" if far else ""), mend)


def _days_of_boards(held):
    """Boards that carry a day before their log's."""
    if "boards" not in held.frames or "logs" not in held.frames:
        return
    boards, logs = held.frames["boards"], held.frames["logs"]
    column, of_logs = (
        next((c for c in f.columns if str(c).lower().replace(" ", "_") in SAWN), None) for f in (boards, logs)
    )
    if column is None or of_logs is None:
        return
    felled = {
        log: date_of(text, "")[0] for log, text in zip(logs["log"], logs[of_logs].map(as_text), strict=True)
    }
    for row, log, text in zip(boards.index, boards["log"], boards[column].map(as_text), strict=True):
        day, before = date_of(text, "")[0], felled.get(log)
        if day and before and day < before:
            expected = f"a day after {as_text(before)}, the day of log {log} in logs.csv"
            held.doubt("boards", row, column, expected, found=repr(text))


def _ids(held):
    """Marks that a spreadsheet likely turned into a date or a number."""
    known = {
        ("boards", "log"): held.known("logs"),
        ("readings", "board"): held.known("boards"),
        ("readings", "stack"): held.known("stacks"),
        ("boards", "board"): set(),
        ("logs", "log"): set(),
        ("stacks", "stack"): set(),
    }
    for (table, column), marks in known.items():
        if table not in held.frames:
            continue
        column_of = held.frames[table][column]
        changed = {
            mark: ids for mark in column_of.unique() if mark not in marks and (ids := likely_ids(mark))
        }
        for row, mark in column_of[column_of.isin(list(changed))].items():
            ids = changed[mark]
            here = [i for i in ids if i in marks]
            mend = here[0] if len(here) == 1 else ""
            which = " or ".join(here or ids[:2])
            expected = f"the mark as you wrote it; a spreadsheet may have changed it. Is {which} meant?"
            held.doubt(table, row, column, expected, mend)


def _spelled_otherwise(held, boards):
    """Boards of a stack that are written in two ways, as 1-3 with two kinds of dash, and several in one row."""
    listed = held.known("boards")
    for stack, rows in boards.items():
        alike: dict[str, list[str]] = {}
        for mark in rows:
            alike.setdefault(bare(mark), []).append(mark)
        for marks in alike.values():
            usual = max(marks, key=lambda mark: (len(rows[mark]), mark.isascii(), -len(mark)))
            for mark in marks:
                if mark.casefold() != usual.casefold():
                    who = f"{usual}, as the board is called in row {rows[usual][0]}"
                    for row in rows[mark]:
                        held.doubt("readings", row, "board", f"{who}. Is {usual} meant?", usual)
        for mark, some in rows.items() if len(rows) > 1 or listed else ():
            known = [k for k in (*rows, *listed) if k != mark]
            if not held.wood_of(mark) and (ends := range_of(mark, known)):
                one = f"one board of stack {stack} in each row: each has a reading of its own"
                held.doubt("readings", some[0], "board", f"{one}. Is it {ends[0]} to {ends[1]}?")


def _woods_of_stacks(held, boards, stacks):
    """Stacks whose sample boards are of another wood, by boards.csv or by the log before the hyphen."""
    readings = held.sheets["readings"].name
    spoken = {p.row for p in held.doubts if p.file == readings and p.column in ("stack", "board")}
    for stack, rows in boards.items() if any(held.of_wood) else ():
        if stack not in stacks:
            continue
        own = stacks[stack].species
        first = {mark: some[0] for mark, some in rows.items()}
        seen = {m: wood for m, row in first.items() if row not in spoken and (wood := held.wood_of(m))}
        other = {mark: told for mark, told in seen.items() if told[0] != own}
        if other and len(other) == len(seen):
            mark, (wood, where) = next(iter(other.items()))
            read = f"which readings.csv has in this stack in row {first[mark]}"
            expected = f"{wood}, the wood of board {mark} in {where}, {read}. Which of the two is wrong?"
            held.doubt("stacks", stacks[stack].Index, "species", expected)
            continue
        for mark, (wood, where) in other.items():
            board = f"board {mark} is {wood} in {where}"
            expected = f"a board of {own}, as stack {stack} is; {board}. Is it in this stack?"
            held.doubt("readings", first[mark], "board", expected)


_AS_READ = (
    "Until that is settled, the reading counts as the meter showed it, not corrected for the wood's warmth."
)


def _too_cold(held, frame, stacks):
    """Temperatures too low for the season and the place; some of them would be right in C."""
    cold: dict[int, float] = {}  # row: the coldest that it can have been
    warm: dict[int, str] = {}  # row: what it would be in F
    taken = frame[frame["temp_f"].notna()]
    for row, day, stack, temp in zip(
        taken.index, taken["date"], taken["stack"], taken["temp_f"], strict=True
    ):
        where = standing_at(stacks.get(stack), held.asked.place)
        coldest, warmest = coldest_and_warmest_f(where, day.month, day.day)
        if temp <= _WARMEST_C and coldest <= fahrenheit(temp) <= warmest:
            warm[row] = f"{fahrenheit(temp):.3g}"
        if temp < coldest:
            cold[row] = coldest
    if {*cold} & {*warm} and 1 < len(warm) == len(
        taken
    ):  # all would be right in C: one question, with one answer
        row, coldest = next(iter(cold.items()))
        there = f"it hardly gets below {coldest:.0f} F at that time of the year"
        expected = (
            f"temperatures of the wood in F. Where row {row} says {frame.loc[row, 'temp_f']:g}, {there}, and all in "
            f"the column would be right in C. Was it read in C? {_AS_READ}"
        )
        for row, mend in warm.items():
            held.doubt("readings", row, "temp_f", expected, mend)
        return
    for row, coldest in cold.items():
        mend = warm[row] if row in warm and len(cold) > 1 else ""  # one alone may be a slip of the pen
        cold_for = f"it hardly gets below {coldest:.0f} F there at that time of the year"
        asks = "Was it read in C?" if row in warm else "If it was not taken, leave it empty."
        held.doubt(
            "readings",
            row,
            "temp_f",
            f"the temperature of the wood in F; {cold_for}. {asks} {_AS_READ}",
            mend,
        )


def _boards_not_there(held, frame):
    """Remark on boards of a stack that boards.csv lacks although it has others of that stack."""
    if "boards" not in held.frames:
        return
    sheet, marks = held.sheets["boards"], list(held.frames["boards"]["board"])
    known = {bare(mark) for mark in (*marks, *sheet.marks())}
    for stack, mine in frame[frame["board"] != ""].groupby("stack", sort=False):
        lacks = {board: rows for board, rows in mine.groupby("board", sort=False).groups.items()}
        there = [board for board in lacks if bare(board) in known]
        for board, rows in lacks.items() if there else ():
            if board in there or likely_ids(board):
                continue
            near = difflib.get_close_matches(board, marks, 3, 0.7)
            asks = f" Is {' or '.join(near)} meant?" if near else ""
            who = rows_named([str(row) for row in rows])
            name = held.sheets["readings"].name
            held.remarks.append(f"{name}, {who}: {sheet.name} has no board {board} (stack {stack}).{asks}")


@lru_cache(1000)
def coldest_and_warmest_f(where: str | Site, month: int, day: int) -> tuple[float, float]:
    """Return (the lowest, the highest) that wood out of doors can have on a day of the year, F.

    Parameters
    ----------
    where : str or Site
    month, day : int

    Returns
    -------
    tuple of float
        Without end where the place is not known.

    Examples
    --------
    >>> [round(f) for f in coldest_and_warmest_f("Madison, WI", 7, 15)]
    [38, 123]
    """
    from woodcalc import climate

    try:
        days = climate.get(where).daily()
    except InputError:
        return -math.inf, math.inf
    of_day = days.loc[date(2025, month, min(day, 28 if month == 2 else day)).timetuple().tm_yday]
    return float(of_day.temp_min_f) - _COLDER_F, float(of_day.temp_max_f) + _WARMER_F


def _boards_of(by_stack):
    """{stack: {board: its rows}} of readings that name a board."""
    boards: dict[str, dict[str, list[int]]] = {stack: {} for stack in by_stack}
    for stack, rows in by_stack.items():
        for r in rows:
            if not blank(r[2]) and r[2]:
                boards[stack].setdefault(r[2], []).append(r[0])
    return boards
