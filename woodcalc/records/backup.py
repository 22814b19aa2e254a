"""One file with all that is one's own, to carry away and to put back."""

from __future__ import annotations

import io
import os
import re
import stat
import struct
import time
import zipfile
import zlib
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from woodcalc.disk import SaveError, locked, not_saved, why_of
from woodcalc.records.columns import TABLES, RecordsError
from woodcalc.records.keep import HISTORY, save
from woodcalc.records.sheet import Sheet, taken_apart

_MB = 1_000_000
LARGEST_OTHERS_MB, LARGEST_BACKUP_MB, MOST_FILES = 20, 400, 2000  # unpacked; others: all but the records
_UNREAD, _NO_ROOM = "not in this backup.txt", "no room"
_MARK, _MARKED = "woodcalc-backup.txt", b"A backup of the records, choices and answers of one's own wood.\n"
_TABLES = re.compile(rf"({'|'.join(TABLES)})\.csv", re.IGNORECASE)
_RECORDS = re.compile(  # what cannot be made again
    _TABLES.pattern + r"|answers\.csv|(choices|written)\.json|class-answers/[^/]+\.csv", re.IGNORECASE
)
_OWN = re.compile(  # what the book writes into a learner's folder
    _RECORDS.pattern + r"|(plan|class)/[^/]+\.(html|pdf|csv)|[^/]+\.(html|pdf)", re.IGNORECASE
)
_FIRST = (_TABLES, _RECORDS, _OWN)
_PHOTO = re.compile(r".*\.(jpe?g|png|heic|gif|tiff?|webp|bmp|dng)", re.IGNORECASE | re.DOTALL)


def backup(folder: str | Path) -> bytes:
    """Return a learner's folder as one zip file: everything in it but locks and history.

    Parameters
    ----------
    folder : path

    Returns
    -------
    bytes
        The records come first, then the pages, then whatever else there is room for. A file that is left out is
        named in the zip, in ``not in this backup.txt``; `contents` counts both.

    Raises
    ------
    SaveError
        The folder is not there, or nothing in it can be read.

    Examples
    --------
    >>> import tempfile
    >>> mine = Path(tempfile.mkdtemp())
    >>> _ = (mine / "logs.csv").write_bytes(b"species,small_in,length_ft")
    >>> restore(mine / "again", backup(mine)).files
    {'logs.csv': 'new'}
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise SaveError(f"No backup was made: there is no folder {str(folder)!r}.")
    out, total = io.BytesIO(), 0
    left: list[str] = []
    files = _own_files(folder, left)
    room = LARGEST_OTHERS_MB * _MB  # for files that are not records; those have room of their own
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as book:
        for name, path in files:
            try:
                size = path.stat().st_size
                if (size > room and not _RECORDS.fullmatch(name)) or total + size > LARGEST_BACKUP_MB * _MB:
                    left.append(f"{name}: {_NO_ROOM} ({size / _MB:.1f} MB)")
                    continue
                data = path.read_bytes()
            except OSError as error:
                left.append(f"{name}: {why_of(error)}")
                continue
            total += len(data)
            room -= 0 if _RECORDS.fullmatch(name) else len(data)
            book.writestr(zipfile.ZipInfo(name, _zip_time(path)), data, zipfile.ZIP_DEFLATED)
        if files:
            book.writestr(_MARK, _MARKED)
        if left:
            book.writestr(_UNREAD, "\n".join(left) + "\n")
        if not {*book.namelist()} - {_MARK, _UNREAD}:
            why = f": {'; '.join(left[:3])}" if left else ""
            raise SaveError(f"No backup was made: {folder.name} holds no file that can be read{why}.")
    return out.getvalue()


def _own_files(folder, left):
    """(name, path) of a folder's files but hidden ones and history; what cannot be taken in goes to `left`."""
    there: list[tuple[str, Path]] = []
    for at, folders, files in os.walk(folder, onerror=lambda e: left.append(f"{e.filename}: {why_of(e)}")):
        folders[:] = sorted(d for d in folders if d != HISTORY and not d.startswith((".", "__")))
        for file in sorted(files):
            path = Path(at) / file
            name = path.relative_to(folder).as_posix()
            if file.startswith(".") or name in (_UNREAD, _MARK) or not path.is_file():
                continue
            there.append((name, path))
    found: list[tuple[str, Path]] = []
    names: set[str] = set()
    # else in the order of the names, but of logs.csv and Logs.csv the one that the book reads first
    for name, path in sorted(there, key=lambda each: (_rank(each[0]), each[0] != each[0].lower())):
        if len(found) == MOST_FILES:
            left.append(f"{name}: {_NO_ROOM}, there are more than {MOST_FILES} files")
        elif not _safe(name) or name.casefold() in names:
            left.append(f"{name}: its name does not serve in a backup")
        else:
            names.add(name.casefold())
            found.append((name, path))
    return found


