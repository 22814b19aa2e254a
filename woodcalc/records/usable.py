"""The learner's own tables read row by row: what can be used, what is set aside, and what looks wrong."""

from __future__ import annotations

import difflib
import math
import os
import re
import warnings
from bisect import bisect
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property, lru_cache
from itertools import combinations, permutations
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from woodcalc.checks import InputError, RangeWarning, blank
from woodcalc.dates import date_of, date_order, possible_days
from woodcalc.disk import remember
from woodcalc.drying.forecast import of_stack, taught
from woodcalc.drying.rate import thickness
from woodcalc.records import choices
from woodcalc.records.cells import as_text, likely_ids
from woodcalc.records.choices import kept_choices
from woodcalc.records.columns import ALL, MARKS, TABLES, Problem, RecordsError, what_row
from woodcalc.records.measures import odd_sizes
from woodcalc.records.sheet import SAWN, Sheet, file_bytes
from woodcalc.weighings import (
    ASKED,
    DRY_WEIGHT,
    FALL,
    POUNDS,
    RISE_PCT,
    WARM,
    WHICH_BOARD,
    off_the_path,
    readings_told,
    rows_by_stack,
    turned,
)

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.climate import Site
    from woodcalc.drying.forecast import Forecast


LARGEST_MB = 50  # of a table: ten thousand rows take half a megabyte
JUDGED = 60  # stacks whose readings are held against a forecast, the first in the table: a twentieth of a second each
_SAME_PCT = 3.0  # points between two readings of one board on one day
_DRY_PCT, _SOON_DAYS = 12.0, 14  # no green wood is down to that on sticks so soon
_CLOCK_BEHIND = timedelta(days=5 * 366)  # a clock further behind shows in all rows, not in the newest alone
_SEASON = timedelta(days=400)  # a stack is read for a year or so
_STILL_GREEN, _STILL_GREEN_DAYS = 0.85, 60  # of the green moisture; so many warm days take an inch below it


@dataclass(frozen=True)
class OwnTables:
    """What can be used of the four tables in a folder, and what is to be said about the rest.

    Attributes
    ----------
    folder : Path
    tables : dict
        Table name to DataFrame as `records.read` gives it, without the rows that are set aside. A file that has no
        usable row gives an empty table; one that is not there or cannot be read at all gives none.
    problems : tuple of Problem
        Rows and files that are set aside.
    doubts : tuple of Problem
        Rows that stand in the tables although something looks wrong.
    notes : tuple of str
        How headers, units and dates were read.
    whose : str
        Whose wood it is; left to whoever shows it.
    waiting : dict of int to tuple of str
        Rows of the readings that tell nothing yet, and what each waits for: ``"stack Oak1"``, `DRY_WEIGHT`.
    left_out : tuple of int
        Rows of the readings that are not used, because they cannot be right beside the others.
    contradict : tuple of int
        Rows of the readings that contradict their stack's forecast: they tell a moisture, and teach no date.
    told : dict of str to tuple
        What the readings of each stack tell that are used: (reading, its moisture content) in order of date.
    waits_for_weights : dict of str to tuple of str
        Of each stack, sentences about weighings that lack their board's oven-dry weight.
    remarks : tuple of str
        What is good to know of rows that are used and nothing is wrong with.
    sheets : dict
        Table name to the file taken apart, for `mends_well`.
    asked : object or None
        What the rows were judged by beside what is in the files.
    """

    folder: Path
    tables: dict[str, pd.DataFrame] = field(repr=False)
    problems: tuple[Problem, ...] = ()
    doubts: tuple[Problem, ...] = ()
    notes: tuple[str, ...] = ()
    whose: str = ""
    waiting: dict[int, tuple[str, ...]] = field(default_factory=dict)
    left_out: tuple[int, ...] = ()
    contradict: tuple[int, ...] = ()
    remarks: tuple[str, ...] = ()
    told: dict[str, tuple[Any, ...]] = field(default_factory=dict, repr=False, compare=False)
    waits_for_weights: dict[str, tuple[str, ...]] = field(default_factory=dict, repr=False, compare=False)
    sheets: dict[str, Sheet] = field(default_factory=dict, repr=False, compare=False)
    asked: _Asked | None = field(default=None, repr=False, compare=False)

    def verdict(self, file: str, row: int | None) -> str:
        """Return what becomes of a row, in the words that every page uses.

        Parameters
        ----------
        file : str
            ``"readings.csv"``.
        row : int or None
            The row in the file.

        Returns
        -------
        str
            ``"set aside"``, ``"left out"``, ``"waits for ..."``, ``"used, but doubtful"`` or ``"used"``.

        Examples
        --------
        >>> from woodcalc import records
        >>> read_usable(records.KETTLE_HOLLOW).verdict("readings.csv", 2)
        'used'
        """
        if any((p.file, p.row) == (file, row) for p in self.problems):
            return "set aside"
        if file == "readings.csv" and row in self.left_out:
            return "left out"
        if file == "readings.csv" and row in self.waiting:
            return f"waits for {' and '.join(self.waiting[row])}"
        doubts = [p for p in self.doubts if p.file == file and row in (p.row, *p.rivals)]
        if doubts and not all(p.used for p in doubts):
            return "left out"
        if file == "readings.csv" and row in self.contradict:
            return _DOUBTFUL
        return _DOUBTFUL if doubts else "used"

    def moistures(self, stack: str) -> pd.DataFrame:
        """Return the moisture contents of a stack, from the readings of it that are used, in order of date.

        Parameters
        ----------
        stack : str

        Returns
        -------
        DataFrame
            ``date``, ``board``, ``kind``, ``mc_pct``, and ``sure``: False of a reading that looks wrong.

        Examples
        --------
        >>> from woodcalc import records
        >>> read_usable(records.KETTLE_HOLLOW).moistures("A").tail(1)[["kind", "mc_pct", "sure"]].values.tolist()
        [['meter', 23.9, True]]
        """
        import pandas as pd

        name = self._readings_name()
        doubts = (p for p in self.doubts if p.file == name and p.column not in _NO_MATTER and not p.rivals)
        doubtful = {p.row for p in doubts}
        rows = [(r.date, r.board, r.kind, mc, r.row not in doubtful) for r, mc in self.told.get(stack, ())]
        frame = pd.DataFrame(rows, columns=["date", "board", "kind", "mc_pct", "sure"])
        return frame.astype({"mc_pct": float, "sure": bool})

    def last_sure(self, stack: str) -> Any:
        """Return the last row of `moistures` that does not look wrong, or the last; None if there is none.

        Examples
        --------
        >>> from woodcalc import records
        >>> read_usable(records.KETTLE_HOLLOW).last_sure("B").mc_pct.round(1).item()
        22.0
        """
        told = self.moistures(stack)
        some = told[told["sure"]] if told["sure"].any() else told
        return some.iloc[-1] if len(some) else None

    def _readings_name(self):
        return self.sheets["readings"].name if "readings" in self.sheets else ""

    def waits(self, weighed: bool = True) -> list[str]:
        """Return a sentence for each kind of thing that readings wait for, of rows that no doubt speaks of.

        Parameters
        ----------
        weighed : bool
            False leaves out weighings that wait for nothing but their board's oven-dry weight.

        Examples
        --------
        >>> OwnTables(Path("my-wood"), {}, waiting={2: ("stack A",), 4: ("stack A",)}).waits()
        ['readings.csv, rows 2 and 4: each waits for stack A.']
        """
        for_what: dict[tuple[str, ...], list[int]] = {}
        spoken_of = {p.row for p in self.doubts if p.file == "readings.csv"}
        for row, reasons in self.waiting.items():
            if row not in spoken_of and (weighed or reasons != (DRY_WEIGHT,)):
                for_what.setdefault(reasons, []).append(row)
        told = []
        for reasons, rows in for_what.items():
            who = f"{_rows_named([str(row) for row in rows])}:{' each' * (len(rows) > 1)}"
            told.append(f"readings.csv, {who} waits for {' and '.join(reasons)}.")
        return told

    def becomes(self, problem: Problem) -> str:
        """Say as a sentence what becomes of the row that a problem speaks of.

        Parameters
        ----------
        problem : Problem

        Returns
        -------
        str
            Of a whole file nothing: "".

        Examples
        --------
        >>> doubt = Problem("logs.csv", 5, "nominal", "'4'", "a thickness in quarters")
        >>> OwnTables(Path("my-wood"), {}, doubts=(doubt,)).becomes(doubt)
        'Used, but doubtful.'
        """
        if not problem.row:
            return ""
        told = self.verdict(problem.file, problem.row)
        return f"{told[0].upper()}{told[1:]}."


_NO_MATTER = ("temp_f",)  # what a reading tells is hardly other for it
_DOUBTFUL = "used, but doubtful"
_NAMED = 12  # rows that wait, one by one


@dataclass(frozen=True)
class _Asked:
    """What tables are judged by, beside what is in them."""

    today: date
    place: str | Site  # of stacks whose row names none
    no_stacks: bool  # there are none yet, and a reading belongs to a stack
    wanted: tuple[str, ...]  # the tables that are spoken of; all of them are judged by


