"""Rows that the book saved and that another program took out or changed by writing its own, older table over them."""

from __future__ import annotations

import contextlib
import functools
from collections import Counter, deque
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from woodcalc.checks import blank, count_of
from woodcalc.dates import MONTHS, calendar_day, open_orders
from woodcalc.disk import ChangedError, SaveError, locked
from woodcalc.records.cells import DAY_COUNT, YEARLESS, as_text, bare
from woodcalc.records.columns import MARKS, columns_of
from woodcalc.records.keep import (
    KEPT_ALL,
    Overwritten,
    Version,
    accept,
    accepted,
    answered,
    content,
    descent,
    fingerprint,
    keep_late,
    overwritten,
    save,
    saves_lost,
    versions,
)
from woodcalc.records.sheet import cells_of, next_mark, taken_apart

if TYPE_CHECKING:
    from woodcalc.records.sheet import Sheet

_KNOWN_BY = {
    "logs": ("log",),
    "boards": ("board",),
    "stacks": ("stack",),
    "readings": ("date", "stack", "board", "kind"),
}  # a row that says something else and the same here is the same row, edited


@dataclass(frozen=True)
class Gone:
    """Rows of one version that another program wrote over.

    Attributes
    ----------
    version : Version
        The newest that the book saved with them.
    when : datetime
        When the other program wrote.
    rows : tuple of int
        Their numbers in that version.
    cells : tuple of mapping of str to str
        What they say.
    since : mapping of int to mapping of str to str
        By row, the cells of it that the book saved after that version, before the row went.
    """

    version: Version
    when: datetime
    rows: tuple[int, ...]
    cells: tuple[Mapping[str, str], ...]
    since: Mapping[int, Mapping[str, str]] = field(default_factory=dict)


@dataclass(frozen=True)
class Edited:
    """A row that the book saved and that reads otherwise now.

    Attributes
    ----------
    version : Version
        The newest that the book saved with it.
    was, row : int
        Its number in that version, and now.
    before, now : mapping of str to str
        What it says there, and now, read.
    again : Version or None
        If it reads as it did in an earlier version, the one that changed that: an older table came back.
    when : datetime or None
        When the other program wrote.
    """

    version: Version
    was: int
    row: int
    before: Mapping[str, str]
    now: Mapping[str, str]
    again: Version | None = None
    when: datetime | None = None

    @property
    def loses(self) -> bool:
        """Whether something that was saved is not there any more; what was empty takes nothing away."""
        return any(self.now.get(name) != text for name, text in self.before.items())

    def __str__(self):
        names = [n for n in dict.fromkeys((*self.before, *self.now)) if self.before.get(n) != self.now.get(n)]
        if self.again:
            is_, was = (
                " and ".join(f"{n} {says.get(n, 'nothing')}" for n in names)
                for says in (self.now, self.before)
            )
            return f"Row {self.row} says {is_} again, as before your change of {hour_of(self.again.when)} to {was}."
        told = (f"{n}: {self.before.get(n, 'nothing')} is now {self.now.get(n, 'nothing')}" for n in names)
        place = f" (it was row {self.was})" if self.row != self.was else ""
        return f"row {self.row}{place}: {'; '.join(told)}"


@dataclass(frozen=True)
class Returned:
    """A row that the book took out and that is there again.

    Attributes
    ----------
    row : int
        Its number now.
    cells : mapping of str to str
        What it says.
    out : Version
        The first without it.
    """

    row: int
    cells: Mapping[str, str]
    out: Version


@dataclass(frozen=True)
class Fewer:
    """How many rows fewer a table has than a saved version (none: 0), while it is open which they are."""

    rows: int
    version: Version