def _rank(name):
    """0 for a table, 1 for other records, 2 for the book's pages, 3 for what it did not write."""
    return next((k for k, kind in enumerate(_FIRST) if kind.fullmatch(name)), len(_FIRST))


def _zip_time(path):
    """The time of a file as a zip can hold it: 1980 to 2107."""
    when = time.localtime(path.stat().st_mtime)[:6]
    return when if 1980 <= when[0] <= 2107 else (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True)
class Contents:
    """What is in a backup, and what is not.

    Attributes
    ----------
    rows : dict
        Table to its number of rows, for each table in it.
    others : tuple of str
        Files in it that the book did not write: `restore` leaves them in the zip.
    left_out : tuple of str
        ``"name: why"`` of each file of the folder that is not in it.

    Examples
    --------
    >>> print(Contents({"logs": 3, "stacks": 1}, ("IMG_1.jpg",), ("IMG_2.jpg: no room (9.0 MB)",)))
    In it: 3 logs, 1 stack. Left out: 1 photo (no room).
    1 photo in it does not come back with Restore: open the zip yourself and copy it out.
    """

    rows: dict[str, int]
    others: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()

    def __str__(self):
        tables = [_many(count, table) for table, count in self.rows.items()]
        told = f"In it: {', '.join(tables) or 'no table'}."
        full, bad = [], []
        for line in self.left_out:
            name, _, why = line.partition(": ")
            if why.startswith(_NO_ROOM):
                full.append(name)
            else:
                bad.append(line)
        out = [f"{_count(full)} ({_NO_ROOM})"] if full else []
        out += bad[:3] + ([f"and {len(bad) - 3} more"] if len(bad) > 3 else [])
        told += f" Left out: {'; '.join(out)}." if out else ""
        if self.others:
            one = len(self.others) == 1
            told += (
                f"\n{_count(self.others)} in it {'does' if one else 'do'} not come back with Restore: open the zip "
                f"yourself and copy {'it' if one else 'them'} out."
            )
        return told


def contents(data: bytes) -> Contents:
    """Return what is in a backup, for whoever is about to trust in it.

    Parameters
    ----------
    data : bytes
        What `backup` gave.

    Returns
    -------
    Contents

    Raises
    ------
    SaveError
        As in `unpacked`.

    Examples
    --------
    >>> import tempfile
    >>> mine = Path(tempfile.mkdtemp())
    >>> _ = (mine / "logs.csv").write_bytes(b"species,small_in,length_ft\\nwhite oak,14,12\\n")
    >>> print(contents(backup(mine)))
    In it: 1 log.
    """
    files = unpacked(data)
    rows = {}
    for table in TABLES:
        for name in files:
            if name.lower() == f"{table}.csv":
                rows[table] = _rows_of(files[name], table)
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        left = book.read(_UNREAD).decode("utf-8", "replace") if _UNREAD in book.namelist() else ""
    return Contents(rows, tuple(name for name in files if not _OWN.fullmatch(name)), tuple(left.splitlines()))


def _rows_of(data, table):
    """How many rows a table holds, good or not."""
    if sheet := taken_apart(data, table):
        return len(sheet.row_numbers)
    return sum(1 for line in data.splitlines() if line.strip(b" ,;\t"))  # no header: its lines


def _many(count, table):
    return f"{count:,} {table.removesuffix('s') if count == 1 else table}"


def _count(names):
    """Say how many files, as photos if all of them are."""
    return _many(len(names), "photos" if all(_PHOTO.fullmatch(name) for name in names) else "files")


@dataclass(frozen=True)
class Restored:
    """What `restore` did.

    Attributes
    ----------
    files : dict
        File name to ``"new"``, ``"put back"`` (what was there is in the history) or ``"same"``.
    told : tuple of str
        Sentences about files in the backup that are damaged or were left out, and tables that do not read in full.
    """

    files: dict[str, str]
    told: tuple[str, ...] = ()


def restore(folder: str | Path, data: bytes) -> Restored:
    """Put the files of a backup back; what is there now goes to the history.

    Nothing is written before the whole backup has been looked through. Files that the backup does not hold stay,
    and a file in it that the book does not write is left out.

    Parameters
    ----------
    folder : path
        The learner's folder; made if need be.
    data : bytes
        What `backup` gave.

    Returns
    -------
    Restored

    Raises
    ------
    SaveError
        No backup of this book, or a file could not be written; the message says which ones are back.
    """
    folder, (files, told) = Path(folder), looked_through(data)
    done: dict[str, str] = {}
    for name, content in files.items():
        path = folder / name
        try:
            there = path.read_bytes() if path.exists() else None
            with locked(path):
                save(path, content)
        except OSError as error:
            back = ", ".join(done) or "No file"
            why = error if isinstance(error, SaveError) else not_saved(path, error)
            raise SaveError(f"{back} {'is' if len(done) < 2 else 'are'} back. {why}") from error
        done[name] = "new" if there is None else "same" if there == content else "put back"
    return Restored(done, (*told, *not_read(folder, files)))