_ASIDE = "the row, now set aside, of "


def read_usable(
    folder: str | Path | None = None,
    tables: Iterable[str] | None = None,
    today: date | None = None,
    place: str | Site | None = None,
) -> OwnTables:
    """Read the tables of a folder row by row; whatever lies in the files, nothing is raised.

    Parameters
    ----------
    folder : path, optional
        The learner's own folder if left out. A single CSV file will do.
    tables : iterable of str, optional
        Which of logs, boards, stacks and readings are returned and spoken of; all if left out. A row is judged by all
        four, whichever are wanted.
    today : date, optional
        A reading dated later is set aside; the computer's date if left out.
    place : str or Site, optional
        Where stacks stand whose row names no place; the learner's choice if left out.

    Returns
    -------
    OwnTables

    Examples
    --------
    >>> from woodcalc import records
    >>> own = read_usable(records.KETTLE_HOLLOW)
    >>> {name: len(table) for name, table in own.tables.items()}
    {'logs': 18, 'boards': 59, 'stacks': 3, 'readings': 12}
    >>> own.problems
    ()
    """
    wanted = tuple(TABLES) if tables is None else tuple(t for t in TABLES if t in tuple(tables))
    try:
        mine = choices.folder()
        path = Path(folder) if folder is not None else mine
    except (OSError, RuntimeError, ValueError, TypeError) as error:
        path = Path("my-wood")
        return OwnTables(path, {}, (_whole(path.name, f"no folder for your records ({error})", _OPEN_ANEW),))
    files, sheets, problems, notes = _taken_apart(path, path == mine)
    no_stacks = "stacks" not in sheets and path not in files.values()
    asked = _Asked(today or date.today(), place or kept_choices().place, no_stacks, wanted)
    found = _judged(path, sheets, asked)
    return replace(
        found,
        doubts=_asked_well(found),
        problems=(*_of_wanted(problems, wanted), *found.problems),
        notes=tuple(
            dict.fromkeys([*found.notes, *(n for n in notes if _is_of(n.partition(":")[0], wanted))])
        ),
    )


def rows_of(*tables: str) -> dict[str, pd.DataFrame]:
    """Return the rows of the learner's own logs, boards or stacks that can be used, with nothing said about them.

    Quick: no reading is held against a forecast. Readings are not for it, since some are set aside by other tables.

    Parameters
    ----------
    *tables : str

    Returns
    -------
    dict of str to DataFrame
        Tables that are there.

    Examples
    --------
    >>> rows_of("logs")
    {}
    """
    sheets = _taken_apart(choices.folder(), True)[1]
    return {table: sheets[table].rows()[0] for table in tables if table in sheets}


def _taken_apart(path, own):
    """Return ({table: its file}, {table: its sheet}, problems, notes) of a folder, or of a single file."""
    files, problems, notes = _files(path, TABLES, own)
    sheets = {}
    for table, file in files.items():
        sheet, bad = _sheet(file, table)
        problems += bad
        if sheet:
            sheets[table] = sheet
    order = {o for sheet in sheets.values() for o in sheet.date_orders().values() if o}
    for sheet in sheets.values():
        if len(order) == 1:  # the dates of one table tell how those of another are written
            other = next(iter(order))
            sheet.order = sheet.order or (other if other in sheet.open_orders() else "")
    if {"stacks", "readings"} <= {*sheets} and (order := sheets["readings"].open_orders()):
        begun = sheets["stacks"].rows()[0]["stacked"] if "ymd" in order else ()
        if len(begun):  # no reading is earlier than the first stack
            sheets["readings"].order = sheets["readings"].order_after(begun.min().date())
    return files, sheets, problems, notes


def _is_of(file, wanted):
    """True of a file that is one of the wanted tables, or may be, or is none of the four."""
    return (meant(file) or file.lower().partition(".")[0]) not in set(TABLES) - set(wanted)


def _of_wanted(problems, wanted):
    return [p for p in problems if _is_of(p.file, wanted)]


def _judged(path, sheets, asked):
    """What can be used of files that are taken apart, and what is said about them."""
    found = _Found(asked)
    for table, sheet in sheets.items():
        found.add(table, sheet)
    found.set_aside_by_date()
    found.look_across()
    readings = "readings" in asked.wanted
    return OwnTables(
        path,
        {table: frame for table, frame in found.frames.items() if table in asked.wanted},
        tuple(_of_wanted(found.in_order(found.problems), asked.wanted)),
        tuple(_of_wanted(found.in_order(found.doubts), asked.wanted)),
        tuple(n for n in dict.fromkeys(found.notes) if _is_of(n.partition(":")[0], asked.wanted)),
        waiting=dict(sorted(found.waiting.items())) if readings else {},
        left_out=tuple(sorted(found.left_out)) if readings else (),
        contradict=tuple(sorted(found.contradict)) if readings else (),
        remarks=tuple(n for n in found.remarks if _is_of(n.partition(",")[0], asked.wanted)),
        told=found.told if readings else {},
        waits_for_weights=found.waits_for_weights if readings else {},
        sheets=sheets,
        asked=asked,
    )


def mends_well(found: OwnTables, problem: Problem, *same: Problem) -> bool:
    """Return whether the mend of a problem puts its cell right and makes nothing else look wrong.

    Parameters
    ----------
    found : OwnTables
        In which the problem stands.
    problem : Problem
    *same : Problem
        More of that file and column, to be mended along with it.

    Returns
    -------
    bool
        False also if the problem has no mend.

    Examples
    --------
    >>> from woodcalc import records
    >>> mends_well(read_usable(records.KETTLE_HOLLOW), Problem("logs.csv", 2, "species", "'oka'", "a wood"))
    False
    """
    return _mended_well(found, problem, *same) is not None


def _mended_well(found, problem, *same):
    """The tables as judged with a mend that makes nothing else look wrong; None if it does, or there is no mend."""
    table = next((t for t, sheet in found.sheets.items() if sheet.name == problem.file), None)
    if not (table and found.asked and problem.mend and problem.row and problem.column != ALL):
        return None
    now = _cells_named(*found.problems, *found.doubts)
    sheets, mends = found.sheets, {p.row: p.mend for p in (problem, *same) if p.row}
    gone = _cells_named(problem, *same)
    try:
        if table == "readings" and (part := _part_of_readings(found, mends, problem.column)):
            few, rows = part
            before = _judged(found.folder, {**sheets, table: few}, found.asked)
            there = _cells_named(*before.problems, *before.doubts)
            named = {(file, rows[row], column) for file, row, column in gone}
            if named <= there:  # judged in the part as in the whole
                sheets, mends = {**sheets, table: few}, {rows[row]: mend for row, mend in mends.items()}
                now, gone = there, named
        mended = sheets[table].with_cells(mends, problem.column)
        after = _judged(found.folder, {**sheets, table: mended}, found.asked)
    except InputError:
        return None
    return after if _cells_named(*after.problems, *after.doubts) <= now - gone else None


_ASKED_WELL = 20  # doubts whose question is tried out, the first
_LIKE_GREEN = (0.6, 1.3)  # of a wood's green moisture: trees differ by so much (common practice)


def _asked_well(found):
    """The doubts, of which "Is X meant" is left out where X would not put the row right."""
    left, doubts = _ASKED_WELL, []
    for p in found.doubts:
        weighed = p.row and not p.mend and p.column == "value" and "readings" in found.sheets
        asks = ASKED.search(p.says or p.expected) if weighed else None
        if asks:
            left -= 1
            if left < 0 or not any(_would_go(found, p, value) for value in asks[1].split(" or ")):
                sheet = found.sheets["readings"]
                look = _BONE_DRY if sheet.cell(p.row, "kind") == "oven-dry" else _LOOK
                p = replace(p, expected=ASKED.sub(look, p.expected), says=ASKED.sub(look, p.says))
        doubts.append(p)
    return tuple(doubts)


_LOOK, _BONE_DRY = " Look at your note.", " Was it weighed bone dry, and is it this board's?"


def _would_go(found, problem, value):
    """True if a weight that is asked about makes nothing else look wrong, and an oven-dry weight tells green wood."""
    after = _mended_well(found, replace(problem, mend=value))
    if after is None or not (sheet := found.sheets.get("readings")) or "stacks" not in found.tables:
        return after is not None
    kind, stack, board = (sheet.cell(problem.row, name) for name in ("kind", "stack", "board"))
    if kind != "oven-dry":
        return True
    stacks = found.tables["stacks"]
    wood = next((r for r in stacks[stacks["stack"] == stack].itertuples()), None)
    known: Any = _green_and_inches(wood.species, wood.nominal) if wood else None
    told = [
        mc for r, mc in after.told.get(stack, ()) if r.kind == "weight" and _bare(r.board) == _bare(board)
    ]
    if not known or not told:
        return False
    low, high = _LIKE_GREEN
    return bool(low * known[0] <= told[0] <= high * known[0])