@dataclass(frozen=True)
class Outside:
    """What another program did to a table.

    Attributes
    ----------
    file : str
    gone : tuple of Gone
        Rows that are not there any more, and nobody has said that they are meant to be gone.
    edited : tuple of Edited
        Rows that the book saved and that read otherwise now.
    returned : tuple of Returned
        Rows that the book took out and that are there again.
    shown : str
        The fingerprint of what the file holds.
    fewer : Fewer or None
        If how its dates are to be read is to be answered first.
    lost : tuple of datetime
        When something was saved that was written over, and of which no copy could be kept.
    doubles : tuple of str
        The marks of rows that are gone which other rows have by now.
    cut : int
        The row in which the file seems to be cut off: till that is answered nothing can be put back.
    """

    file: str
    gone: tuple[Gone, ...]
    edited: tuple[Edited, ...]
    returned: tuple[Returned, ...]
    shown: str
    fewer: Fewer | None = None
    lost: tuple[datetime, ...] = ()
    doubles: tuple[str, ...] = ()
    cut: int = 0

    @property
    def many(self) -> int:
        """How many rows are gone."""
        return sum(len(each.rows) for each in self.gone)

    @property
    def undone(self) -> tuple[Edited, ...]:
        """Rows that read as they did before somebody corrected them."""
        return tuple(each for each in self.edited if each.again)

    @property
    def new(self) -> tuple[Edited, ...]:
        """Rows that say something that they never said before."""
        return tuple(each for each in self.edited if not each.again)

    @property
    def changed(self) -> tuple[str, ...]:
        """Those rows in sentences."""
        return tuple(map(str, self.new))

    @property
    def asks(self) -> bool:
        """Whether somebody has to say what is meant; cells that were empty and are filled are only listed."""
        return bool(
            (self.fewer and self.fewer.rows)
            or self.lost
            or self.gone
            or self.undone
            or self.returned
            or any(e.loses for e in self.new)
        )

    @property
    def parts(self) -> tuple[Outside, ...]:
        """What an older table did, and what is new in some rows: each has an answer of its own."""
        older = replace(self, edited=self.undone)
        newer = replace(self, gone=(), edited=self.new, returned=(), fewer=None, lost=(), doubles=())
        return tuple(part for part in (older, newer) if part.asks or part.edited or part.fewer)

    def __str__(self):
        if self.fewer:
            count, version = self.fewer.rows, self.fewer.version
            if not count:
                return (
                    f"{self.file} was written by another program after your save of {hour_of(version.when)}, and its "
                    "rows may differ from yours. Answer first how its dates are to be read; then the book can tell."
                )
            return (
                f"{self.file} has {count_of(count, 'row')} fewer than at your save of {hour_of(version.when)}: another "
                "program wrote the file. Answer first how its dates are to be read; then the book can tell which rows."
            )
        told = [
            f"What you saved in {self.file} on {hour_of(when)} may not be there: no sound copy of it was kept, and "
            "another program wrote over it. Look whether your rows of that day are in the table."
            for when in self.lost
        ]
        told = list(dict.fromkeys(told))  # two of one minute are told once
        alike: dict[tuple[str, str], int] = {}
        for each in self.gone:
            at = hour_of(each.version.when), _after(each)
            alike[at] = alike.get(at, 0) + len(each.rows)
        for (hour, after), many in alike.items():
            rows = f"{many:,} rows" if many > 1 else "One row"
            are, they = ("are", "they were") if many > 1 else ("is", "it was")
            told.append(
                f"{rows} that you saved {are} no longer in {self.file}: {they} in it at the save of "
                f"{hour}, and another program wrote the file {after}."
            )
        if self.doubles:
            marks = ", ".join(self.doubles[:_NAMED]) + (" ..." if len(self.doubles) > _NAMED else "")
            told.append(f"Another row is {Path(self.file).stem.lower().removesuffix('s')} {marks} now.")
        if (self.undone or self.returned) and not self.gone:
            what = "an earlier version"
            if not self.undone:
                what = "rows that you took out" if len(self.returned) > 1 else "a row that you took out"
            told.append(f"Another program wrote {self.file}, and {what} came back.")
        if self.new:
            rows, say = (f"{len(self.new):,} rows", "say") if len(self.new) > 1 else ("One row", "says")
            told.append(
                f"{rows} of {self.file} {say} something else than you saved: another program wrote the file "
                f"{_after(max(self.new, key=lambda e: e.version.number))}."
            )
        return " ".join(told)


_NAMED = 5


def _after(each):
    """When another program wrote: a copy keeps the time of what it was copied from."""
    late = each.when and each.when.replace(microsecond=0) >= each.version.when
    return f"on {hour_of(each.when)}" if late else "after that"


def hour_of(when: datetime) -> str:
    """Return a moment as a sentence says it.

    Examples
    --------
    >>> hour_of(datetime(2027, 5, 3, 9, 7))
    '3 May 2027 at 9:07'
    """
    return f"{calendar_day(when)} at {when.hour}:{when.minute:02}"


def outside(path: str | Path, table: str | None = None) -> Outside | None:
    """Return what another program did to a table since the book saved it; None if it did nothing.

    Rows that were taken out by the book's own buttons do not count.

    Parameters
    ----------
    path : path
        The table.
    table : str, optional
        Which of the four; from the file's name if left out.

    Returns
    -------
    Outside or None

    Examples
    --------
    >>> import tempfile
    >>> from woodcalc.records.files import append
    >>> logs = Path(tempfile.mkdtemp()) / "logs.csv"
    >>> for small_in in (14.5, 16):
    ...     _ = append(logs, {"species": "red oak", "small_in": small_in, "length_ft": 12})
    ...     older = logs.read_bytes() if small_in == 14.5 else older
    >>> outside(logs) is None
    True
    >>> _ = logs.write_bytes(older)
    >>> [(each.rows, each.cells[0]["small_in"]) for each in outside(logs).gone]
    [((3,), '16')]
    >>> put_back(logs, outside(logs))
    []
    >>> outside(logs) is None
    True
    """
    path = Path(path)
    table = table or path.stem.lower()
    keep_late(path)
    for _ in range(_TRIES):
        data = content(path)
        over = overwritten(path, data) if data.strip() else []
        if not over and not saves_lost(path, data):
            return None
        if content(path) != data or overwritten(path, data) != over:  # the book saves just now
            continue
        return _outside(path, data, over, table)
    return None


_TRIES = 5