def not_read(folder: str | Path, names: Iterable[str]) -> list[str]:
    """Return a sentence for each of a backup's tables that is not read under its name in this folder.

    Parameters
    ----------
    folder : path
    names : iterable of str
        The files that come back.

    Examples
    --------
    >>> not_read("no-such-folder", ["Logs.csv", "boards.csv", "plan.html"])
    ['Logs.csv is not read under this name: the book reads logs.csv. Rename it.']
    """
    folder, said = Path(folder), []
    for name in names:
        plain = name.lower()
        if not _TABLES.fullmatch(name) or name == plain:
            continue
        there = (folder / plain).exists()
        if there and (folder / name).exists() and (folder / plain).samefile(folder / name):
            continue  # a disk that makes no difference of capitals
        why = (
            f"{plain} lies beside it, and the book reads that one"
            if there
            else f"the book reads {plain}. Rename it"
        )
        said.append(f"{name} is not read under this name: {why}.")
    return said


def looked_through(data: bytes) -> tuple[dict[str, bytes], list[str]]:
    """Return (the book's own files in a backup, sentences about what is left out or cannot be read in full).

    Of a backup whose end is cut off it is the files before the cut.

    Parameters
    ----------
    data : bytes

    Raises
    ------
    SaveError
        As in `unpacked`.
    """
    whole = b"" if zipfile.is_zipfile(io.BytesIO(data)) else _whole_part(data)
    found = _taken_apart(whole or data)
    own = {name: content for name, content in found.files.items() if _OWN.fullmatch(name)}
    others = [name for name in found.files if name not in own]
    told = [_cut_off(found.files)] if whole else []
    told += [_damaged(found.damaged)] if found.damaged else []
    told += [_stays(others)] if others else []
    told += [_added(found.litter)] if found.litter else []
    return own, told + _told(own)


def _cut_off(names):
    """A sentence about a backup that lacks its end: what of it is whole."""
    verb = "is" if len(names) == 1 else "are"
    return f"The end of this backup is cut off. Whole in it {verb} {_three(list(names))}; all that came after is gone."


_HEAD = struct.Struct("<4s5H3I2H")  # APPNOTE.TXT, PKWARE, 2022, section 4.3.7: the local file header


def _whole_part(data):
    """The files before the cut of a backup whose end is cut off, as a backup; b"" if no table is among them."""
    data, out, at, room, tables = bytes(data), io.BytesIO(), 0, LARGEST_BACKUP_MB * _MB, 0
    with zipfile.ZipFile(out, "w") as book:
        while len(data) >= at + _HEAD.size:
            mark, _, flags, method, _, _, check, packed, size, named, more = _HEAD.unpack_from(data, at)
            begin = at + _HEAD.size + named + more
            if mark != b"PK\3\4" or flags & 9 or begin + packed > len(data) or size > room:
                break
            name = data[at + _HEAD.size :][:named].decode("utf-8", "replace")
            at, room, content = begin + packed, room - size, data[begin : begin + packed]
            try:
                content = zlib.decompressobj(-15).decompress(content, size + 1) if method else content
            except zlib.error:
                break
            if len(content) != size or zlib.crc32(content) != check:
                break
            tables += _TABLES.fullmatch(name) is not None
            if name != _MARK:
                book.writestr(name, content)
        book.writestr(_MARK, _MARKED)
    return out.getvalue() if tables else b""


def _damaged(names):
    """A sentence about files that a backup holds and that cannot be read out of it."""
    verb = "is damaged in it and does" if len(names) == 1 else "are damaged in it and do"
    return f"{_three(names)} {verb} not come back; what you have of that name stays as it is."


def _added(names):
    """A sentence about what a Mac or Windows puts into a zip, or what lies beside the backup in it."""
    return f"{_three(names)} {'is' if len(names) == 1 else 'are'} no part of the backup, left out."


def _three(names):
    """The first three names, and how many more."""
    return ", ".join(names[:3]) + (f" and {len(names) - 3:,} more" if len(names) > 3 else "")


def _stays(names):
    """A sentence about files that are in a backup and are not put back."""
    shown = _three(names)
    if len(names) == 1:
        return f"{shown} is not the book's, left out: to get it, open the zip yourself and copy it out."
    return f"{shown} are not the book's, left out: to get them, open the zip yourself and copy them out."