_FEW = 500  # rows of readings that are judged as a whole for each mend; of more, those of the stack and the board


def _part_of_readings(found, mends, column):
    """(The readings that a mend can touch, {row: its row there}): its stacks' and its boards'; None if most are."""
    sheet = found.sheets["readings"]
    if len(sheet.records) <= _FEW or any(not p.row for p in found.doubts):
        return None
    stacks = {sheet.cell(row, "stack") for row in mends} | ({*mends.values()} if column == "stack" else set())
    boards = {_bare(sheet.cell(row, "board")) for row in mends} - {""}
    body = [r for r in sheet.records[1:] if r.cells]
    some = [
        r for r in body if sheet.cell(r.row, "stack") in stacks or _bare(sheet.cell(r.row, "board")) in boards
    ]
    if 2 * len(some) > len(body):
        return None
    few = sheet.of_rows({r.row for r in some})
    few.order = sheet.date_orders().get("date", "")
    return few, {r.row: there.row for r, there in zip(some, few.records[1:], strict=True)}


def _cells_named(*problems):
    return {(p.file, p.row, p.column) for p in problems if p.row}


@lru_cache(100)
def _before(species, nominal, place, stacked, start_mc_pct, width_ft):
    """The forecast of a stack before any reading."""
    row = SimpleNamespace(species=species, nominal=nominal, stacked=stacked)
    row.start_mc_pct, row.width_ft = start_mc_pct, width_ft
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RangeWarning)  # said by `stack_taught`, each time
        return of_stack(row, place)


@lru_cache(200)
def _taught(stack, seen):
    import pandas as pd

    return taught(_before(*stack), pd.DataFrame(list(seen), columns=["date", "kind", "board", "mc_pct"]))


def stack_taught(
    row: Any, readings: pd.DataFrame | Sequence[tuple[Any, float]], place: str | Site | None = None
) -> tuple[Forecast, str]:
    """Return (the forecast of a stack with its readings, "") or (the one without them, why they teach it no date).

    Parameters
    ----------
    row : row of the stacks table
    readings : DataFrame or sequence
        As from `mc_readings`, or the pairs of `readings_told`.
    place : str or Site, optional
        Where the stack stands if its row names no place; the learner's choice if left out.

    Returns
    -------
    tuple of (Forecast, str)

    Raises
    ------
    InputError
        There can be no forecast of such a stack.

    Examples
    --------
    >>> from woodcalc import records
    >>> tables = read_usable(records.KETTLE_HOLLOW).tables
    >>> stack = next(tables["stacks"].itertuples())
    >>> after, why = stack_taught(stack, records.mc_readings(tables["readings"], "A", stack.species))
    >>> len(after.readings), why
    (8, '')
    """
    if hasattr(readings, "itertuples"):
        seen = tuple((r.date, r.kind, r.board, r.mc_pct) for r in readings.itertuples())
    else:
        seen = tuple((r.date, r.kind, r.board, mc) for r, mc in readings)
    thickness(row.nominal)  # says that it is less sure of thick stock
    where = _where(row, place or kept_choices().place)
    known: Any = (getattr(row, name, None) for name in ("start_mc_pct", "width_ft"))
    start_mc_pct, width_ft = (None if blank(value) else float(value) for value in known)
    after, why = _taught((row.species, row.nominal, where, row.stacked, start_mc_pct, width_ft), seen)
    if (
        why
        and start_mc_pct
        and not _taught((row.species, row.nominal, where, row.stacked, None, width_ft), seen)[1]
    ):
        green = _before(row.species, row.nominal, where, row.stacked, None, width_ft).start_mc_pct
        first = f"{'The first of them' if len(seen) > 1 else 'The only one'} tells {seen[0][3]:.0f} %"
        also = "" if len(seen) > 1 else ", and the reading"
        why = (
            f"{_START} of {start_mc_pct:g} %, so no date is told from them. {first}, which goes with green wood of "
            f"about {green:.0f} %. Is {start_mc_pct:g} % right{also}? If you leave it empty, the book takes green wood"
        )
    return after, why


_START = "the readings contradict its moisture at stacking"


def _where(stack, usual):
    """Where a stack stands: what its row says, else the usual place."""
    named = getattr(stack, "place", None)
    return usual if blank(named) else named


_OPEN_ANEW = (
    "the folder that the lessons were opened in. Was it moved or renamed? Close the lab and start it again"
)


def _whole(file, found, expected):
    return Problem(file, None, ALL, found, expected)


def _files(path, wanted, own):
    """Return ({table: its file}, problems, notes) of a folder, or of a single file."""
    try:
        if path.is_file():
            if path.suffix.lower() in (".csv", ".txt", ".tsv"):
                return {path.stem.lower() if path.stem.lower() in TABLES else "logs": path}, [], []
            return {}, [_whole(path.name, "a file", "a folder of that name. Rename the file")], []
        if not path.exists():
            expected = (
                "a folder that holds logs.csv, boards.csv, stacks.csv or readings.csv. Is the name right?"
            )
            return {}, [] if own else [_whole(path.name or str(path), "no such folder", expected)], []
        there = sorted(path.iterdir())
        remember(path)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or str(error)
        trouble = _whole(path.name, f"a folder that cannot be read ({why})", "a folder that you may open")
        return {}, [trouble], []
    files, problems, notes = {}, [], []
    for table in wanted:
        name = f"{table}.csv"
        named = [p for p in there if p.name.lower() == name]
        exact = [p for p in named if p.name == name]
        if exact or (named and os.path.exists(path / name)):  # a disk may make no difference of capitals
            files[table] = (exact or named)[0]
        for other in there:
            if other == files.get(table) or meant(other.name) != table or os.path.isdir(other):
                continue
            if other in named and table in files:
                expected = f"one file of that name; {files[table].name} is used"
                problems.append(_whole(other.name, "a second file of that name", expected))
            elif table in files:
                notes.append(
                    f"{name}: the file {other.name} lies beside it and is not read. Does it hold more rows?"
                )
            elif other.suffix.lower() in _BOOKS:
                expected = f"{name}. In the spreadsheet: Save as, type CSV UTF-8"
                problems.append(_whole(other.name, "a spreadsheet workbook", expected))
            else:
                hidden = (
                    " (Windows may hide the ending .txt)" if other.name.lower().endswith(".csv.txt") else ""
                )
                expected = f"the name {name}. Rename it to {name}{hidden}"
                problems.append(_whole(other.name, "a file that is not read under this name", expected))
    return files, problems, notes


_BOOKS = (".xlsx", ".xls", ".ods", ".numbers")
_ENDINGS = (".csv", ".txt", ".tsv", ".tab", *_BOOKS, "")
_BESIDE = {
    "csv",
    "txt",
    "tsv",
    "tab",
    "xlsx",
    "xls",
    "ods",
    "numbers",
    "copy",
    "of",
    "my",
    "new",
    "old",
    "final",
}


def meant(name: str) -> str:
    """Return the table that the name of a file seems to mean, "" if none.

    Examples
    --------
    >>> meant("logs (1).csv"), meant("Logs.csv.txt"), meant("logs-backup.csv"), meant("plan.csv")
    ('logs', 'logs', 'logs', '')
    """
    words = [word for word in re.findall(r"[a-z]+", name.lower()) if word not in _BESIDE]
    if name.startswith(".") or Path(name).suffix.lower() not in _ENDINGS or not words:
        return ""
    if len(words) > 1:  # logs-DESKTOP-4.csv, logs conflicted copy.csv, logs-backup.csv
        return words[0] if words[0] in TABLES and Path(name).suffix.lower() in (".csv", *_BOOKS) else ""
    return next(iter(difflib.get_close_matches(words[0], TABLES, 1, 0.8)), "")


def _sheet(file, table):
    """Return (the file taken apart or None, problems)."""
    try:
        if file.is_dir():
            return None, [_whole(file.name, "a folder", "a file of that name. Rename the folder")]
        size = file.stat().st_size
        if size > LARGEST_MB * 1e6:
            return None, [_whole(file.name, f"{size / 1e6:.0f} MB", f"a table of at most {LARGEST_MB} MB")]
        sheet = Sheet.parse(file_bytes(file), file.name, table)
    except RecordsError as error:
        return None, list(error.problems)
    except (OSError, ValueError) as error:  # also "cannot be read"
        return None, [
            _whole(file.name, f"a file that cannot be opened ({error})", "a CSV file that you may read")
        ]
    if not any(r.cells for r in sheet.records[1:]):
        return sheet, [_whole(file.name, "a header and no rows", "one row for each of your " + table)]
    return sheet, []


def _rows_named(rows):
    """Rows in words, of many the first."""
    some = [*rows[:_NAMED], *([f"{len(rows) - _NAMED:,} more"] if len(rows) > _NAMED else [])]
    return f"row {some[0]}" if len(some) == 1 else f"rows {', '.join(some[:-1])} and {some[-1]}"


_COLDER_F, _WARMER_F = 25.0, 40.0  # than a month's usual nights and days: about a record, and wood in the sun