def _outside(path, data, over, table):
    now = _table(data, table)
    if now is None:  # that is told elsewhere, with the way back
        return None
    before = [was for each in over if (was := _table(content(each.before.path), table))]
    if any(
        now.open_days - was.open_days for was in before
    ):  # which rows these are is known when that is answered
        fewer = len(before[-1].says) - len(now.says)
        if fewer < 0:
            return None
        return Outside(path.name, (), (), (), fingerprint(data), Fewer(fewer, over[-1].before))
    open_, _ = _claims_of(path, over, now, table)
    settled = accepted(path)
    open_ = [claim for claim in open_ if claim.mark not in settled]
    gone: dict[Version, list[_Claim]] = {}
    for claim in open_:
        if claim.row is None:
            gone.setdefault(claim.version, []).append(claim)
    past = _Past(path, table)
    edited = {
        claim.row: Edited(
            claim.version, claim.was, claim.row, claim.says, _within(claim.reads, {*claim.columns, *claim.says}),
            past.earlier(claim.version, claim.reads, claim.says), claim.when,
        )
        for claim in open_
        if claim.row is not None and claim.out is None
    }  # fmt: skip
    returned = {
        claim.row: Returned(claim.row, cells_of(now.sheet, claim.row), claim.out)
        for claim in open_
        if claim.out is not None
    }
    lost = [_gone_of(version, gone[version], table) for version in sorted(gone, key=lambda v: v.number)]
    out = Outside(
        path.name,
        _newest_of(reversed(lost)),
        tuple(edited[row] for row in sorted(edited)),
        tuple(returned[row] for row in sorted(returned)),
        fingerprint(data),
        lost=tuple(saves_lost(path, data)),
        doubles=_doubles(now.sheet, lost),
        cut=(cut.row or 0) if (cut := now.sheet.cut_off()) else 0,
    )
    return out if out.asks or out.edited else None


def _doubles(sheet, gone):
    """The marks of rows that are gone which other rows have by now."""
    there = _marks(sheet)
    marks = [held.get(name, "") for name in _mark_of(sheet.table) for each in gone for held in each.cells]
    return tuple(dict.fromkeys(mark.lstrip("'") for mark in marks if there[mark.casefold()]))


def _within(says, columns):
    """What a row says in some columns alone: one that came in is nobody's loss."""
    return {name: text for name, text in says.items() if name in columns}


def _gone_of(version, claims, table):
    sheet = _table(content(version.path), table).sheet
    rows = tuple(sorted(claim.was for claim in claims))
    since = {claim.was: claim.since for claim in claims if claim.since}
    cells = ({**cells_of(sheet, row), **since.get(row, {})} for row in rows)
    held = tuple({name: text for name, text in each.items() if text} for each in cells)
    return Gone(version, claims[-1].when, rows, held, since)


def _newest_of(found):
    """Rows that are gone from several versions are told once, of the newest."""
    told: Counter[Any] = Counter()
    out = []
    for each in found:
        mine: Counter[Any] = Counter()
        rows, cells = [], []
        for row, held in zip(each.rows, each.cells, strict=True):
            key = tuple(sorted(held.items()))
            mine[key] += 1
            if mine[key] > told[key]:
                rows.append(row)
                cells.append(held)
        told |= mine
        if rows:
            out.append(replace(each, rows=tuple(rows), cells=tuple(cells)))
    return tuple(out[::-1])


@dataclass(frozen=True)
class _Table:
    """A table as it was at one time: what each row says, read, and its columns."""

    sheet: Sheet
    says: Mapping[int, Mapping[str, str]]
    columns: frozenset[str]
    open_days: frozenset[str]  # columns of dates that wait for an answer

    @functools.cached_property
    def wholes(self):
        """How often each row stands in it."""
        return Counter(map(_whole, self.says.values()))


@functools.lru_cache(12)
def _table(data, table):
    sheet = taken_apart(data, table)
    if sheet is None:
        return None
    return _Table(sheet, _told(sheet), frozenset({*sheet.place, *sheet.extra}), frozenset(_open_days(sheet)))


@dataclass
class _Claim:
    """A row that the book saved and another program changed or took out, or that came back, followed to what is now.

    `version`, `was` and `says` are where the book saved it, its number there and what it said; `since` is what of that
    the book itself changed later, as it was typed; `row` and `reads` are what became of it, None if it is gone; `out`
    is the first version without it, if it came back; `born` and `closed` count the steps at which that began and, if
    it is as it should be by now, ended.
    """

    version: Version
    was: int
    says: Mapping[str, str]
    columns: frozenset[str]
    when: datetime
    born: int
    row: int | None = None
    reads: Mapping[str, str] | None = None
    out: Version | None = None
    closed: int = 0
    since: dict[str, str] = field(default_factory=dict)

    @property
    def mark(self):
        """By which an answer for it is remembered: what becomes of it later is asked anew."""
        now = sorted((self.reads or {}).items())
        told = [self.version.number, sorted(self.says.items()), now, self.row is None, bool(self.out)]
        return fingerprint(repr(told).encode())

    @property
    def differs(self):
        """The columns that say something else; one that came in takes nothing away."""
        reads = self.reads or {}
        return {name for name in self.columns if self.says.get(name) != reads.get(name)}


@dataclass(frozen=True)
class _Step:
    """From one content of a table to the next: by another program, if `over` is given, or by the book's own saves."""

    was: _Table
    to: _Table
    at: int  # of which of those written over it is
    over: Overwritten | None = None


def _claims_of(path, overs, now, table):
    """Return ([claims that are open], [those that were and are settled])."""
    past, settled = _Past(path, table), accepted(path)
    chain = [at for at, over in enumerate(overs) if not over.twin]
    every: list[tuple[list[_Step], int | None]] = [(_steps(overs, chain, now, table), None)]
    for at, over in enumerate(overs):
        if over.twin:
            later = [n for n in chain if overs[n].now or overs[n].before.number >= over.reached]
            every.append((_steps(overs, [at, *later], now, table), at))
    open_, closed = [], []
    for steps, only in every:
        some, done = _followed(steps, past, only, table, settled)
        open_ += some
        closed += done
    return open_, closed


