"""Rows that the book saved and that another program took out or changed by writing its own, older table over them."""

from __future__ import annotations

import contextlib
import functools
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from woodcalc.checks import blank
from woodcalc.dates import MONTHS, calendar_day, open_orders
from woodcalc.disk import ChangedError, SaveError, locked
from woodcalc.records.cells import DAY_COUNT, YEARLESS, as_text, bare
from woodcalc.records.columns import MARKS
from woodcalc.records.keep import (
    KEPT_ALL,
    Version,
    answered,
    content,
    fingerprint,
    keep_late,
    overwritten,
    save,
    versions,
)
from woodcalc.records.sheet import cells_of, taken_apart

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
    """

    version: Version
    when: datetime
    rows: tuple[int, ...]
    cells: tuple[Mapping[str, str], ...]


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
    """

    version: Version
    was: int
    row: int
    before: Mapping[str, str]
    now: Mapping[str, str]
    again: Version | None = None

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
    """

    file: str
    gone: tuple[Gone, ...]
    edited: tuple[Edited, ...]
    returned: tuple[Returned, ...]
    shown: str

    @property
    def many(self) -> int:
        """How many rows are gone."""
        return sum(len(each.rows) for each in self.gone)

    @property
    def undone(self) -> tuple[Edited, ...]:
        """Rows that read as they did before somebody corrected them."""
        return tuple(each for each in self.edited if each.again)

    @property
    def changed(self) -> tuple[str, ...]:
        """Rows that say something new, in sentences: their owner's business."""
        return tuple(str(each) for each in self.edited if not each.again)

    @property
    def asks(self) -> bool:
        """Whether an older table seems to have come back, so that somebody has to say what is meant."""
        return bool(self.gone or self.undone or self.returned)

    def __str__(self):
        told = []
        for each in self.gone:
            many = len(each.rows)
            rows = f"{many:,} rows" if many > 1 else "One row"
            are, they = ("are", "they were") if many > 1 else ("is", "it was")
            # a copy keeps the time of what it was copied from
            late = each.when.replace(microsecond=0) >= each.version.when
            when = f"on {hour_of(each.when)}" if late else "after that"
            told.append(
                f"{rows} that you saved {are} no longer in {self.file}: {they} in it at the save of "
                f"{hour_of(each.version.when)}, and another program wrote the file {when}."
            )
        if (self.undone or self.returned) and not told:
            what = "an earlier version"
            if not self.undone:
                what = "rows that you took out" if len(self.returned) > 1 else "a row that you took out"
            told.append(f"Another program wrote {self.file}, and {what} came back.")
        return " ".join(told)


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
    >>> outside(logs) is None
    True
    """
    path = Path(path)
    table = table or path.stem.lower()
    keep_late(path)
    for _ in range(_TRIES):
        data = content(path)
        over = overwritten(path, data) if data.strip() else []
        if not over:
            return None
        if content(path) != data or overwritten(path, data) != over:  # the book saves just now
            continue
        now = _sheet(data, table)
        if now is None:  # that is told elsewhere, with the way back
            return None
        if any(_open_days(now) - _open_days(before) for each in over if (before := _before(each, table))):
            return None  # which rows these are is known when that question is answered
        told = _told_of(path, over, now, table)
        gone = _newest_of(g for each in reversed(told) for g in each.gone)
        edited = tuple({e.row: e for each in told for e in each.edited}.values())
        returned = tuple({e.row: e for each in told for e in each.returned}.values())
        out = Outside(path.name, gone, edited, returned, fingerprint(data))
        return out if out.asks or out.edited else None
    return None


_TRIES = 5


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
            out.append(Gone(each.version, each.when, tuple(rows), tuple(cells)))
    return tuple(out[::-1])


def _before(over, table):
    return _sheet(content(over.before.path), table)


def _after(over, table):
    """What was written over a version, if that is not what is there now."""
    return None if over.now or over.after is None else _sheet(over.after, table)


@dataclass(frozen=True)
class _Step:
    """What became of the rows of a version in what was written over it.

    `there` is how often each row stands in that, None if that is not known or is what is there now; `out` are the rows
    that it lacks, `edited` what it says instead of others, both by their numbers; `lost` and `brought` what it lacks
    and what it has besides, by what those rows say and by what they are known by.
    """

    there: Counter[Any] | None
    out: frozenset[int]
    edited: Mapping[int, Mapping[str, str]]
    lost: frozenset[Any]
    brought: Mapping[Any, Mapping[str, str]]


def _step(over, before, now, table):
    after = now if over.now else _after(over, table)
    if after is None:
        was = _told(before)
        return _Step(None, frozenset(was), {}, frozenset(_known(was.values(), table)), {})
    left, edited, new = _pairs(before, after)
    return _Step(
        None if over.now else _wholes_of(after),
        frozenset(row for row, _ in left),
        {row: says for (row, _), (_, says) in edited},
        frozenset(_known([says for _, says in left], table)),
        _known([*(says for _, (_, says) in edited), *(says for _, says in new)], table),
    )


def _known(rows, table):
    """Rows by what they say, and by what they are known by."""
    return {known: says for says in rows for known in (_whole(says), _key(says, table)) if known}


@dataclass(frozen=True)
class _Saved:
    """A row as the book saved it last: in which version, its number, and which of those written over that was."""

    version: Version
    row: int
    says: Mapping[str, str]
    at: int


@dataclass(frozen=True)
class _Told:
    """What is told of one version that was written over, and the first of them that has to be known for that."""

    gone: tuple[Gone, ...] = ()
    edited: tuple[Edited, ...] = ()
    returned: tuple[Returned, ...] = ()
    first: int = 0
    step: _Step | None = None


def _told_of(path, overs, now, table):
    """What is told of each version that was written over; the oldest first.

    A row counts as gone or edited if it stands whole neither in what was written over its version nor in what is there
    now. What became of it between those may be another older table, or the book itself.
    """
    sheets = [_before(over, table) for over in overs]
    steps = [before and _step(over, before, now, table) for over, before in zip(overs, sheets, strict=True)]
    lost = frozenset().union(*(step.lost for step in steps if step))
    here = _wholes_of(now)
    saved: dict[Any, _Saved] = {}  # by what an older table made of that row
    out = []
    for at, (over, before, step) in enumerate(zip(overs, sheets, steps, strict=True)):
        if step is None:
            out.append(_Told())
            continue
        later = {known: says for then in steps[at + 1 :] if then for known, says in then.brought.items()}
        left, both, new = _pairs(before, now)
        gone: dict[Version, list[int]] = {}
        edited, first = [], at
        columns = {*before.place, *before.extra}

        def last_saved(row, says, at=at, over=over):
            return saved.get(_whole(says), _Saved(over.before, row, says, at))

        for row, says, says_now in [*((r, s, None) for r, s in left), *((r, s, n) for (r, s), n in both)]:
            was = last_saved(row, says)
            if _in_common(over, says, table) or (was.at != at and here[_whole(was.says)]):
                continue
            if says_now is None:
                if row not in step.out:
                    continue  # the book took it out; or another older table did, which tells
            elif not any(says.get(n) != says_now[1].get(n) for n in columns):
                continue  # a column that came in takes nothing away
            elif (
                step.there is None
                or step.there[_whole(says_now[1])]
                or (row in step.out and _whole(says_now[1]) in later)
            ):
                again = _earlier(path, was.version, says_now[1], was.says, table)
                edited.append(Edited(was.version, was.row, says_now[0], was.says, says_now[1], again))
                first = min(first, was.at)
                continue
            elif row not in step.out or _key(says_now[1], table) in later or _since(path, over, says, table):
                continue  # the book has changed it since
            gone.setdefault(was.version, []).append(was.row)
            first = min(first, was.at)
        returned = () if over.common else _returned(path, over, step, new, lost, now, table)
        out.append(_Told(_gone(over, gone, table), tuple(edited), tuple(returned), first, step))
        for row, says in {} if over.common or over.now else _told(before).items():
            key = _key(says, table)
            instead = [step.edited[row]] if row in step.edited else []
            if row in step.out and key:
                instead = [then.brought[key] for then in steps[at + 1 :] if then and key in then.brought]
            for other in instead:
                if _whole(other) != _whole(says) and _earlier(path, over.before, other, says, table):
                    saved[_whole(other)] = last_saved(row, says)
    return out


def _since(path, over, says, table):
    """True if a row stood in the table again after what was written over its version."""
    return any(
        _wholes(content(each.path), table)[_whole(says)]
        for each in versions(path)
        if each.number > over.before.number + 1
    )


def _gone(over, rows_of, table):
    return tuple(
        Gone(version, over.when, rows, tuple(cells_of(_sheet(content(version.path), table), r) for r in rows))
        for version, some in rows_of.items()
        if (rows := tuple(sorted(some)))
    )


def _in_common(over, says, table):
    """True if a row is of the version that two computers began from: what became of it there is no loss."""
    return any(_whole(says) in _wholes(content(each.path), table) for each in over.common)


def _returned(path, over, step, new, lost, now, table):
    """The rows that another program brought back, of those that the book took out."""
    for row, says in new:
        if lost & {
            *_known([says], table)
        }:  # what comes back of what another program took out is as it should be
            continue
        if step.there is not None and not step.there[_whole(says)]:
            continue
        if out := _earlier(path, over.before, says, None, table):
            yield Returned(row, cells_of(now, row), out)


def _earlier(path, version, says, instead, table):
    """The version that changed a row, or took it out, that had stood in the table so before; None if none had.

    `instead` is what the row said in `version`, or None if it was not in it.
    """
    looked, later, whole = 0, version, _whole(says)
    if (many := _wholes(content(version.path), table)[whole]) and instead is None:
        return None
    for each in versions(path):
        if each.number >= version.number:
            continue
        data = content(each.path)
        looked += len(data)
        if looked > _LOOKED_BACK:
            return None
        if _wholes(data, table)[whole] > many:
            return later
        later = each
    return None


_LOOKED_BACK = (
    1_000_000  # bytes of earlier versions, the newest: all that are kept of any table but a long one
)


@functools.lru_cache(64)
def _wholes(data, table):
    """How often each row stands in a table."""
    sheet = _sheet(data, table)
    return Counter() if sheet is None else _wholes_of(sheet)


def _wholes_of(sheet):
    return Counter(map(_whole, _told(sheet).values()))


def _open_days(sheet):
    """The columns of dates that wait for an answer about the table as a whole: which number is the day?"""
    wrong, orders = sheet.rows()[1], sheet.date_orders()
    texts = {(p.column, sheet.cell(p.row, p.column)) for p in wrong if p.row and p.column in orders}
    return {
        name
        for name, text in texts
        if DAY_COUNT.fullmatch(text) or YEARLESS.fullmatch(text) or (open_orders(text) and not orders[name])
    }


@functools.lru_cache(8)
def _sheet(data, table):
    return taken_apart(data, table)


def _told(sheet: Sheet) -> dict[int, dict[str, str]]:
    """What each row says, read: a number or a date is the same however it is written."""
    frame, _ = sheet.rows()
    names = [n for n in frame.columns if n in sheet.names or n in sheet.extra]
    told = {row: cells_of(sheet, row) for row in sorted(sheet.row_numbers)}
    for row, values in zip(frame.index, frame[names].to_dict("records"), strict=True):
        if row in sheet.unmarked:  # it goes by its place in the file
            values[sheet.table[:-1]] = ""
        told[row] = {str(n): _text(v) for n, v in values.items() if not blank(v)}
    return told


def _text(value):
    return f"{value:.6g}" if isinstance(value, float) else _as_marked(as_text(value))


def _as_marked(text):
    """A mark that a spreadsheet made a day of, as it was: 3-Jul is 7-3. The page asks about those elsewhere."""
    day, _, month = text.partition("-")
    number = MONTHS.get(month.casefold()) if day.isdecimal() else None
    return f"{number}-{day}" if number else text


def _pairs(before, after):
    """What became of the rows of a sheet in another.

    Returns
    -------
    tuple
        [(row, what it says)] that are gone, [((row, says), (row, says))] that are the same rows, edited, and
        [(row, says)] that are new.
    """
    was, is_ = _told(before), _told(after)
    there: dict[Any, list[int]] = {}
    for row, says in is_.items():
        there.setdefault(_whole(says), []).append(row)
    left = {}
    for row, says in was.items():
        if same := there.get(_whole(says)):
            is_.pop(same.pop(0))
        else:
            left[row] = says
    both = {*before.place, *before.extra} & {*after.place, *after.extra}
    edited = []
    for keys in (lambda says, _: [_key(says, before.table)], _all_but_one):
        by: dict[Any, list[int]] = {}
        for row, says in is_.items():
            for key in filter(None, keys(says, row)):
                by.setdefault(key, []).append(row)
        for row, says in list(left.items()):
            near = (n for key in filter(None, keys(says, row)) for n in by.get(key, ()) if n in is_)
            if (found := next((n for n in near if _mostly(says, is_[n], both)), None)) is not None:
                edited.append(((row, left.pop(row)), (found, is_.pop(found))))
    return list(left.items()), edited, list(is_.items())


def _mostly(was, is_, both):
    """True if most of what two rows say agrees: another row may well have got the same mark elsewhere."""
    told = [name for name in both if name in was or name in is_]
    return 2 * sum(was.get(name) == is_.get(name) for name in told) > len(told)


def _lacking(before, now):
    """The rows of one version that do not stand just so in another."""
    told = _told(now)
    there = Counter(map(_whole, told.values()))
    for row in {p.row for p in now.rows()[1] if p.column == MARKS.get(now.table)} & {*told}:
        there[_whole(_told(now.of_rows({row})).get(2, {}))] += (
            1  # its mark is there twice: by itself it is whole
        )
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


def put_back(path: str | Path, told: Outside, table: str | None = None) -> None:
    """Put back what an older table changed: rows that are gone, at the end; corrections; rows that were taken out go.

    All else that is in the table stays. Where nothing was added meanwhile, the version that held the rows takes its
    place, in its order. Of rows that say something new alone, what was saved comes back only if nothing else is told.

    Parameters
    ----------
    path : path
    told : Outside
        As from `outside`.
    table : str, optional
        Which of the four; from the file's name if left out.

    Raises
    ------
    ChangedError
        The file is not as it was when that was told.
    SaveError
        The rows could not be put back.
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
        edits = told.undone if told.asks else told.edited
        now = _with_edits_undone(path, now, edits, table)
        there = _told(now)
        for each in sorted(told.returned, key=lambda each: -each.row):
            if each.row in there and cells_of(now, each.row) == dict(each.cells):
                now = now.with_row(None, each.row)
        data = now.data
        for gone in told.gone:
            before = _sheet(content(gone.version.path), table)
            if before is None:
                raise _unread(path, gone.version)
            now = _sheet(data, table)
            still = _lacking(before, now)  # some may have come back by themselves
            now = _with_rows(now, before, [row for row in gone.rows if row in still])
            data = before.data if _all_in(now, before) else now.data
            if _lacking(before, now) & {*gone.rows}:
                raise SaveError(
                    f"{path.name} was not changed: the rows would not read as they did. Go back to the version of "
                    f"{gone.version} instead."
                )
        save(path, data, read=read)
        if not (told.asks and told.changed):  # those are still open
            answered(path)