def unpacked(data: bytes) -> dict[str, bytes]:
    """Return the files of a backup that can be read, name to content.

    A zip that was unpacked and made anew serves too: one folder around everything is looked through, and what a Mac
    or Windows adds by itself is passed over.

    Parameters
    ----------
    data : bytes

    Raises
    ------
    SaveError
        It is no backup of this book: no zip, damaged, too large, or with names that lead out of the folder.

    Examples
    --------
    >>> unpacked(b"a letter")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    woodcalc.disk.SaveError: Nothing was put back: the file cannot be read as a backup ...
    """
    return _taken_apart(data).files


@dataclass(frozen=True)
class _Apart:
    """What lies in a backup: files by name, the names of damaged ones, and what is no part of it."""

    files: dict[str, bytes]
    damaged: list[str]
    litter: list[str]


_LITTER = re.compile(
    r"(.*/)?(__MACOSX/.*|\.DS_Store|\._[^/]*|Thumbs\.db|desktop\.ini)", re.IGNORECASE | re.DOTALL
)
_BAD_ZIP = (zipfile.BadZipFile, EOFError, NotImplementedError, RuntimeError, ValueError, zlib.error)


def _in_words(error):
    """What is wrong with a zip file, for whoever chose it."""
    if "not a zip" in str(error):
        return "it is no zip file"
    if isinstance(error, RuntimeError) and "password" in str(error):
        return "it is locked with a password"
    if isinstance(error, NotImplementedError):
        return "it is packed in a way that the book does not know"
    return "it is damaged"


def _taken_apart(data):
    def no(why):
        return SaveError(
            f"Nothing was put back: {why}. Expected the zip file that this book made as a backup."
        )

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as book:
            there = [m for m in book.infolist() if not m.is_dir()]
            members = [m for m in there if not _LITTER.fullmatch(m.filename)]
            if not members:
                raise no("the file holds nothing")
            around = _around(m.filename for m in members)
            inside = [(m.filename.removeprefix(around), m) for m in members if m.filename.startswith(around)]
            litter = [m.filename for m in there if m not in members or not m.filename.startswith(around)]
            marks = [m for name, m in inside if name == _MARK]
            kept = [(name, m) for name, m in inside if name not in (_UNREAD, _MARK)]
            if not kept:
                raise no("the file holds nothing")
            if len(kept) > MOST_FILES or sum(m.file_size for _, m in kept) > LARGEST_BACKUP_MB * _MB:
                raise no("the file is too large")
            if len({name.casefold() for name, _ in kept}) < len(kept):
                raise no("two files in it have one name")
            for name, m in kept:
                if not _safe(name) or stat.S_ISLNK(m.external_attr >> 16):
                    raise no(f"{name[:80]!r} in it does not belong into a folder of records")
            if not marks or marks[0].file_size > 1000:
                raise no("it is a zip file of something else")
            files, damaged, why = {}, [], ""
            for name, m in kept:
                try:
                    with book.open(m) as file:
                        content = file.read(m.file_size + 1)
                except _BAD_ZIP as error:
                    damaged.append(name)
                    why = f"the file cannot be read as a backup ({_in_words(error)})"
                    continue
                if len(content) == m.file_size:
                    files[name] = content
                else:
                    damaged.append(name)
                    why = f"{name} in it is damaged"
            if not files:
                raise no(why)
            return _Apart(files, damaged, litter)
    except _BAD_ZIP as error:
        raise no(f"the file cannot be read as a backup ({_in_words(error)})") from error


def _around(names):
    """The folder around the backup's mark, with its slash: "" in a zip as the book made it."""
    marks = [name for name in names if name == _MARK or name.endswith(f"/{_MARK}")]
    return min(marks, key=len).removesuffix(_MARK) if marks else ""


def _safe(name):
    """True for a name that stays inside the folder, on any system, and is none of the book's hidden files."""
    parts = PurePosixPath(name).parts
    odd = re.search(r'[\\:*?"<>|\x00-\x1f]', name)
    dots = any(p.startswith(".") or p != p.rstrip(". ") for p in parts)
    reserved = any(re.fullmatch(r"(con|prn|aux|nul|com\d|lpt\d)", p.split(".")[0], re.I) for p in parts)
    long = len(name) > 200 or len(parts) > 6
    return not (name.startswith("/") or odd or dots or reserved or long or HISTORY in parts)


def _told(files):
    """Sentences about tables among `files` that cannot be read in full."""

    told = []
    for name, data in files.items():
        table = name.lower().removesuffix(".csv")
        if table in TABLES and name.lower().endswith(".csv"):
            try:
                problems = Sheet.parse(data, name, table).rows()[1]
            except RecordsError as error:
                problems = list(error.problems)
            told += [str(p) for p in problems]
    return told