def _steps(overs, chain, now, table):
    """What a table went through, step by step: by another program and by the book in turn."""
    steps: list[_Step] = []
    last, pending = None, None  # the content reached, and the step there that another program began
    for at in chain:
        over = overs[at]
        before = _table(content(over.before.path), table)
        if before is None:
            continue
        if last is not None:
            steps.append(_Step(last, before, *(pending or (at,))))
        after = now if over.now else _table(over.after, table) if over.after else None
        if after is None or after.open_days - before.open_days:  # what that came to shows in what followed
            last, pending = before, (at, over)
            continue
        steps.append(_Step(before, after, at, over))
        last, pending = after, None
    if last is not None and last is not now:
        steps.append(_Step(last, now, *(pending or (len(overs),))))
    return steps


def _followed(steps, past, only, table, settled):
    """The claims that begin in some steps, open and closed; if `only` is given, those alone that begin in that.

    One of which somebody said that it is meant so (its mark is in `settled`) ends there: what becomes of the row after
    that is told anew.
    """
    open_: list[_Claim] = []
    closed: list[_Claim] = []
    for step in steps:
        became, new = _pairs(step.was, step.to, table)
        if step.over and step.over.twin:
            became, new = _of_one_origin(became, step, table)
        elif step.over:
            became, new = _of_the_older(became, step, past)
        by_whole: dict[Any, list[int]] = {}
        for row in reversed(new):
            by_whole.setdefault(_whole(step.to.says[row]), []).append(row)
        changed = Counter(
            _whole(step.to.says[to]) for row, to in became.items() if step.was.says[row] != step.to.says[to]
        )
        still = []
        claimed = set()  # rows of what was there before this step
        for claim in open_:
            meant_so = claim.mark in settled
            claimed |= set() if meant_so else {claim.row}
            if not meant_so and _goes_on(claim, step, became, by_whole, changed, past):
                still.append(claim)
            else:
                claim.closed = step.at
                closed.append(claim)
        open_ = still
        if step.over:
            _come_back_otherwise([claim for claim in open_ if claim.row is None], step, by_whole, table)
        if step.over is None or (only is not None and step.at != only):
            continue
        over, common = step.over, _common(step.over, table)
        for row, says in step.was.says.items():
            if row in claimed or common[_whole(says)]:
                continue
            claim = _Claim(over.before, row, says, step.was.columns, over.when, step.at)
            if (to := became.get(row)) is not None:
                claim.row, claim.reads = to, step.to.says[to]
                if not claim.differs:
                    continue
            open_.append(claim)
        for row in (row for rows in by_whole.values() for row in rows):
            says = step.to.says[row]
            out = None
            if not over.twin or common[_whole(says)] > step.was.wholes[_whole(says)]:
                out = past.earlier(over.before, says, None)
            if out:
                some = (over.before, row, says, step.to.columns, over.when, step.at, row, says, out)
                open_.append(_Claim(*some))
    return open_, closed


def _goes_on(claim, step, became, by_whole, changed, past):
    """Follow a claim through a step; False if it is as it should be after that, or somebody answered it in the book.

    That a row is taken out in the book answers for what stood there before only if it surely is the same: it reads as
    it did in an earlier version.
    """
    by_book = step.over is None
    if claim.row is None:
        if back := by_whole.get(_whole(claim.says)):
            back.pop()
            return False
        if changed[whole := _whole(claim.says)]:  # it came back in the place of another
            changed[whole] -= 1
            return False
        return True
    to = became.get(claim.row)
    if to is None:
        if claim.out or (by_book and past.earlier(claim.version, claim.reads, claim.says)):
            return False
        claim.row, claim.reads = None, None
        claim.when = step.over.when if step.over else claim.when
        return True
    says = step.to.says[to]
    if claim.out:
        same = says == claim.reads
        claim.row, claim.reads = to, says
        return same or not by_book
    if by_book:
        _take_over(claim, says, cells_of(step.to.sheet, to))
    claim.row, claim.reads = to, says
    return bool(claim.differs)


def _take_over(claim, says, cells):
    """What the book itself saved in a row is what is put back later, and not what stood there before it."""
    for name in {*says, *claim.reads}:
        if says.get(name) != claim.reads.get(name):
            claim.since[name] = cells.get(name, "")
            claim.says = {**claim.says, name: says.get(name, "")}
    claim.says = {name: text for name, text in claim.says.items() if text}


def _of_one_origin(became, step, table):
    """What became of the rows of another computer: what both wrote anew, under one mark or not, are two rows."""
    every = [was for v in step.over.common if (was := _table(content(v.path), table))]
    known = {_key(says, table) for was in every for says in was.says.values()} - {None}
    same = {
        row: to
        for row, to in became.items()
        if step.was.says[row] == step.to.says[to]
        or ((key := _key(step.was.says[row], table)) in known and key == _key(step.to.says[to], table))
    }
    there = {*same.values()}
    return same, [row for row in step.to.says if row not in there]


def _of_the_older(became, step, past):
    """What became of rows where an older version came back with rows of its own: what is new in it is no edit."""
    far = [
        row
        for row, to in became.items()
        if _changes(step.was.says[row], step.to.says[to], step.was.columns) > 1
    ]
    older = past.part_of(step.over.before, step.to) if far else None
    if older:
        for row in far:
            if not older.get(hash(_whole(step.was.says[row]))):
                del became[row]
    there = {*became.values()}
    return became, [row for row in step.to.says if row not in there]


