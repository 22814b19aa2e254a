"""Rows that the book saved and that another program took out or changed by writing its own, older table over them."""

from __future__ import annotations

import calendar
import contextlib
import functools
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from woodcalc.checks import blank
from woodcalc.dates import calendar_day, open_orders
from woodcalc.disk import ChangedError, SaveError, locked
from woodcalc.records.cells import DAY_COUNT, YEARLESS, as_text, bare
from woodcalc.records.columns import MARKS
from woodcalc.records.keep import (
    KEPT_ALL,
    Overwritten,
    Version,
    answered,
    content,
    fingerprint,
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
        gone = _newest_of(found for each in reversed(over) if (found := _gone(each, now, table)))
        edited = tuple({e.row: e for each in over for e in _edited(path, each, now, table)}.values())
        returned = tuple(
            {e.row: e for each in over for e in _returned(path, each, over, now, table)}.values()
        )
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


def _gone(over: Overwritten, now, table):
    """The rows of one version that what was written in its place lacks, and what is there now lacks, too."""
    before = _before(over, table)
    if before is None:
        return None
    left = _pairs(before, now)[0]
    rows = {row for row, says in left if not _in_common(over, says, table)}
    if (after := _after(over, table)) is not None:
        rows &= {row for row, _ in _pairs(before, after)[0]}
    some = tuple(sorted(rows))
    return Gone(over.before, over.when, some, tuple(cells_of(before, row) for row in some)) if some else None


def _in_common(over, says, table):
    """True if a row is of the version that two computers began from: what became of it there is no loss."""
    return any(_whole(says) in _wholes(content(each.path), table) for each in over.common)


def _edited(path, over, now, table):
    """The rows of one version that what was written in its place, and what is there now, have otherwise."""
    before = _before(over, table)
    if before is None:
        return
    after = _after(over, table)
    there = None if after is None else Counter(map(_whole, _told(after).values()))
    columns = {*before.place, *before.extra}
    for (was, said), (row, says) in _pairs(before, now)[1]:
        if not any(said.get(n) != says.get(n) for n in columns):  # a column that came in takes nothing away
            continue
        if (there is None or there[_whole(says)]) and not _in_common(over, said, table):
            earlier = _earlier(path, over.before, says, said, table)
            yield Edited(over.before, was, row, said, says, earlier)


def _returned(path, over, all_over, now, table):
    """The rows that another program brought back, of those that the book took out."""
    before = _before(over, table)
    if before is None or over.common:
        return
    after = _after(over, table)
    there = None if after is None else Counter(map(_whole, _told(after).values()))
    lost: set[Any] = set()  # what came back of what another program took out is as it should be
    for each in all_over:
        if (was := _before(each, table)) is not None and (then := _after(each, table)) is not None:
            lost |= {_whole(says) for _, says in _pairs(was, then)[0]}
    for row, says in _pairs(before, now)[2]:
        if (whole := _whole(says)) in lost or (there is not None and not there[whole]):
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
    return Counter() if sheet is None else Counter(map(_whole, _told(sheet).values()))


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


_MONTHS = {name[:3].casefold(): n for n, name in enumerate(calendar.month_name) if n}


def _as_marked(text):
    """A mark that a spreadsheet made a day of, as it was: 3-Jul is 7-3. The page asks about those elsewhere."""
    day, _, month = text.partition("-")
    number = _MONTHS.get(month.casefold()) if day.isdecimal() else None
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
    is_, was = (Counter(map(_whole, _told(sheet).values())) for sheet in (now, before))
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
    over = [each for each in every if not each.now]
    now = _sheet(data, table) if over else None
    if now is None or _open_days(now):
        return []
    newest = {version.path for version in versions(path)[:KEPT_ALL]}
    settled = []
    for each in over:
        edits = [*_edited(path, each, now, table)]
        told = _gone(each, now, table) or any(e.again for e in edits)
        told = told or (edits and each.before.path in newest)  # something new is not asked about for ever
        if not told and not any(_returned(path, each, every, now, table)):
            settled.append(each)
    return settled


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
