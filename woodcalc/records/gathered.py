"""The tables of a folder as they are gathered, and what is said about their rows: problems, doubts, remarks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cached_property
from typing import TYPE_CHECKING, Any

from woodcalc.checks import quoted
from woodcalc.dates import possible_days
from woodcalc.records.cells import as_text, bare
from woodcalc.records.columns import MARKS, Problem, what_row
from woodcalc.weighings import SEASON, turned

if TYPE_CHECKING:
    from woodcalc.records.sheet import Sheet


class Gathered:
    """Sheets and tables as they are gathered, and what is said about them.

    Parameters
    ----------
    asked : object
        What tables are judged by beside what is in them: `today`, `place`, `no_stacks`, `wanted`.
    taught : callable
        Of a stack's row, its readings and a place: (its forecast, why the readings teach it no date, or "").
    """

    def __init__(self, asked: Any, taught: Callable[..., tuple[Any, str]]) -> None:
        self.taught = taught
        self.asked, self.today = asked, asked.today
        self.sheets: dict[str, Any] = {}
        self.frames: dict[str, Any] = {}
        self.problems: list[Problem] = []
        self.doubts: list[Problem] = []
        self.notes: list[str] = []
        self.left_out: list[int] = []
        self.waiting: dict[int, tuple[str, ...]] = {}
        self.contradict: list[int] = []
        self.remarks: list[str] = []
        self.clock_is_behind = False
        self.told: dict[str, tuple[Any, ...]] = {}
        self.waits_for_weights: dict[str, tuple[str, ...]] = {}
        self._lists: dict[str, tuple[Any, ...]] = {}

    def add(self, table: str, sheet: Sheet) -> None:
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

    def problem(
        self, table: str, row: int, column: str, expected: str, mend: str = "", found: str = ""
    ) -> Problem:
        """Return the problem of a cell, with what it holds and what the row is about."""
        cell = self.sheets[table].cell(row, column)
        frame = self.frames[table]
        if self._lists.get(table, (None,))[0] is not frame:  # plain lists: a table full of slips stays quick
            lists = {c.name: list(frame[c.name]) for c in self.sheets[table].columns}
            self._lists[table] = frame, lists, {r: i for i, r in enumerate(frame.index)}
        _, lists, at = self._lists[table]
        about = what_row(table, lists, at[row], column)
        shown = found or (quoted(cell) if cell else "nothing")
        return Problem(self.sheets[table].name, row, column, shown, expected, mend, about, cell)

    def doubt(
        self, *cell: Any, used: bool = True, says: str = "", rivals: Sequence[int] = (), **more: Any
    ) -> None:
        """Add a doubt about a cell, named as in `problem`."""
        doubt = self.problem(*cell, **more)
        self.doubts.append(replace(doubt, used=used, says=says, rivals=tuple(rivals)))

    def drop(self, table: str, rows: Any) -> None:
        """Take rows out of a table."""
        attrs = self.frames[table].attrs
        self.frames[table] = self.frames[table].drop(index=rows)
        self.frames[table].attrs.update(attrs)

    def stacked(self) -> dict[str, Any]:
        """Return {stack: its day of stacking}."""
        if "stacks" not in self.frames:
            return {}
        stacks = self.frames["stacks"]
        return dict(zip(stacks["stack"], stacks["stacked"], strict=True))

    def years_of(self, table: str, row: int, column: str, years: Iterable[int]) -> list[datetime]:
        """Return the days that a cell can mean in other years."""
        text = self.sheets[table].cell(row, column)
        return [day for year in dict.fromkeys(years) for day in possible_days(text, year)]

    def likely_day(self, table: str, row: int, column: str, first: Any, years: Sequence[int] | None) -> str:
        """Return the day that was likely meant: day and month swapped, or another year; "" if none or each fits.

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
                if day.date() <= self.today and (first is None or timedelta(0) <= day - first <= SEASON)
            ]

        fit = [
            each[0] for each in (fitting(swapped), fitting(self.years_of(table, row, column, others))) if each
        ]
        return fit[0] if len(fit) == 1 else ""

    def known(self, table: str) -> set[str]:
        """Return the marks of a table."""
        return set(self.frames[table][MARKS[table]]) if table in self.frames else set()

    def in_order(self, problems: Iterable[Problem]) -> list[Problem]:
        """Return problems table by table and row by row."""
        names = [sheet.name for sheet in self.sheets.values()]
        return sorted(problems, key=lambda p: (names.index(p.file), p.row or 0))

    def woods_of_boards(self) -> dict[str, str]:
        """Return {board: its wood} of boards.csv, without marks that stand there for two woods."""
        if "boards" not in self.frames:
            return {}
        boards = self.frames["boards"]
        woods: dict[str, set[str]] = {}
        for mark, wood in zip(boards["board"], boards["species"], strict=True):
            woods.setdefault(bare(mark), set()).add(wood)
        return {mark: next(iter(some)) for mark, some in woods.items() if mark and len(some) == 1}

    def wood_of(self, board: str) -> tuple[str, ...]:
        """Return (the wood of a board, the table that says so); () if none does."""
        boards, logs = self.of_wood
        log, dash, _ = bare(board).rpartition("-")  # 1-3 is a board of log 1
        by_mark = (logs[log], f"logs.csv (log {log})") if dash and log in logs else ()
        return boards.get(bare(board), by_mark)

    @cached_property
    def of_wood(self) -> tuple[dict[str, tuple[str, str]], dict[str, str]]:
        """The wood of each board, with the table that says so, and of each log; a board's log comes first."""
        frames, of_log = self.frames, dict[str, set[str]]()
        logs = {bare(r.log): r.species for r in frames["logs"].itertuples()} if "logs" in frames else {}
        for board in frames["boards"].itertuples() if "boards" in frames else ():
            of_log.setdefault(bare(board.board), set()).add(bare(board.log))
        boards = {mark: (wood, "boards.csv") for mark, wood in self.woods_of_boards().items()}
        for mark, some in of_log.items():
            if len(some) == 1 and (log := next(iter(some))) in logs:
                boards[mark] = logs[log], f"logs.csv (log {log})"
        return boards, logs