def _changes(was, is_, columns):
    """How many cells of a row say something else; what was empty and is filled is no change."""
    return sum(is_.get(name) != text for name, text in was.items() if name in columns)


def _come_back_otherwise(gone, step, by_whole, table):
    """Rows that were gone may come back with a table that is older still: they read as before a correction."""
    free = {row: step.to.says[row] for rows in by_whole.values() for row in rows}
    was = {at: claim.says for at, claim in enumerate(gone)}
    became, _ = _matched(was, free, _near(table), step.to.columns, table)
    for at, row in became.items():
        gone[at].row, gone[at].reads, gone[at].when = row, free[row], step.over.when
        by_whole[_whole(free[row])].remove(row)


def _common(over, table):
    """How often each row stands in what two computers began from: what became of those there is no loss."""
    every = [each.wholes for v in over.common if (each := _table(content(v.path), table))]
    return functools.reduce(Counter.__or__, every, Counter())


class _Past:
    """The versions of a table, looked through for a row that stood in it once."""

    def __init__(self, path: Path, table: str) -> None:
        self._path, self._table = path, table
        self._before: dict[Path, list[tuple[Version, Mapping[int, int]]]] = {}

    def earlier(
        self, version: Version, says: Mapping[str, str], instead: Mapping[str, str] | None
    ) -> Version | None:
        """The version that changed a row, or took it out, that had stood in the table so before; None if none had.

        Looked through are those that `version` came from, and not what another computer saved meanwhile. `instead` is
        what the row said in `version`, or None if it was not in it.
        """
        whole = hash(_whole(says))
        many, later = _wholes(version.path, self._table).get(whole, 0), version
        if many and instead is None:
            return None
        for each, wholes in self._line(version):
            if wholes.get(whole, 0) > many:
                return later
            later = each
        return None

    def part_of(self, version: Version, to: _Table) -> Mapping[int, int] | None:
        """The rows of the newest that `version` came from that stands in a table as a whole; None if none does."""
        there = Counter(map(hash, to.wholes.elements()))
        return next(
            (
                wholes
                for _, wholes in self._line(version)
                if wholes and all(there[whole] >= many for whole, many in wholes.items())
            ),
            None,
        )

    def _line(self, version):
        if version.path not in self._before:
            self._before[version.path] = [*self._read(version)]
        return self._before[version.path]

    def _read(self, version):
        looked = 0
        for each in descent(self._path, version):
            looked += each.path.stat().st_size if each.path.is_file() else 0
            if looked > _LOOKED_BACK:
                return
            yield each, _wholes(each.path, self._table)


_LOOKED_BACK = (
    1_000_000  # bytes of earlier versions, the newest: all that are kept of any table but a long one
)


def _wholes(path, table):
    try:
        at = path.stat()
    except OSError:
        return {}
    return _wholes_in(path, at.st_mtime_ns, at.st_size, table)


@functools.lru_cache(128)
def _wholes_in(path, _when, _size, table):
    """How often each row stands in a version, by its hash: versions stay as they are."""
    sheet = taken_apart(content(path), table)
    return {} if sheet is None else dict(Counter(hash(_whole(says)) for says in _told(sheet).values()))


def _open_days(sheet):
    """The columns of dates that wait for an answer about the table as a whole: which number is the day?"""
    wrong, orders = sheet.rows()[1], sheet.date_orders()
    texts = {(p.column, sheet.cell(p.row, p.column)) for p in wrong if p.row and p.column in orders}
    return {
        name
        for name, text in texts
        if DAY_COUNT.fullmatch(text) or YEARLESS.fullmatch(text) or (open_orders(text) and not orders[name])
    }


def _told(sheet: Sheet, alone: bool = False) -> dict[int, dict[str, str]]:
    """What each row says, read: a number or a date is the same however it is written."""
    frame, problems = sheet.rows()
    names = [n for n in frame.columns if n in sheet.names or n in sheet.extra]
    read = {}
    columns = [map(_text, frame[name].tolist()) for name in names]
    for row, *texts in zip(frame.index.tolist(), *columns, strict=True):
        read[row] = {str(n): text for n, text in zip(names, texts, strict=True) if text}
        if row in sheet.unmarked:  # it goes by its place in the file
            read[row].pop(sheet.table[:-1], None)
    mark = MARKS.get(sheet.table, "")
    groups: dict[int, set[int]] = {}
    seen: Counter[str] = Counter()
    for row in sorted({p.row for p in problems if p.row and p.column == mark and not alone} - {*read}):
        seen[text := sheet.cell(row, mark).casefold()] += 1
        groups.setdefault(seen[text], set()).add(row)
    for rows in groups.values():  # a mark that is there twice: by itself such a row is whole
        read |= zip(sorted(rows), _told(sheet.of_rows(rows), alone=True).values(), strict=False)
    return {row: read[row] if row in read else cells_of(sheet, row) for row in sorted(sheet.row_numbers)}


def _text(value):
    if blank(value):
        return ""
    return f"{value:.6g}" if isinstance(value, float) else _as_marked(as_text(value))


def _as_marked(text):
    """A mark that a spreadsheet made a day of, as it was: 3-Jul is 7-3. The page asks about those elsewhere."""
    day, _, month = text.partition("-")
    number = MONTHS.get(month.casefold()) if day.isdecimal() else None
    return f"{number}-{day}" if number else text


