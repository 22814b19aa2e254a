"""The learner's own tables read row by row: what can be used, what is set aside, and what looks wrong."""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from woodcalc.checks import InputError, RangeWarning, blank
from woodcalc.drying.forecast import of_stack, taught
from woodcalc.drying.rate import thickness
from woodcalc.records import choices
from woodcalc.records.across import look_across, look_at_boards, look_at_warmth
from woodcalc.records.cells import bare
from woodcalc.records.choices import kept_choices, standing_at
from woodcalc.records.columns import ALL, TABLES, Problem, RecordsError, rows_named
from woodcalc.records.gathered import Gathered
from woodcalc.records.neighbors import START_ODD, green_and_inches, judge_readings, set_aside_by_date
from woodcalc.records.sheet import Sheet, file_bytes
from woodcalc.records.which_file import meant, of_whole, table_files
from woodcalc.weighings import (
    ASKED,
    DRY_WEIGHT,
)

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.climate import Site
    from woodcalc.drying.forecast import Forecast


LARGEST_MB = 50  # of a table: ten thousand rows take half a megabyte


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
            ``date``, ``board``, ``kind``, ``mc_pct``, ``sure``: False of a reading that looks wrong, and ``read_pct``:
            what a meter showed before its reading was corrected for the warmth of the wood.

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
        rows = [
            (
                r.date,
                r.board,
                r.kind,
                mc,
                r.row not in doubtful,
                r.value if r.kind == "meter" else float("nan"),
            )
            for r, mc in self.told.get(stack, ())
        ]
        frame = pd.DataFrame(rows, columns=["date", "board", "kind", "mc_pct", "sure", "read_pct"])
        return frame.astype({"mc_pct": float, "sure": bool, "read_pct": float})

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
            who = f"{rows_named([str(row) for row in rows])}:{' each' * (len(rows) > 1)}"
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


_NO_MATTER = ("temp_f",)  # a doubted one corrects no reading
_DOUBTFUL = "used, but doubtful"


@dataclass(frozen=True)
class _Asked:
    """What tables are judged by, beside what is in them."""

    today: date
    place: str | Site  # of stacks whose row names none
    no_stacks: bool  # there are none yet, and a reading belongs to a stack
    wanted: tuple[str, ...]  # the tables that are spoken of; all of them are judged by


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
        return OwnTables(
            path, {}, (of_whole(path.name, f"no folder for your records ({error})", _OPEN_ANEW),)
        )
    files, sheets, problems, notes = _taken_apart(path, path == mine)
    no_stacks = "stacks" not in sheets and path not in files.values()
    usual = kept_choices()  # places and woods of one's own are known by then
    asked = _Asked(today or date.today(), place or usual.place, no_stacks, wanted)
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
    files, problems, notes = table_files(path, own)
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
        begun = [day.date() for day in sheets["stacks"].rows()[0]["stacked"]] if "ymd" in order else []
        if begun:  # no reading is earlier than the first stack
            sheets["readings"].order = sheets["readings"].order_after(min(begun))
    return files, sheets, problems, notes


def _is_of(file, wanted):
    """True of a file that is one of the wanted tables, or may be, or is none of the four."""
    return (meant(file) or file.lower().partition(".")[0]) not in set(TABLES) - set(wanted)


def _of_wanted(problems, wanted):
    return [p for p in problems if _is_of(p.file, wanted)]


def _judged(path, sheets, asked):
    """What can be used of files that are taken apart, and what is said about them."""
    found = Gathered(asked, stack_taught)
    for table, sheet in sheets.items():
        found.add(table, sheet)
    set_aside_by_date(found)
    look_across(found)
    if {"stacks", "readings"} & {*asked.wanted}:  # they say nothing of logs and boards
        look_at_warmth(found)
        judge_readings(found)
        look_at_boards(found)
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


_ASKED_WELL, _ASKED_ROWS = (
    20,
    6_000,
)  # doubts whose question is tried out, the first; and rows judged anew for it
_LIKE_GREEN = (0.6, 1.3)  # of a wood's green moisture: trees differ by so much (common practice)


def _asked_well(found):
    """The doubts, of which "Is X meant" is left out where X would not put the row right."""
    left, doubts = min(_ASKED_WELL, _ASKED_ROWS // max(len(found.tables.get("readings", ())), 1)), []
    for p in found.doubts:
        weighed = p.row and not p.mend and p.column == "value" and "readings" in found.sheets
        asks = ASKED.search(p.says or p.expected) if weighed else None
        if asks:
            left -= 1
            likely = [v for v in asks[1].split(" or ") if left >= 0 and _would_go(found, p, v)]
            if _only_asks(found, p, asks) and likely:
                p = replace(p, mends=tuple(likely))
            if not likely:
                sheet = found.sheets["readings"]
                look = _BONE_DRY if sheet.cell(p.row, "kind") == "oven-dry" else _LOOK
                p = replace(p, expected=ASKED.sub(look, p.expected), says=ASKED.sub(look, p.says))
        doubts.append(p)
    return tuple(doubts)


def _only_asks(found, problem, asks):
    """True if a row is not used and nothing but its own number is in question: then each answer may have its button."""
    told = problem.says or problem.expected
    # 01.4 may be 10.4 with two digits swapped as well as 14 with the point moved
    point_lost = re.match(r"0\d", found.sheets["readings"].cell(problem.row, "value"))
    return not (problem.used or problem.rivals or point_lost) and told.endswith(asks[0])


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
    known: Any = green_and_inches(wood.species, wood.nominal) if wood else None
    told = [mc for r, mc in after.told.get(stack, ()) if r.kind == "weight" and bare(r.board) == bare(board)]
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
    boards = {bare(sheet.cell(row, "board")) for row in mends} - {""}
    body = [r for r in sheet.records[1:] if r.cells]
    some = [
        r for r in body if sheet.cell(r.row, "stack") in stacks or bare(sheet.cell(r.row, "board")) in boards
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
    where = standing_at(row, place or kept_choices().place)
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
            f"{START_ODD} of {start_mc_pct:g} %, so no date is told from them. {first}, which goes with green wood of "
            f"about {green:.0f} %. Is {start_mc_pct:g} % right{also}? If you leave it empty, the book takes green wood"
        )
    return after, why


_OPEN_ANEW = (
    "the folder that the lessons were opened in. Was it moved or renamed? Close the lab and start it again"
)


def _sheet(file, table):
    """Return (the file taken apart or None, problems)."""
    try:
        if file.is_dir():
            return None, [of_whole(file.name, "a folder", "a file of that name. Rename the folder")]
        if file.is_symlink() and not file.exists():
            expected = "a link to a table. Was that moved or renamed?"
            return None, [of_whole(file.name, "a link to a file that is gone", expected)]
        if file.exists() and not file.is_file():
            return None, [of_whole(file.name, "a device or a pipe", "a table in a file of that name")]
        size = file.stat().st_size
        if size > LARGEST_MB * 1e6:
            return None, [of_whole(file.name, f"{size / 1e6:.0f} MB", f"a table of at most {LARGEST_MB} MB")]
        sheet = Sheet.parse(file_bytes(file), file.name, table)
    except RecordsError as error:
        return None, list(error.problems)
    except (OSError, ValueError) as error:  # also "cannot be read"
        return None, [
            of_whole(file.name, f"a file that cannot be opened ({error})", "a CSV file that you may read")
        ]
    if not any(r.cells for r in sheet.records[1:]):
        return sheet, [of_whole(file.name, "a header and no rows", "one row for each of your " + table)]
    return sheet, []