@lru_cache(1000)
def _coldest_and_warmest_f(where, month, day):
    """(The lowest, the highest) that wood out of doors can have on a day of the year, F; nothing if not known."""
    from woodcalc import climate

    try:
        monthly = climate.get(where).monthly
    except InputError:
        return -math.inf, math.inf
    beside = (month - 2 if day <= 15 else month) % 12 + 1  # the month that is nearest
    low = min(monthly.temp_min_f[month], monthly.temp_min_f[beside])
    return float(low) - _COLDER_F, float(monthly.temp_max_f[month]) + _WARMER_F


# Below the driest usual month: a year's month that only one in forty undercuts (two standard deviations, `emc_sd_pct`),
# and 2 points for what woods, meters and oven-dry weights from two sections differ by (common practice).
_DRIER_YEARS, _DRIER_PCT = 2.0, 2.0


_APART_PCT = 6.0  # points between two boards of a stack that are done drying (common practice)
_HELD_APART = 5  # boards, the driest and the wettest of a stack, that are held against each other
_APART_DAYS = 28  # in which it shows that both have nearly stopped: weighings are good to half a point
_NEARLY_DONE_PCT = 2.0  # points lost in that time
_ALIKE, _ALIKE_PCT = (
    1.25,
    0.3,
)  # of what the dry one loses, and points more: a board that is only slower loses more