def _pairs(was, to, table):
    """What became of the rows of a table in another: {row: its number there} and the rows there that are new.

    First rows that say the same, then those that do but for their mark, as rows are numbered anew; then those that are
    known by the same, and those that differ in one cell.
    """
    both, mark = was.columns & to.columns, MARKS.get(table)
    stages: list[tuple[Any, bool]] = [(lambda says, _: [_whole(says)], True)]
    if was.columns != to.columns:
        stages.append((lambda says, _: [_whole({n: t for n, t in says.items() if n in both})], True))
    if mark:
        stages.append((lambda says, _: [_whole({n: t for n, t in says.items() if n != mark})], True))
    became, free = _matched(was.says, to.says, [*stages, *_near(table)], both, table)
    return became, [*free]


def _near(table):
    """By what rows are held together that do not say the same."""
    return [(lambda says, _: [_key(says, table)], False), (_all_but_one, False)]


_DEFAULTS = {
    table: {c.name: as_text(c.default) for c in columns_of(table) if c.default is not None}
    for table in _KNOWN_BY
}


def _matched(was, there, stages, both, table):
    """Which rows belong together, by keys that are tried in turn, and which of the second are left."""
    left, free = dict(was), dict(there)
    became: dict[int, int] = {}
    for keys, sure in stages:
        if not left or not free:
            break
        by: dict[Any, deque[int]] = {}
        for row, says in free.items():
            for key in filter(None, keys(says, row)):
                by.setdefault(key, deque()).append(row)
        for row, says in [*left.items()]:
            for key in filter(None, keys(says, row)):
                near = by.get(key, ())
                while near and near[0] not in free:
                    near.popleft()
                some = (n for n in islice(near, _TRIED) if n in free)
                if (
                    found := next((n for n in some if sure or _mostly(says, free[n], both, table)), None)
                ) is not None:
                    became[row] = found
                    del left[row], free[found]
                    break
    return became, free


_TRIED = 50  # rows of one key that are held against a row: more of them are alike, and any will do


def _mostly(was, is_, both, table):
    """True if most of what two rows say agrees: another row may well have got the same mark elsewhere.

    What every row says that nobody filled, and the mark itself, tell nothing.
    """
    usual = {
        (name, text) for name, text in was.items() if is_.get(name) == text == _DEFAULTS[table].get(name)
    }
    told = [
        name
        for name in both - {MARKS.get(table)}
        if (name in was or name in is_) and (name, was.get(name)) not in usual
    ]
    return 2 * sum(was.get(name) == is_.get(name) for name in told) > len(told)


def _lacking(before, now):
    """The rows of one version that do not stand just so in another."""
    there = Counter(map(_whole, _told(now).values()))
    lacking = set()
    for row, says in _told(before).items():
        there[key := _whole(says)] -= 1
        if there[key] < 0:
            lacking.add(row)
    return lacking


def _whole(says):
    return tuple(sorted(says.items()))


def _key(says, table):
    """What a row is known by; None if it lacks that."""
    key = tuple(bare(says.get(name, "")) for name in _KNOWN_BY[table])
    return key if key[-1] and (table != "readings" or key[2]) else None


def _all_but_one(says, row):
    """What a row says without each one of its cells: an edit leaves the others, and a day or a mark its place."""
    in_place = ("date", *MARKS.values())
    return [
        (name, row if name in in_place else 0, _whole({n: t for n, t in says.items() if n != name}))
        for name in says
        if name != "board" or "kind" not in says  # a reading of another board is another reading
    ]


def put_back(path: str | Path, told: Outside, table: str | None = None) -> list[tuple[str, str]]:
    """Put back what an older table changed: rows that are gone, at the end; corrections; rows that were taken out go.

    All else that is in the table stays. Where nothing was added meanwhile, the version that held the rows takes its
    place, in its order. A row whose mark another one has got meanwhile comes back with the next free one.

    Parameters
    ----------
    path : path
    told : Outside
        As from `outside`, or one of its parts.
    table : str, optional
        Which of the four; from the file's name if left out.

    Returns
    -------
    list of (str, str)
        The marks of rows that came back under another one: (what it was, what it is).

    Raises
    ------
    ChangedError
        The file is not as it was when that was told.
    SaveError
        The rows could not be put back, or two would have one mark.
    """
    path = Path(path)
    table = table or path.stem.lower()
    with locked(path):
        now = _as_told(path, told, table)
        read = now.data
        if cut := now.cut_off():  # an end of line behind it would make it pass for a whole one
            raise SaveError(
                f"{path.name} was not changed: it seems to be cut off in row {cut.row} ({cut.about})."
            )
        first, now = now, _with_edits_undone(path, now, told.edited, table)
        there = _told(now) if told.returned else {}
        again = {each.row: each for each in told.returned if each.row in there}
        out = {row for row, each in again.items() if cells_of(now, row) == dict(each.cells)}
        _refuse_doubles(path, first, now, {each.row for each in told.edited}, out)
        now = now.without_rows(out) if out else now
        data = now.data
        marked: list[tuple[str, str]] = []
        under_another = []  # (version, row)
        for gone in told.gone:
            was = _table(content(gone.version.path), table)
            if was is None:
                raise _unread(path, gone.version)
            before, now = was.sheet, _table(data, table).sheet
            still = _lacking(before, now)  # some may have come back by themselves
            rows = [row for row in gone.rows if row in still or row in gone.since]
            now, placed = _with_rows(now, before, rows)
            now = _with_since(now, gone.since, placed)
            if _all_in(now, before):
                data = before.data
                continue
            now, others = _with_free_marks(path, now, placed)
            marked += others.values()
            under_another += [(gone.version, row) for row in others]
            data = now.data
            otherwise = {row: {*gone.since.get(row, ()), *_mark_of(table, row in others)} for row in rows}
            if not _stand_in(now, before, placed, otherwise):
                raise SaveError(
                    f"{path.name} was not changed: the rows would not read as they did. Go back to the version of "
                    f"{gone.version} instead."
                )
        save(path, data, read=read)
        if under_another:
            _accept_under_another(path, table, under_another)
        if not _still(path, table):  # else something else is open
            answered(path)
    return marked