def _unread(path, version):
    return SaveError(f"{path.name} was not changed: the version of {version} cannot be read.")


def _with_edits_undone(path, now, edits, table):
    """A sheet with what some rows said before."""
    for each in edits:
        before = _sheet(content(each.version.path), table)
        if before is None:
            raise _unread(path, each.version)
        if _told(now).get(each.row) != each.now:
            continue  # it is another row by now
        good, there = before.rows()[0], now.rows()[0]
        names = [n for n in {**each.before, **each.now} if each.before.get(n) != each.now.get(n)]
        if each.was in good.index and each.row in there.index:
            values = dict(there.loc[each.row])
            values |= {c.name: good.loc[each.was, c.name] for c in now.columns if c.name in names}
            now = now.with_row(values, each.row, dict(there.loc[each.row]))
            names = [n for n in names if n in before.extra or n in now.extra]
        for name in names:
            now = now.with_cells({each.row: before.cell(each.was, name)}, name)
        if _told(now).get(each.row) != each.before:
            raise SaveError(
                f"{path.name} was not changed: row {each.row} would not read as it did. Go back to the version of "
                f"{each.version} instead."
            )
    return now


def _with_rows(sheet, before, rows):
    """A sheet with some rows of another version at its end."""
    head = [c.strip() for c in sheet.records[0].cells]
    alike = (
        head == [c.strip() for c in before.records[0].cells]
        and sheet.delimiter == before.delimiter
        and sheet.date_orders() == before.date_orders()
    )
    good = before.rows()[0]
    for row in rows:
        if alike or row not in good.index:
            sheet = sheet.with_text_of(before, row)
            continue
        values = dict(good.loc[row])
        sheet = sheet.with_row({c.name: values[c.name] for c in sheet.columns})
        last = max(sheet.row_numbers)
        for name in before.extra:
            if text := before.cell(row, name):
                sheet = sheet.with_cells({last: text}, name)
    return sheet


