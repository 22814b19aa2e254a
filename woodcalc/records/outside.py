"""Rows that the book saved and that another program took out by writing its own, older table over them."""

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
from woodcalc.dates import calendar_day
from woodcalc.disk import ChangedError, SaveError, locked
from woodcalc.records.cells import as_text, bare
from woodcalc.records.keep import Overwritten, Version, answered, content, fingerprint, overwritten, save
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
class Outside:
    """What another program did to a table.

    Attributes
    ----------
    file : str
    gone : tuple of Gone
        Rows that are not there any more, and nobody has said that they are meant to be gone.
    changed : tuple of str
        Rows that the book saved and that read otherwise now, in sentences.
    shown : str
        The fingerprint of what the file holds.
    """

    file: str
    gone: tuple[Gone, ...]
    changed: tuple[str, ...]
    shown: str

    @property
    def many(self) -> int:
        """How many rows are gone."""
        return sum(len(each.rows) for each in self.gone)

    def __str__(self):
        told = []
        for each in self.gone:
            many = len(each.rows)
            rows = f"{many:,} rows" if many > 1 else "One row"
            are, they = ("are", "they were") if many > 1 else ("is", "it was")
            told.append(
                f"{rows} that you saved {are} no longer in {self.file}: {they} in it at the save of "
                f"{_hour(each.version.when)}, and another program wrote the file on {_hour(each.when)}."
            )
        return " ".join(told)


def _hour(when):
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
        gone = _newest_of(found for each in reversed(over) if (found := _gone(each, now, table)))
        changed = _changed(over[-1], now, table) if over[-1].now else ()
        return Outside(path.name, gone, changed, fingerprint(data)) if gone or changed else None
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


def _gone(over: Overwritten, now, table):
    """The rows of one version that what was written in its place lacks, and what is there now lacks, too."""
    before = _sheet(content(over.before.path), table)
    if before is None:
        return None
    rows = {row for row, _ in _pairs(before, now)[0]}
    if not over.now and over.after is not None and (after := _sheet(over.after, table)) is not None:
        rows &= {row for row, _ in _pairs(before, after)[0]}
    some = tuple(sorted(rows))
    return Gone(over.before, over.when, some, tuple(cells_of(before, row) for row in some)) if some else None


def _changed(over, now, table):
    before = _sheet(content(over.before.path), table)
    if before is None:
        return ()
    said = []
    for (row, was), (there, is_) in _pairs(before, now)[1]:
        differs = [n for n in dict.fromkeys((*was, *is_)) if was.get(n) != is_.get(n)]
        told = "; ".join(f"{n}: {was.get(n, 'nothing')} is now {is_.get(n, 'nothing')}" for n in differs)
        said.append(f"row {there}" + (f" (it was row {row})" if row != there else "") + f": {told}")
    return tuple(said)


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
    return f"{value:.6g}" if isinstance(value, float) else as_text(value)


def _pairs(before, after):
    """([(row, what it says)] that are gone, [((row, says), (row, says))] that are the same rows, edited)."""
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
    edited = []
    for keys in (lambda says, _: [_key(says, before.table)], _all_but_one):
        by: dict[Any, list[int]] = {}
        for row, says in is_.items():
            for key in filter(None, keys(says, row)):
                by.setdefault(key, []).append(row)
        for row, says in list(left.items()):
            near = (n for key in filter(None, keys(says, row)) for n in by.get(key, ()) if n in is_)
            if (found := next(near, None)) is not None:
                edited.append(((row, left.pop(row)), (found, is_.pop(found))))
    return list(left.items()), edited


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
    """What a row says without each one of its cells: an edit leaves the others. Its day is edited in its place."""
    return [
        (name, row if name == "date" else 0, _whole({n: t for n, t in says.items() if n != name}))
        for name in says
    ]


def put_back(path: str | Path, told: Outside, table: str | None = None) -> None:
    """Put the rows that are gone back at the end of a table; all that is in it stays.

    Where nothing was added meanwhile, the version that held them takes its place, in its order.

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
        if cut := now.cut_off():  # an end of line behind it would make it pass for a whole one
            raise SaveError(
                f"{path.name} was not changed: it seems to be cut off in row {cut.row} ({cut.about})."
            )
        data = now.data
        for each in told.gone:
            before = _sheet(content(each.version.path), table)
            if before is None:
                raise SaveError(f"{path.name} was not changed: the version of {each.version} cannot be read.")
            now = _sheet(data, table)
            still = _lacking(before, now)  # some may have come back by themselves
            now = _with_rows(now, before, [row for row in each.rows if row in still])
            data = before.data if _all_in(now, before) else now.data
            if _lacking(before, now) & {*each.rows}:
                raise SaveError(
                    f"{path.name} was not changed: the rows would not read as they did. Go back to the version of "
                    f"{each.version} instead."
                )
        save(path, data)
        answered(path)


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
    over = [each for each in overwritten(path, data) if not each.now]
    now = _sheet(data, table) if over else None
    return [each for each in over if now is not None and not _gone(each, now, table)]


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