def _mark_of(table, wanted=True):
    return (MARKS[table],) if wanted and table in MARKS else ()


def _marks(sheet):
    """How many rows have each mark."""
    texts = [sheet.cell(row, name).casefold() for name in _mark_of(sheet.table) for row in sheet.row_numbers]
    return Counter(filter(None, texts))


def _refuse_doubles(path, first, now, edited, out):
    """Refuse to give rows back the marks that others have got meanwhile: two of one mark cannot be told apart."""
    for mark in _mark_of(now.table):
        there = _marks(first)
        rows: dict[str, list[int]] = {}
        for row in sorted(now.row_numbers - out):
            rows.setdefault(now.cell(row, mark).casefold(), []).append(row)
        for text, some in rows.items():
            if text and len(some) > max(1, there[text]):
                other = next((row for row in some if row not in edited), some[-1])
                raise SaveError(
                    f"{path.name} was not changed: there would be two rows of {mark} {now.cell(other, mark)}. Give row "
                    f"{other} another mark in the form in lesson 8 first."
                )


def _with_since(now, since, placed):
    """A sheet with what the book saved in some rows after the version that they come from."""
    cells: dict[str, dict[int, str]] = {}
    for row, texts in since.items():
        for name, text in texts.items() if row in placed else ():
            cells.setdefault(name, {})[placed[row]] = text
    for name, of_rows in cells.items():
        now = now.with_cells(of_rows, name)
    return now


def _with_free_marks(path, now, placed):
    """A sheet in which no row that comes back has the mark of another, and {row: (its mark, the one that it gets)}."""
    others: dict[int, tuple[str, str]] = {}
    for mark in _mark_of(now.table):
        there = _marks(now)
        for row, at in placed.items():
            if there[(text := now.cell(at, mark)).casefold()] > 1:
                there[text.casefold()] -= 1
                others[row] = text, next_mark(path, now, now.rows()[0])
                now = now.with_cells({at: others[row][1]}, mark)
    return now, others


def _stand_in(now, before, placed, otherwise):
    """True if rows read as in an earlier version but for some of their cells."""
    is_, was = _told(now), _told(before)
    return all(
        {n: t for n, t in is_.get(at, {}).items() if n not in otherwise[row]}
        == {n: t for n, t in was[row].items() if n not in otherwise[row]}
        for row, at in placed.items()
    )


def _accept_under_another(path, table, rows):
    """Rows that came back under another mark are not gone, though none says the same."""
    data = content(path)
    open_, _ = _claims_of(path, overwritten(path, data), _table(data, table), table)
    gone = [claim for claim in open_ if claim.row is None]
    says = [claim.says for claim in gone if (claim.version, claim.was) in rows]
    accept(path, {claim.mark for claim in gone if claim.says in says})


def _still(path, table):
    """What is open of a table now."""
    data = content(path)
    over = overwritten(path, data)
    return _outside(path, data, over, table)


def _unread(path, version):
    return SaveError(f"{path.name} was not changed: the version of {version} cannot be read.")


def _with_edits_undone(path, now, edits, table):
    """A sheet with what some rows said before."""
    if not edits:
        return now
    said, there = _told(now), now.rows()[0]
    tables = {version: _table(content(version.path), table) for version in {each.version for each in edits}}
    if unread := next((version for version, was in tables.items() if was is None), None):
        raise _unread(path, unread)
    columns = {version: was.columns for version, was in tables.items()}
    edits = [
        each
        for each in edits
        if _within(said.get(each.row, {}), {*columns[each.version], *each.before}) == each.now
    ]  # else it is another row by now
    values: dict[int, Any] = {}
    cells: dict[str, dict[int, str]] = {}
    held = dict(zip(there.index, there.to_dict("records"), strict=True))
    for version, was in tables.items():
        before, frame = was.sheet, was.sheet.rows()[0]
        good = dict(zip(frame.index, frame.to_dict("records"), strict=True))
        for each in edits:
            if each.version != version:
                continue
            names = [n for n in {**each.before, **each.now} if each.before.get(n) != each.now.get(n)]
            if each.was in good and each.row in held:
                own = {c.name: good[each.was][c.name] for c in now.columns if c.name in names}
                values[each.row] = ({**held[each.row], **own}, held[each.row])
                names = [n for n in names if n in before.extra or n in now.extra]
            for name in names:
                cells.setdefault(name, {})[each.row] = before.cell(each.was, name)
    now = now.with_rows((), values)
    for name, texts in cells.items():
        now = now.with_cells(texts, name)
    said = _told(now)
    for each in edits:
        if _within(said.get(each.row, {}), {*columns[each.version], *each.before}) != each.before:
            raise SaveError(
                f"{path.name} was not changed: row {each.row} would not read as it did. Go back to the version of "
                f"{each.version} instead."
            )
    return now