def _done_apart(some, others, stacked):
    """Return (moisture of one board, of another) if both have nearly stopped drying far apart, in order; else None."""
    lines = [([r.date.toordinal() for r, _ in each], [mc for _, mc in each]) for each in (some, others)]
    end = min(days[-1] for days, _ in lines)
    begin = max(end - 2 * _APART_DAYS, *(days[0] for days, _ in lines))
    warm = _warm_days(stacked.toordinal(), end)
    still_warm = date.fromordinal((begin + end) // 2).month in (*WARM, WARM.stop)
    if end - begin < _APART_DAYS or warm < _STILL_GREEN_DAYS or not still_warm:
        return None
    (a, b), (was_a, was_b) = ([_between(*line, day) for line in lines] for day in (end, begin))
    fell_a, fell_b = ((was - now) * _APART_DAYS / (end - begin) for was, now in ((was_a, a), (was_b, b)))
    low, high = (fell_a, fell_b) if a <= b else (fell_b, fell_a)
    done = high <= _NEARLY_DONE_PCT and high <= _ALIKE * max(low, 0) + _ALIKE_PCT
    return (a, b) if done and abs(a - b) > _APART_PCT else None


@lru_cache(1000)
def _warm_days(first, end):
    """How many days of April to September there are between two days, in the first year or so."""
    return sum(date.fromordinal(day).month in WARM for day in range(first, min(end, first + _SEASON.days)))


def _rejected(day, mc, others):
    """True if a moisture on a day can't come after the reading before it, or before the one after it."""

    def follows(first, was, then, now):
        fortnights = max((then - first) / timedelta(days=14), 1)
        return now - was <= RISE_PCT and (100 + now) / (100 + was) >= FALL**fortnights

    before = max((p for p in others if p[0].date < day), key=lambda p: p[0].date, default=None)
    after = min((p for p in others if p[0].date > day), key=lambda p: p[0].date, default=None)
    return bool(
        (before and not follows(before[0].date, before[1], day, mc))
        or (after and not follows(day, mc, after[0].date, after[1]))
    )


def _between(days, values, day):
    """The value on a day, in a straight line between those beside it."""
    at = min(max(bisect(days, day), 1), len(days) - 1)
    (d, e), (v, w) = days[at - 1 : at + 1], values[at - 1 : at + 1]
    return w if e == d else v + (w - v) * (day - d) / (e - d)


def _oven_dry_row(rows, weighed):
    """The row of the oven-dry weight that a board's moistures were told with; None if it is not among the rows."""
    (r, mc), board = weighed[0], weighed[0][0].board.casefold()
    dry_lb = r.lb / (1 + mc / 100)
    dry = {
        row[0]: abs(float(row[4]) * POUNDS.get(row[5], math.nan) - dry_lb)
        for row in rows
        if row[3] == "oven-dry" and ("" if blank(row[2]) else str(row[2])).casefold() == board
    }
    return min(dry, key=dry.__getitem__) if dry else None


@lru_cache(100)
def _emc_pct(where):
    """The moisture that the air at a place brings wood to over the year, %; None if it is not known."""
    from woodcalc import climate

    try:
        return float(climate.get(where).monthly.emc_pct.mean())
    except InputError:
        return None


@lru_cache(100)
def _driest_pct(where):
    """The lowest moisture that wood reaches outdoors at a place, %; None if it is not known."""
    from woodcalc import climate
    from woodcalc.drying.curves import known_emc_sd_pct

    try:
        monthly = climate.get(where).monthly
    except InputError:
        return None
    off = _DRIER_YEARS * known_emc_sd_pct(float(monthly.emc_sd_pct.mean()))
    return max(float(monthly.emc_pct.min()) - off - _DRIER_PCT, 0.0)


@lru_cache(20_000)
def _bare(mark):
    """A mark without what is easily written another way.

    That is capitals, blanks, a word processor's dash, the word before it (Stack A), the point and zeros of a
    spreadsheet.
    """
    plain = re.sub(r"[\u2010-\u2015\u2212]", "-", str(mark).casefold().strip())
    plain = re.sub(r"^(?:stack|pile|board|log)(?:[\s.:#_-]+|(?=\d))(?=.)", "", plain)
    return re.sub(r"\.0+$", "", re.sub(r"\s+", "", plain))


def _range_of(mark, known):
    """(The first, the last) of the marks that one like 1-3 seems to run through; nothing if it runs through none."""
    m = re.fullmatch(r"(.+?)(?:-|to|\.\.+|&|\+|,|and)(.+)", _bare(mark))
    near = {_bare(k): k for k in known} if m else {}
    ends = [near[end] for end in m.groups() if end in near] if m else []
    return ends if len(ends) == 2 and ends[0] != ends[1] else []


def _green_and_inches(wood, nominal):
    """The moisture of a wood as it is sawn, %, and the inches of a thickness; nothing if either is not known."""
    from woodcalc import sizes
    from woodcalc import species as woods

    try:
        return woods.get(wood).green_mc_pct, float(sizes.nominal_in(nominal))
    except (InputError, TypeError, ValueError, AttributeError):
        return None


def _boards_of(by_stack):
    """{stack: {board: its rows}} of readings that name a board."""
    boards: dict[str, dict[str, list[int]]] = {stack: {} for stack in by_stack}
    for stack, rows in by_stack.items():
        for r in rows:
            if not blank(r[2]) and r[2]:
                boards[stack].setdefault(r[2], []).append(r[0])
    return boards


def _calendar_day(day):
    """A day as on a calendar, e.g. ``"19 July 2025"``."""
    return f"{day.day} {day:%B %Y}"


def _may_be_one_board(one, others):
    """True if a reading goes with those of a board in another stack: by meter near them, by weight not far off."""
    _, day, _, kind, value, unit, _ = one
    same = sorted((r[1], r[4]) for r in others if r[3] == kind and r[5] == unit)
    if kind == "oven-dry":
        return all(r[3] != kind for r in others)
    before, after = [v for d, v in same if d <= day][-1:], [v for d, v in same if d > day][:1]
    far = _METER_STEP if kind == "meter" else 0.15 * value
    beside = [v for d, v in same if d == day]
    return bool(before or after) and not beside and all(abs(v - value) <= far for v in (*before, *after))


_METER_STEP = 15.0  # points between two readings of a board that follow on each other
_MANY_STACKS = 20  # in which a board's mark stands: no mark of one board


_FIRST = {"mdy": "month", "dmy": "day", "ymd": "year"}  # what comes first in each order of a date


class _Found:
    """Sheets and tables as they are gathered, and what is said about them."""

    def __init__(self, asked):
        self.asked, self.today, self.sheets, self.frames = asked, asked.today, {}, {}
        self.problems, self.doubts, self.notes, self.left_out = [], [], [], []
        self.waiting: dict[int, tuple[str, ...]] = {}
        self.contradict: list[int] = []
        self.remarks: list[str] = []
        self.clock_is_behind = False
        self.told: dict[str, tuple[Any, ...]] = {}
        self.waits_for_weights: dict[str, tuple[str, ...]] = {}
        self._lists = {}

    def add(self, table, sheet):
        """Take in one table: its good rows, its problems, how it was read."""
        frame, problems = sheet.rows()
        self.sheets[table], self.frames[table] = sheet, frame
        self.problems += problems
        self.notes += [f"{sheet.name}: {note}" for note in sheet.notes]
        if sheet.unmarked and table == "logs":
            n = len(sheet.unmarked)
            many = "one log has" if n == 1 else f"{n} logs have"
            self.notes.append(
                f"{sheet.name}: {many} no mark and {'goes' if n == 1 else 'go'} by the place in the table"
            )

    def _problem(self, table, row, column, expected, mend="", found=""):
        cell = self.sheets[table].cell(row, column)
        frame = self.frames[table]
        if self._lists.get(table, (None,))[0] is not frame:  # plain lists: a table full of slips stays quick
            lists = {c.name: list(frame[c.name]) for c in self.sheets[table].columns}
            self._lists[table] = frame, lists, {r: i for i, r in enumerate(frame.index)}
        _, lists, at = self._lists[table]
        about = what_row(table, lists, at[row], column)
        shown = found or (repr(cell) if cell else "nothing")
        return Problem(self.sheets[table].name, row, column, shown, expected, mend, about, cell)

    def _doubt(self, *args, used=True, says="", rivals=(), **more):
        self.doubts.append(replace(self._problem(*args, **more), used=used, says=says, rivals=rivals))

    def _drop(self, table, rows):
        attrs = self.frames[table].attrs
        self.frames[table] = self.frames[table].drop(index=rows)
        self.frames[table].attrs.update(attrs)

    def set_aside_by_date(self):
        """Readings from the future, or from before their stack was stacked, are set aside."""
        import pandas as pd

        if "readings" not in self.frames:
            return
        frame = self.frames["readings"]
        stacked = self._stacked()
        last = self.today + timedelta(days=1)  # a server's day may be behind the learner's
        begin = frame["stack"].map(stacked)
        future = frame["date"] > pd.Timestamp(last)
        if self._clock_is_behind(frame[future]):
            future[:] = False
        early = (frame["date"] < pd.to_datetime(begin)) & (frame["kind"] != "oven-dry")
        if not (future | early).any():
            return
        good = frame[~future & ~early]
        years = {s: list(g["date"].dt.year) for s, g in good.groupby("stack")}
        for row in frame.index[future | early]:
            stack, column = frame.loc[row, "stack"], "date"
            first = stacked.get(stack)
            mend = self._likely_day("readings", row, "date", first, years.get(stack, ()))
            if early[row] and (first - frame.loc[row, "date"]).days < 200:  # not a slip of the year
                mend = self._likely_day("readings", row, "date", first, None)
            if future[row]:
                expected = (
                    f"a day up to today, {as_text(self.today)} by this computer's clock. Is the year right?"
                )
            else:
                expected = f"a day after {as_text(first)}, when stack {stack} was stacked. "
                if others := self._stacks_of_the_board(frame, row):
                    column = "date" if mend else "stack"
                    board, there = frame.loc[row, "board"], " and ".join(others)
                    which = f"Is {others[0]} meant?" if len(others) == 1 else "Which stack is meant?"
                    expected += f"Board {board} has its other readings in stack {there}. {which}"
                    mend = "" if mend or len(others) > 1 else others[0]
                else:
                    expected += "Is one of the two days wrong?"
            self.problems.append(self._problem("readings", row, column, expected, mend))
        dated = frame[frame["kind"] != "oven-dry"]
        by_stack = early[dated.index].groupby(dated["stack"]).agg(["all", "size"])
        whole = list(by_stack.index[by_stack["all"] & (by_stack["size"] > 1)])
        self._drop("readings", frame.index[future | early])
        for stack in whole:
            row = self.frames["stacks"].index[self.frames["stacks"]["stack"] == stack][0]
            expected = "a day before the stack's readings, which are all earlier. Is the year right?"
            day = frame.loc[frame["stack"] == stack, "date"].min()
            mend = next(
                (as_text(d) for d in self._years_of("stacks", row, "stacked", (day.year,)) if d <= day), ""
            )
            self._doubt("stacks", row, "stacked", expected, mend)

    def _stacks_of_the_board(self, frame, row):
        """The stacks, stacked by then, in which a board has all its other readings; [] if one is in this row's own."""
        board, stack = _bare(frame.loc[row, "board"]), frame.loc[row, "stack"]
        if not board:
            return []
        same = frame.drop(index=row)
        found = list(dict.fromkeys(same["stack"][same["board"].map(_bare) == board]))
        stacked = self._stacked()
        if stack in found or any(s not in stacked or stacked[s] > frame.loc[row, "date"] for s in found):
            return []
        return found

    def _strangers(self, by_stack, stacks):
        """Rows of boards that belong to another stack, with it: {row: (mark, why)}.

        Such a board is of another wood than the stack (boards.csv), or has all its other readings in one other stack
        while the stack has other boards. Stacks that share several boards number them anew, and are left alone.
        """
        if len(by_stack) < 2 or len(stacks) < 2:
            return {}
        where: dict[str, dict[str, list[Any]]] = {}
        for stack, rows in by_stack.items():
            for r in rows:
                if not blank(r[2]) and r[2]:
                    where.setdefault(_bare(r[2]), {}).setdefault(stack, []).append(r)
        shared: dict[tuple[str, str], int] = {}
        for of in where.values():
            for pair in permutations(of, 2) if 1 < len(of) < _MANY_STACKS else ():
                shared[pair] = shared.get(pair, 0) + 1
        woods = self._woods_of_boards()
        found: dict[int, tuple[str, str]] = {}
        for board, of in where.items():
            for stack, rows in of.items():
                wood, own = woods.get(board), getattr(stacks.get(stack), "species", None)
                if own is None or 2 * len(rows) > len(by_stack[stack]) or wood == own:
                    continue  # most of the stack's rows are of this board: it is the stack's
                stood = [s for s, r in stacks.items() if s != stack and r.stacked <= rows[0][1]]
                of_wood = [s for s in stood if wood and stacks[s].species == wood]
                other = [s for s in of if s in stood and len(of[s]) > 1]
                if wood and len(of_wood) == 1:
                    why = f"which is {wood} in boards.csv, as stack {of_wood[0]} is"
                    found |= {r[0]: (of_wood[0], why) for r in rows}
                elif (
                    not wood and len(of) == 2 and len(rows) == 1 and len(other) == 1 and shared[stack, other[0]] == 1
                    and _may_be_one_board(rows[0], of[other[0]])
                ):  # fmt: skip
                    found[rows[0][0]] = other[0], f"whose other readings are in stack {other[0]}"
        return found

    def _boards_it_may_be(self, row, rows):
        """The other boards of a stack whose readings one row of it goes with: the mark of the board may be the slip."""
        one = next(r for r in rows if r[0] == row)
        boards: dict[str, list[Any]] = {}
        for r in rows:
            if not blank(r[2]) and r[2] != one[2]:
                boards.setdefault(r[2], []).append(r)
        return [board for board, mine in boards.items() if _may_be_one_board(one, mine)]

    def _woods_of_boards(self):
        """{board: its wood} of boards.csv, without marks that stand there for two woods."""
        if "boards" not in self.frames:
            return {}
        boards = self.frames["boards"]
        woods: dict[str, set[str]] = {}
        for mark, wood in zip(boards["board"], boards["species"], strict=True):
            woods.setdefault(_bare(mark), set()).add(wood)
        return {mark: next(iter(some)) for mark, some in woods.items() if mark and len(some) == 1}

    def _clock_is_behind(self, later):
        """Say once that the computer's clock is behind, if so many readings lie after it that it must be; else False.

        That is where all readings do, or several follow in order, each soon after the one before, on those up to today.
        """
        frame = self.frames["readings"]
        days = later["date"].drop_duplicates()
        if len(days) < 2 or not days.is_monotonic_increasing:
            return False
        if len(later) < len(frame):
            begin = frame["date"].drop(later.index)
            in_order = begin.index.max() < later.index.min()
            gaps = (later["date"].max() - begin.max(), later["date"].min() - begin.max())
            if not in_order or gaps[0] > _CLOCK_BEHIND or gaps[1] > _SEASON:
                return False
        newest = later["date"].max()
        self.clock_is_behind = True
        self.doubts.append(
            Problem(
                self.sheets["readings"].name,
                None,
                "date",
                "",
                "",
                says=f"This computer's clock says {_calendar_day(self.today)}, which is before your newest rows, up to "
                f"{_calendar_day(newest)}. Set the clock right; no row was set aside for it.",
            )
        )
        return True

    def _stacked(self):
        if "stacks" not in self.frames:
            return {}
        stacks = self.frames["stacks"]
        return dict(zip(stacks["stack"], stacks["stacked"], strict=True))

    def _years_of(self, table, row, column, years):
        text = self.sheets[table].cell(row, column)
        return [day for year in dict.fromkeys(years) for day in possible_days(text, year)]

    def _likely_day(self, table, row, column, first, years):
        """The day that was likely meant: day and month swapped, or another year; "" if none fits, or one of each.

        With no list of years, the year is taken as it is.
        """
        text, usual = (
            self.sheets[table].cell(row, column),
            sorted(set(years or ()), key=list(years or ()).count),
        )
        around = [first.year, first.year + 1] if first is not None else []
        swapped = [*possible_days(text), *(turned(day) for day in possible_days(text))]
        others = (
            [*reversed(usual), *around, self.today.year, self.today.year - 1] if years is not None else ()
        )

        def fitting(days):
            return [
                as_text(day)
                for day in days
                if day.date() <= self.today and (first is None or timedelta(0) <= day - first <= _SEASON)
            ]

        fit = [
            each[0]
            for each in (fitting(swapped), fitting(self._years_of(table, row, column, others)))
            if each
        ]
        return fit[0] if len(fit) == 1 else ""

    def look_across(self):
        """Doubts that show only when rows and tables are held against each other."""
        self._nearly_one()
        self._marks("boards", "log", "logs")
        self._marks("readings", "stack", "stacks")
        self._woods()
        self._sizes()
        for odd in odd_sizes(self.frames):
            self._doubt(*odd)
        self._odd_orders()
        self._stacks()
        self._days_of_boards()
        self._ids()
        if {"stacks", "readings"} & {*self.asked.wanted}:  # they say nothing of logs and boards
            self._readings()

    def in_order(self, problems):
        """Problems table by table and row by row."""
        names = [sheet.name for sheet in self.sheets.values()]
        return sorted(problems, key=lambda p: (names.index(p.file), p.row or 0))

    def _nearly_one(self):
        """Marks of one table that differ only in capitals or blanks: each stands for itself, and that is said."""
        for table, frame in self.frames.items():
            column = MARKS.get(table)
            if column is None:
                continue
            seen: dict[str, tuple[Any, Any]] = {}
            for row, mark in frame[column].items():
                first = seen.setdefault(_bare(mark), (row, mark))
                if mark and first[1] != mark:
                    expected = (
                        f"a mark that cannot be taken for {first[1]!r} of row {first[0]}; they are read as two "
                        f"{table}. Is one of them to have another name, or is it the same one twice?"
                    )
                    self._doubt(table, row, column, expected)

    def _marks(self, table, column, of):
        """Marks that point to nothing in another table."""
        if table not in self.frames or of not in self.frames:
            return
        frame, known = self.frames[table], list(self.frames[of][MARKS[of]])
        lost = frame[~frame[column].isin([*known, ""])]
        near = {_bare(k): k for k in known}
        aside = self.sheets[of].marks() - set(known)
        for mark, rows in lost.groupby(column, sort=False):
            mend = near.get(_bare(mark), "")
            if mend:
                for row in rows.index:
                    self._doubt(table, row, column, f"a {column} of {of}.csv. Is {mend} meant?", mend)
                continue
            n = len(rows) - 1
            more = f" (and {n} more row{'s' if n > 1 else ''})" if n else ""
            if ends := _range_of(mark, known):
                which = f"{ends[0]} to {ends[1]}, or {' and '.join(ends)}"
                expected = f"one {column} in each row, such as {ends[0]}. Is it {which}?"
            elif mark in aside:
                expected = f"a {column} that can be used; its row in {of}.csv is set aside"
            else:
                named = ", ".join(map(str, known[:6])) + (" ..." if len(known) > 6 else "")
                expected = f"a {column} of {of}.csv, which has {named or 'no rows'}"
            self._doubt(table, rows.index[0], column, expected, found=f"{mark!r}{more}")

    def _woods(self):
        """Boards whose wood is not their log's."""
        if "boards" not in self.frames or "logs" not in self.frames:
            return
        boards, logs = self.frames["boards"], self.frames["logs"]
        of = dict(zip(logs["log"], logs["species"], strict=True))
        log_wood = boards["log"].map(of)
        other = boards[log_wood.notna() & (log_wood != boards["species"])]
        for row, log in zip(other.index, other["log"], strict=True):
            self._doubt("boards", row, "species", f"{of[log]}, the wood of log {log} in logs.csv", of[log])

    def _sizes(self):
        """Thicknesses that are whole numbers: 4 for 4/4 is read as four inches."""
        for table in ("boards", "stacks"):
            sheet = self.sheets.get(table)
            if sheet and not sheet.by_quarters:
                for row in self.frames[table].index:
                    if re.fullmatch(r"[4-8]", cell := sheet.cell(row, "nominal")):
                        expected = (
                            f"a thickness in quarters. It is read as {4 * int(cell)}/4, {cell} in thick. "
                            f"Is {cell}/4 meant?"
                        )
                        self._doubt(table, row, "nominal", expected, f"{cell}/4")

    def _odd_orders(self):
        """The one date of a column that is written day first where the others are written month first, or so."""
        for table, sheet in self.sheets.items():
            for column, order in sheet.date_orders().items():
                if not order:
                    continue
                rows = self.frames[table].index
                odd = [
                    row
                    for row in rows
                    if (other := date_order([sheet.cell(row, column)])) in _FIRST and other != order
                ]
                if len({sheet.cell(row, column) for row in odd}) != 1:
                    continue
                day = self.frames[table].loc[odd[0], column]
                first, others = _FIRST[date_order([sheet.cell(odd[0], column)])], _FIRST[order]
                expected = (
                    f"a date with the {others} first, as the others have it. The {first} stands first here, and it is "
                    f"read as {_calendar_day(day)}. Is {as_text(day)} meant?"
                )
                for row in odd:
                    self._doubt(table, row, column, expected, as_text(day))

    def _stacks(self):
        """Stacks that are stacked in the future."""
        if "stacks" not in self.frames or self.clock_is_behind:
            return
        stacks = self.frames["stacks"]
        for row, day in zip(stacks.index, stacks["stacked"], strict=True):
            if day.date() > self.today + timedelta(days=1):
                far = day.date() > self.today + timedelta(days=366)
                mend = self._likely_day("stacks", row, "stacked", None, ()) if far else ""
                expected = f"a day up to today, {as_text(self.today)}, unless it is still to be stacked"
                self._doubt(
                    "stacks", row, "stacked", expected + (". Is the year right?" if far else ""), mend
                )

    def _days_of_boards(self):
        """Boards that carry a day before their log's."""
        if "boards" not in self.frames or "logs" not in self.frames:
            return
        boards, logs = self.frames["boards"], self.frames["logs"]
        column, of_logs = (
            next((c for c in f.columns if str(c).lower().replace(" ", "_") in SAWN), None)
            for f in (boards, logs)
        )
        if column is None or of_logs is None:
            return
        felled = {
            log: date_of(text, "")[0]
            for log, text in zip(logs["log"], logs[of_logs].map(as_text), strict=True)
        }
        for row, log, text in zip(boards.index, boards["log"], boards[column].map(as_text), strict=True):
            day, before = date_of(text, "")[0], felled.get(log)
            if day and before and day < before:
                expected = f"a day after {as_text(before)}, the day of log {log} in logs.csv"
                self._doubt("boards", row, column, expected, found=repr(text))

    def _ids(self):
        """Marks that a spreadsheet likely turned into a date or a number."""
        known = {
            ("boards", "log"): self._known("logs"),
            ("readings", "board"): self._known("boards"),
            ("readings", "stack"): self._known("stacks"),
            ("boards", "board"): set(),
            ("logs", "log"): set(),
            ("stacks", "stack"): set(),
        }
        for (table, column), marks in known.items():
            if table not in self.frames:
                continue
            column_of = self.frames[table][column]
            changed = {
                mark: ids for mark in column_of.unique() if mark not in marks and (ids := likely_ids(mark))
            }
            for row, mark in column_of[column_of.isin(list(changed))].items():
                ids = changed[mark]
                here = [i for i in ids if i in marks]
                mend = here[0] if len(here) == 1 else ""
                which = " or ".join(here or ids[:2])
                expected = f"the mark as you wrote it; a spreadsheet may have changed it. Is {which} meant?"
                self._doubt(table, row, column, expected, mend)

    def _known(self, table):
        return set(self.frames[table][MARKS[table]]) if table in self.frames else set()

    def _readings(self):
        """Readings that cannot be right, one by one and against their neighbors."""
        if "readings" not in self.frames:
            return
        frame, stacks, starts = self.frames["readings"], {}, {}
        if "stacks" in self.frames:
            for r in self.frames["stacks"].itertuples():
                stacks[r.stack], starts[r.stack] = r, (r.stacked, r.start_mc_pct)
        first = frame[frame["kind"] != "oven-dry"].groupby("stack")["date"].min().to_dict()
        marks = self.sheets["stacks"].marks() if "stacks" in self.sheets else set()
        little = []
        by_stack = rows_by_stack(frame)
        strangers = self._strangers(by_stack, stacks)
        for row, (other, why) in strangers.items():
            own = self._boards_it_may_be(row, by_stack[frame.loc[row, "stack"]])
            asks = (
                f"Is {other} meant?" if not own else f"Is stack {other} meant, or board {' or '.join(own)}?"
            )
            expected = f"the stack of board {frame.loc[row, 'board']}, {why}. {asks}"
            self._doubt("readings", row, "stack", expected, "" if own else other, used=False)
        self.left_out += strangers
        for stack, rows in by_stack.items():
            mine = [r for r in rows if r[0] not in strangers] if strangers else rows
            told, strays, lack = readings_told(
                mine, getattr(stacks.get(stack), "species", None), self._driest(stacks.get(stack))
            )
            self.told[stack], self.waits_for_weights[stack] = tuple(told), tuple(lack)
            kinds = [(row, "" if blank(b) else str(b).casefold(), kind) for row, _, b, kind, *_ in mine]
            dry = {board for _, board, kind in kinds if kind == "oven-dry"}
            alone = {row for row, board, kind in kinds if kind == "weight" and board not in dry}
            unused = {row for s in strays if not s.used for row in (s.row, *s.rivals)}
            whose = {s.row for s in strays if s.column == "board"}
            unused -= whose
            waiting = alone - unused - whose
            self.waiting |= {row: (WHICH_BOARD,) for row in whose}
            used = (
                {r.row for r, _ in told}
                | waiting
                | whose
                | {row for row, _, kind in kinds if kind == "oven-dry"}
            )
            out = unused | ({row for row, *_ in kinds} - used)
            self.left_out += out
            lost = self.asked.no_stacks or ("stacks" in self.frames and stack not in stacks)
            for row, *_ in kinds if lost else ():
                if row not in out:
                    also = self.waiting.get(row, ())
                    self.waiting[row] = (f"{_ASIDE if stack in marks else ''}stack {stack}", *also)
            for row in waiting:
                self.waiting[row] = (*self.waiting.get(row, ()), DRY_WEIGHT)
            little += [s.row for s in strays if s.little]
            for s in strays:
                if s.little:
                    continue
                if s.remark:
                    self.remarks.append(f"{self.sheets['readings'].name}, row {s.row}: {s.says}")
                    continue
                says = s.says if s.twice or s.rivals or s.column == "board" else ""
                # 01.4 may be 10.4 with two digits swapped as well as 14 with the point moved
                mend = "" if re.match(r"0\d", self.sheets["readings"].cell(s.row, "value")) else s.mend
                self._doubt(
                    "readings", s.row, s.column, s.expected, mend, used=s.used, says=says, rivals=s.rivals
                )
            boards: dict[tuple[str, str], list[tuple[Any, float]]] = {}
            for r, mc in told:
                boards.setdefault((r.board.casefold(), r.kind), []).append((r, mc))
            asked = {s.row for s in strays}
            for pairs in boards.values():
                self._one_by_one(pairs, asked)
            if stack in starts:
                judged = stack in list(stacks)[:JUDGED]
                self._too_dry_too_soon(told, *starts[stack])
                doubted = {s.row for s in strays if s.used and not s.remark}
                indoors = {r for s in strays if s.remark for r in (s.row, *s.rivals)}
                wrong, inside = (
                    {b for row, b, kind in kinds if kind == "oven-dry" and row in rows}
                    for rows in (doubted, indoors)
                )
                near = [(r, mc) for r, mc in told if r.board.casefold() not in wrong | inside]
                wrong |= self._boards_apart(stacks[stack], mine, near, asked)
                driest = self._driest(stacks[stack])
                told = [
                    (r, mc)
                    for r, mc in told
                    if r.board.casefold() not in wrong
                    and not (r.board.casefold() in inside and driest and mc < driest[0])
                ]
                if not self._stacked_long_before(stacks[stack], first.get(stack), told) and judged:
                    self._against_the_forecast(stacks[stack], told)
        self._tells_little(little)
        self._too_cold(frame, stacks)
        self._boards_not_there(frame)
        boards = _boards_of(by_stack)
        self._spelled_otherwise(boards)
        self._woods_of_stacks(boards, stacks)

    def _spelled_otherwise(self, boards):
        """Boards of a stack that are written in two ways, as 1-3 with two kinds of dash, and several in one row."""
        listed = self._known("boards")
        for stack, rows in boards.items():
            alike: dict[str, list[str]] = {}
            for mark in rows:
                alike.setdefault(_bare(mark), []).append(mark)
            for marks in alike.values():
                usual = max(marks, key=lambda mark: (len(rows[mark]), mark.isascii(), -len(mark)))
                for mark in marks:
                    if mark.casefold() != usual.casefold():
                        who = f"{usual}, as the board is called in row {rows[usual][0]}"
                        for row in rows[mark]:
                            self._doubt("readings", row, "board", f"{who}. Is {usual} meant?", usual)
            for mark, some in rows.items() if len(rows) > 1 or listed else ():
                known = [k for k in (*rows, *listed) if k != mark]
                if not self._wood_of(mark) and (ends := _range_of(mark, known)):
                    asks = f"Is it {ends[0]} to {ends[1]}? Each board has a reading of its own"
                    self._doubt(
                        "readings", some[0], "board", f"one board of stack {stack} in each row. {asks}"
                    )

    def _woods_of_stacks(self, boards, stacks):
        """Stacks whose sample boards are of another wood, by boards.csv or by the log before the hyphen."""
        readings = self.sheets["readings"].name
        spoken = {p.row for p in self.doubts if p.file == readings and p.column in ("stack", "board")}
        for stack, rows in boards.items() if any(self._of_wood.values()) else ():
            if stack not in stacks:
                continue
            own = stacks[stack].species
            first = {mark: some[0] for mark, some in rows.items()}
            seen = {m: wood for m, row in first.items() if row not in spoken and (wood := self._wood_of(m))}
            other = {mark: told for mark, told in seen.items() if told[0] != own}
            if other and len(other) == len(seen):
                mark, (wood, where) = next(iter(other.items()))
                expected = f"{wood}, the wood of board {mark} in {where}, which is read in this stack. Which is right?"
                self._doubt("stacks", stacks[stack].Index, "species", expected)
                continue
            for mark, (wood, where) in other.items():
                board = f"board {mark} is {wood} in {where}"
                expected = f"a board of {own}, as stack {stack} is; {board}. Is it in this stack?"
                self._doubt("readings", first[mark], "board", expected)

    def _wood_of(self, board):
        """(The wood of a board, the table that says so); nothing if none does."""
        if wood := self._of_wood["boards"].get(_bare(board)):
            return wood, "boards.csv"
        log, dash, _ = _bare(board).rpartition("-")
        wood = self._of_wood["logs"].get(log) if dash else None
        return (wood, f"logs.csv (log {log})") if wood else ()

    @cached_property
    def _of_wood(self):
        """{board or log: its wood}."""
        logs = self.frames.get("logs")
        marks = () if logs is None else zip(logs["log"], logs["species"], strict=True)
        return {"boards": self._woods_of_boards(), "logs": {_bare(mark): wood for mark, wood in marks}}

    def _boards_apart(self, stack, rows, told, asked):
        """Boards that are done drying at quite other moistures than others of the stack; their oven-dry rows are asked.

        Two such boards lose alike from one weighing to the next. A board that is only slower loses more than the dry
        one. Where the air at the place tells which of the two is off, that one is named alone, else both.
        """
        boards: dict[str, list[tuple[Any, float]]] = {}
        for r, mc in told:
            if r.kind == "weight" and r.row not in asked:
                boards.setdefault(r.board.casefold(), []).append((r, mc))
        by_end = sorted(boards, key=lambda b: boards[b][-1][1])
        some = {*by_end[:_HELD_APART], *by_end[-_HELD_APART:]}
        apart = [
            (*pair, *ends)
            for pair in combinations([b for b in boards if b in some], 2)
            if (ends := _done_apart(boards[pair[0]], boards[pair[1]], stack.stacked))
        ]
        emc = _emc_pct(_where(stack, self.asked.place))
        named: set[str] = set()
        while apart:
            many = {board: sum(board in pair[:2] for pair in apart) for pair in apart for board in pair[:2]}
            a, b, low, high = apart[0]
            worst = max(many, key=many.__getitem__)
            off = {a: abs(low - emc), b: abs(high - emc)} if emc is not None else {a: 0, b: 0}
            if many[worst] > 1 or max(off.values()) - min(off.values()) >= _APART_PCT / 2:
                worst = worst if many[worst] > 1 else max(off, key=off.__getitem__)
                pair, rivals = next(p for p in apart if worst in p[:2]), False
            else:
                worst, pair, rivals = b, apart[0], True
            other = pair[0] if pair[1] == worst else pair[1]
            self._apart(worst, other, dict(zip(pair[:2], pair[2:], strict=True)), rows, boards, rivals)
            named |= {worst, other} if rivals else {worst}
            apart = [each for each in apart if not {*each[:2]} & named]
        return named

    def _apart(self, board, other, ends, rows, boards, rivals):
        """The doubt of an oven-dry weight whose board stands apart from another; of both if nothing tells which."""
        own, others = (_oven_dry_row(rows, boards[b]) for b in (board, other))
        if own is None or others is None or {own, others} & {p.row for p in self.doubts if p.row}:
            return
        names = [boards[b][0][0].board for b in (board, other)]
        what = (
            f"board {names[0]} comes to {ends[board]:.0f} % and board {names[1]} to {ends[other]:.0f} %, and both "
            "have nearly stopped drying"
        )
        which = f" Or is the oven-dry weight of board {names[1]}, in row {others}, wrong?" if rivals else ""
        asks = f"Is the oven-dry weight of board {names[0]}, in row {own}, right, and of this board?{which}"
        if not rivals and ends[board] < ends[other]:
            name = self.sheets["readings"].name
            well = "If the board came in from outdoors, all is well."
            self.remarks.append(f"{name}, row {own}: {what[0].upper()}{what[1:]}. {asks} {well}")
            return
        expected = f"an oven-dry weight that brings the board near the others of its stack: {what}. {asks}"
        self._doubt("readings", own, "value", expected, rivals=(others,) if rivals else ())

    def _driest(self, stack):
        """How dry wood gets outdoors where a stack stands, and how that place is named; None if no stack is known."""
        where = _where(stack, self.asked.place)
        low = _driest_pct(where) if stack is not None else None
        return low and (low, getattr(where, "name", where))

    def _tells_little(self, rows):
        """Remark on readings by meter above what a meter can tell: they are right, and count for little."""
        from woodcalc import moisture

        if not rows:
            return
        sheet, most = self.sheets["readings"], moisture.meter_range_pct()[1]
        who = _rows_named([f"{row} ({sheet.cell(row, 'value')} %)" for row in sorted(rows)])
        said = f"kept, not trusted: a meter tells little above {most:g} %"
        self.remarks.append(f"{sheet.name}, {who}: {said}.")

    def _too_cold(self, frame, stacks):
        """Temperatures too low for the season and the place, that would be right in C."""
        low = frame[frame["temp_f"].between(5, 45)]
        cold = []
        for row, day, stack, temp_f in zip(low.index, low["date"], low["stack"], low["temp_f"], strict=True):
            where = _where(stacks.get(stack), self.asked.place)
            coldest, warmest = _coldest_and_warmest_f(where, day.month, day.day)
            if temp_f < coldest and temp_f * 1.8 + 32 <= warmest:
                cold.append((row, temp_f, coldest))
        for row, temp_f, coldest in cold:
            mend = f"{temp_f * 1.8 + 32:.3g}" if len(cold) > 1 else ""  # one alone may be a slip of the pen
            cold_for = f"it hardly gets below {coldest:.0f} F there at that time of the year"
            expected = f"the temperature of the wood in F; {cold_for}. Was it read in C?"
            self._doubt("readings", row, "temp_f", expected, mend)

    def _boards_not_there(self, frame):
        """Remark on boards of a stack that boards.csv lacks although it has others of that stack."""
        if "boards" not in self.frames:
            return
        sheet, marks = self.sheets["boards"], list(self.frames["boards"]["board"])
        known = {_bare(mark) for mark in (*marks, *sheet.marks())}
        for stack, mine in frame[frame["board"] != ""].groupby("stack", sort=False):
            lacks = {board: rows for board, rows in mine.groupby("board", sort=False).groups.items()}
            there = [board for board in lacks if _bare(board) in known]
            for board, rows in lacks.items() if there else ():
                if board in there or likely_ids(board):
                    continue
                near = difflib.get_close_matches(board, marks, 3, 0.7)
                asks = f" Is {' or '.join(near)} meant?" if near else ""
                who = _rows_named([str(row) for row in rows])
                name = self.sheets["readings"].name
                self.remarks.append(
                    f"{name}, {who}: {sheet.name} has no board {board} (stack {stack}).{asks}"
                )

    def _one_by_one(self, pairs, asked):
        """Moisture by a meter that rises in the warm months, and two readings on one day that disagree."""
        for (a, before), (b, after) in zip(pairs, pairs[1:], strict=False):
            if a.kind == "meter" and max(before, after) > 30:
                continue
            same_day = a.date == b.date and a.board and not asked & {a.row, b.row}
            if same_day and abs(after - before) > _SAME_PCT:
                self._two_on_a_day(pairs, (a, before), (b, after))
        metered = [(r, mc) for r, mc in pairs if r.kind == "meter" and r.board and mc <= 30]

        def follows(i, j):
            (a, before), (b, after) = metered[i], metered[j]
            return after - before <= RISE_PCT or b.date.month not in WARM or a.date == b.date

        sure, tied = off_the_path(len(metered), follows)
        for i in [*sure, *tied[-1:]]:
            b, after = metered[i]
            others = [pair for k, pair in enumerate(metered) if k not in (*sure, *tied[-1:])]
            before = max(
                (pair for pair in others if pair[0].date < b.date), key=lambda p: p[0].date, default=None
            )
            later = min(
                (pair for pair in others if pair[0].date > b.date), key=lambda p: p[0].date, default=None
            )
            if before and after > before[1]:
                a, there = before
                both = f"it makes {after:.0f} % where row {a.row} made {there:.0f} %"
                dates = (
                    "are the dates the wrong way round (day and month), "
                    if turned(b.date) < turned(a.date)
                    else ""
                )
                slip = f"{dates}rain on the stack, or another board?"
                expected = f"less than before: {both}. {slip[0].upper()}{slip[1:]}"
            elif later:
                both = f"it makes {after:.0f} % where row {later[0].row} makes {later[1]:.0f} % after it"
                expected = f"more than afterwards: {both}. Is the number right, and the board?"
            else:
                continue
            tie = (
                [metered[k][0].row for k in tied if k != i and not follows(*sorted((i, k)))]
                if i in tied
                else ()
            )
            also = f" Or is row {' or '.join(map(str, tie))} wrong?" if tie else ""
            self._doubt("readings", b.row, "value", expected + also, rivals=tuple(tie))

    def _two_on_a_day(self, pairs, *two):
        """Two readings of a board on one day that disagree: the one that its neighbors reject, else both."""
        others = [(r, mc) for r, mc in pairs if r.date != two[0][0].date]
        off = [_rejected(r.date, mc, others) for r, mc in two]
        (r, here), (other, there) = two if off == [True, False] else two[::-1]
        both = f"{there:.0f} % there, {here:.0f} % here"
        expected = f"about what row {other.row} says of the same board on that day: {both}"
        if off[0] == off[1]:
            expected += f". Is row {other.row} or row {r.row} wrong?"
        self._doubt("readings", r.row, "value", expected, rivals=(other.row,) if off[0] == off[1] else ())

    def _against_the_forecast(self, stack, told):
        """A stack whose readings teach it no date: they contradict its forecast, or begin long after it."""
        if not told:
            return
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", RangeWarning)
                why = stack_taught(stack, told, self.asked.place)[1]
        except InputError as error:  # there is no forecast of such a stack
            why = f"there is no forecast of it: {error}".rstrip(".")
        if why:
            says = f"Stack {stack.stack}: {why}{'' if why.endswith('?') else '.'}"
            if why.startswith(_START):  # the readings go together: one cell is out of line
                self._doubt("stacks", stack.Index, "start_mc_pct", why, says=says)
                return
            self.contradict += [r.row for r, _ in told]
            self._doubt("stacks", stack.Index, "stacked", why, says=says)

    def _stacked_long_before(self, stack, first, told):
        """A stack whose readings begin so late, or so wet for their day, that it was stacked another year."""
        if first is None or (days := (first - stack.stacked).days) <= _STILL_GREEN_DAYS:
            return False
        row, stacked = stack.Index, stack.stacked
        wet = next((mc for r, mc in told if r.date == first), 0)
        if days <= _SEASON.days:
            if wet <= 25 or not (known := _green_and_inches(stack.species, stack.nominal)):
                return False
            green, thick_in = known[0] if blank(stack.start_mc_pct) else stack.start_mc_pct, known[1]
            if not wet >= _STILL_GREEN * green > 25:
                return False
            day = stacked.toordinal()
            warm = sum(date.fromordinal(d).month in WARM for d in range(day, day + days))
            if warm <= _STILL_GREEN_DAYS * max(thick_in**1.5, 1):
                return False
        others = self._years_of("stacks", row, "stacked", (first.year, first.year - 1))
        mend = next((as_text(d) for d in others if d != stacked and stacked < d <= first), "")
        rows = [r.row for r, _ in told if r.date == first]
        alone = len(rows) == 1 == len({r.date for r, _ in told})
        years = self._years_of("readings", rows[0], "date", (stacked.year, stacked.year + 1)) if alone else []
        also = ""
        if any(timedelta(0) <= day - stacked <= _SEASON and day != first for day in years):
            mend, also = "", f" Or that of readings.csv, row {rows[0]}?"
        what = f"its first reading, on {as_text(first)}, comes {days} days later" + (
            f" and still tells {wet:.0f} %" if wet > 25 else ""
        )
        self._doubt(
            "stacks", row, "stacked", f"a day nearer to its readings: {what}. Is the year right?{also}", mend
        )
        self.contradict += [r.row for r, _ in told]
        return True

    def _too_dry_too_soon(self, told, stacked, start_mc):
        if not blank(start_mc) and start_mc < 2 * _DRY_PCT:
            return
        for r, mc in told:
            days = (r.date - stacked).days
            if mc < _DRY_PCT and days <= _SOON_DAYS:
                what = f"{mc:.0f} % is kiln-dry, {days} days after stacking"
                expected = f"wetter wood: {what}. Is the day right, and the board?"
                self._doubt("readings", r.row, "value", expected)