def _all_in(now, before):
    """True if every row of a table stands just so in an earlier version, so that this can take its place."""
    is_, was = _wholes_of(now), _wholes_of(before)
    return is_ == was


def _as_told(path, told, table):
    data = content(path)
    sheet = _sheet(data, table)
    if fingerprint(data) != told.shown or sheet is None:
        raise ChangedError(
            f"{path.name} was changed by another program since this page showed it. Nothing was put back."
        )
    return sheet


def meant(path: str | Path, told: Outside) -> None:
    """Remember that the rows are meant to be gone. The file stays as it is, and the versions that held them are kept.

    Parameters
    ----------
    path : path
    told : Outside
        As from `outside`.

    Raises
    ------
    ChangedError
        The file is not as it was when that was told.
    """
    path = Path(path)
    with locked(path):
        if fingerprint(content(path)) != told.shown:
            raise ChangedError(
                f"{path.name} was changed by another program since this page showed it. Nothing was noted."
            )
        answered(path)


def forget_settled(path: str | Path, table: str | None = None) -> None:
    """Forget versions that were written over and of which no row is missing now, so that they may be thinned.

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
    now = _sheet(data, table) if any(not each.now for each in every) else None
    if now is None or _open_days(now):
        return []
    newest = {version.path for version in versions(path)[:KEPT_ALL]}
    told = _told_of(path, every, now, table)
    # something new is not asked about for ever
    asks = [
        at
        for at, (each, of) in enumerate(zip(every, told, strict=True))
        if of.gone or of.returned or any(e.again or each.before.path in newest for e in of.edited) or each.now
    ]
    first = min((told[at].first for at in asks), default=len(every))  # what followed tells what it came to
    brought = {known for of in told[first:] if of.step for known in of.step.brought}
    for at in reversed(range(first)):
        step = told[at].step
        if step and step.lost & brought:  # else what came back would pass for what the book took out
            first = at
        if step and first == at:
            brought |= {*step.brought}
    return every[:first]


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