def _with_rows(sheet, before, rows):
    """A sheet with some rows of another version at its end, and {row: its number there}."""
    head = [c.strip() for c in sheet.records[0].cells]
    alike = (
        head == [c.strip() for c in before.records[0].cells]
        and sheet.delimiter == before.delimiter
        and sheet.date_orders() == before.date_orders()
    )
    frame = before.rows()[0]
    good = dict(zip(frame.index, frame.to_dict("records"), strict=True))
    as_typed = [row for row in rows if alike or row not in good]
    if as_typed:
        sheet = sheet.with_texts_of(before, as_typed)
    read = [row for row in rows if row not in {*as_typed}]
    if read:
        sheet = sheet.with_rows([{c.name: good[row][c.name] for c in sheet.columns} for row in read])
    order = [*as_typed, *read]
    placed = dict(zip(order, sorted(sheet.row_numbers)[-len(order) :], strict=False))
    for name in before.extra if read else ():
        texts = {placed[row]: text for row in read if (text := before.cell(row, name))}
        sheet = sheet.with_cells(texts, name) if texts else sheet
    return sheet, placed


def _all_in(now, before):
    """True if every row of a table stands just so in an earlier version, so that this can take its place."""
    return Counter(map(_whole, _told(now).values())) == Counter(map(_whole, _told(before).values()))


def _as_told(path, told, table):
    data = content(path)
    sheet = taken_apart(data, table)
    if fingerprint(data) != told.shown or sheet is None:
        raise ChangedError(
            f"{path.name} was changed by another program since this page showed it. Nothing was put back."
        )
    return sheet


def meant(path: str | Path, told: Outside, table: str | None = None) -> None:
    """Remember that all that is told is meant. The file stays as it is, and the versions that tell otherwise are kept.

    Parameters
    ----------
    path : path
    told : Outside
        As from `outside`, or one of its parts.
    table : str, optional
        Which of the four; from the file's name if left out.

    Raises
    ------
    ChangedError
        The file is not as it was when that was told.
    """
    path = Path(path)
    table = table or path.stem.lower()
    with locked(path):
        if fingerprint(content(path)) != told.shown:
            raise ChangedError(
                f"{path.name} was changed by another program since this page showed it. Nothing was noted."
            )
        now = _still(path, table)
        if now is None or all(part in told.parts for part in now.parts):
            answered(path)
            return
        data = content(path)
        open_, _ = _claims_of(path, overwritten(path, data), _table(data, table), table)
        accept(path, {claim.mark for claim in open_ if _is_told(claim, told)})


def _is_told(claim, told):
    """True if a claim is one of what is told."""
    if claim.out:
        return claim.row in {each.row for each in told.returned}
    if claim.row is None:
        return any(claim.version == each.version and claim.was in each.rows for each in told.gone)
    return claim.row in {each.row for each in told.edited}


def forget_settled(path: str | Path, table: str | None = None) -> None:
    """Forget versions that were written over and of which nothing is open now, so that they may be thinned.

    Parameters
    ----------
    path : path
    table : str, optional
        Which of the four; from the file's name if left out.
    """
    path = Path(path)
    table = table or path.stem.lower()
    if not _settled(path, table):
        return
    with contextlib.suppress(SaveError), locked(path):
        for each in _settled(path, table):
            answered(path, each.before)


def _settled(path, table):
    data = content(path)
    every = overwritten(path, data)
    now = _table(data, table) if any(not each.now for each in every) else None
    if now is None or now.open_days:
        return []
    open_, closed = _claims_of(path, every, now, table)
    settled = accepted(path)
    born = [claim.born for claim in open_ if claim.mark not in settled and _holds(path, claim)]
    first = min([len(every), *born, *(at for at, each in enumerate(every) if each.now)])
    # what came back would else pass for what the book took out
    for claim in sorted(closed, key=lambda claim: -claim.closed):
        if claim.closed >= first:
            first = min(first, claim.born)
    return every[:first]


def _holds(path, claim):
    """True if a claim holds its version; cells that were empty and are filled are not listed for ever."""
    if claim.row is None or claim.out or any(claim.reads.get(n) != text for n, text in claim.says.items()):
        return True
    return claim.version.path in {version.path for version in versions(path)[:KEPT_ALL]}


def open_elsewhere(path: str | Path) -> str:
    """Say that a table is open in another program, which leaves a file beside it while it is; "" if it is not.

    Parameters
    ----------
    path : path

    Examples
    --------
    >>> import tempfile
    >>> logs = Path(tempfile.mkdtemp()) / "logs.csv"
    >>> open_elsewhere(logs)
    ''
    >>> _ = logs.with_name(".~lock.logs.csv#").write_text("")
    >>> open_elsewhere(logs).partition(":")[0]
    'logs.csv is open in another program'
    """
    path = Path(path)
    try:
        beside = [path.with_name(f".~lock.{path.name}#"), path.with_name(f"~${path.name}")]
        if not any(lock.exists() for lock in beside):
            return ""
    except OSError:
        return ""
    return f"{path.name} is open in another program: close it there first, or it may write its older rows over these."
