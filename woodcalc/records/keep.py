"""Save a small file so that nothing entered before is lost, whatever happens during the save; keep its history."""

import contextlib
import errno
import hashlib
import io
import os
import re
import socket
import stat
import time
import warnings
import zipfile
import zlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath

from woodcalc.checks import short_path

HISTORY = "history"  # folder of dated copies, beside the file
KEPT_ALL = 30  # newest copies of a file that are all kept
KEPT_FULL = 3  # ... and on a full disk
KEPT_DAYS = 30  # of the older ones, the last of each day, so many days back
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
_MB = 1_000_000
LARGEST_FILE_MB, LARGEST_BACKUP_MB, MOST_FILES = 20, 20, 2000  # in a backup, unpacked
_UNREAD = "not in this backup.txt"
_MARK, _MARKED = "woodcalc-backup.txt", b"A backup of the records, choices and answers of one's own wood.\n"
_OWN = re.compile(  # what the book writes into a learner's folder
    r"(logs|boards|stacks|readings|answers)\.csv|(choices|written)\.json|class-answers/[^/]+\.csv"
    r"|(plan|class)/[^/]+\.(html|pdf|csv)|[^/]+\.(html|pdf)",
    re.IGNORECASE,
)


class SaveError(OSError):
    """The file was not saved; the message says why, and that what was there before is still there."""


class ChangedError(SaveError):
    """The file on disk is no longer the one that was read; nothing was written."""


class HistoryWarning(UserWarning):
    """The file was saved; only the copy for its history could not be kept."""


def fingerprint(data):
    """Return a short text that changes when `data` (bytes) changes.

    Examples
    --------
    >>> fingerprint(b"log,species") == fingerprint(b"log;species")
    False
    """
    return hashlib.sha256(data).hexdigest()[:16]


_seen = set()  # folders that were there: one that is gone later was moved away, and is not made anew


def remember(folder):
    """Note that a folder is there. Should it be gone at a later save, that is said; no empty one takes its place."""
    _seen.add(os.path.abspath(folder))


@contextlib.contextmanager
def locked(path, wait_s=10.0):
    """Hold the right to change `path`; a second program waits, and the lock of one that died is gone.

    The operating system holds the lock, on a small hidden file beside `path`, so it ends with the program that took
    it. Where the file system has no such locks (some network drives), a second hidden file stands for it; one that a
    dead program left is cleared away.

    Parameters
    ----------
    path : path
        The file to be changed; its folder is made if need be.
    wait_s : float
        How long to wait for another program, in seconds.

    Raises
    ------
    SaveError
        The folder is gone or cannot be written, or another program kept the lock.
    """
    path = Path(path)
    try:
        target = _real(path)
        folder = os.path.abspath(target.parent)
        if folder in _seen and not os.path.isdir(folder):
            raise FileNotFoundError(errno.ENOENT, "gone", folder)
        target.parent.mkdir(parents=True, exist_ok=True)
        remember(folder)
        lock = target.with_name(f".{target.name}.lock")
        handle = open(lock, "a+b")  # noqa: SIM115
    except OSError as error:
        raise _not_saved(path, error) from error
    with handle:
        end = time.monotonic() + wait_s
        try:
            while not (taken := _take(handle)):
                _wait(path, end, wait_s)
            if taken is _NO_LOCKS:
                token = lock.with_name(f"{lock.name}ed")
                while not _take_file(token):
                    _wait(path, end, wait_s)
        except SaveError:
            raise
        except OSError as error:
            raise _not_saved(path, error) from error
        try:
            yield  # closing the handle gives the lock back
        finally:
            if taken is _NO_LOCKS:
                with contextlib.suppress(OSError):
                    token.unlink()


def _wait(path, end, wait_s):
    if time.monotonic() > end:
        raise SaveError(
            f"{short_path(path)} was not saved: another program has been writing it for "
            f"{wait_s:.0f} seconds. Nothing in the file was changed. Try again."
        )
    time.sleep(0.02)


def save(path, data, history=True):
    """Put `data` in the place of `path` in one step; each version is kept in the folder `history` beside it.

    First the new content is written to a hidden file and forced to the disk; then what was there is copied to
    `history`, if it is not there yet; then the new content takes the name in one rename; then it is copied to
    `history`, too. At every moment `path` holds either the whole old or the whole new content. If the history cannot
    be written (a full disk, a file in the way), the new content is saved all the same, and a `HistoryWarning` says so.
    Hold `locked(path)` around it.

    Of each file the newest 30 versions are kept, and of the older ones the last of each of 30 days. On a full disk all
    but the newest three make room, before a save is given up.

    Parameters
    ----------
    path : path
        The file.
    data : bytes
        Its new content.
    history : bool
        False for what can be made again at any time, such as a printed page.

    Returns
    -------
    str
        The fingerprint of the new content.

    Raises
    ------
    SaveError
        Full disk, read-only file or folder, file held open by another program. The old file is whole.

    Warns
    -----
    HistoryWarning
        Saved, but its version could not be kept.
    """
    path = Path(path)
    try:
        target = _real(path)  # a link keeps being a link
        old = target.read_bytes() if target.exists() else None
        if old is not None and not target.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
            raise PermissionError("read-only")
        if old == data:
            return fingerprint(data)
        try:
            trouble = _put(target, old, data, history)
        except OSError as error:
            if error.errno not in _FULL or not history or not _make_room(target):
                raise
            trouble = _put(target, old, data, history)
    except OSError as error:
        raise _not_saved(path, error) from error
    if history:
        # kept now, not at the next save: another program may write into the file itself before that
        trouble = _keep_version(target, data) or trouble
        _thin(target)
    if trouble is not None:
        warnings.warn(
            f"{path.name} is saved. Its version could not be kept in {HISTORY}: {_why(trouble)}.",
            HistoryWarning,
            stacklevel=2,
        )
    return fingerprint(data)


def _put(target, old, data, history):
    """Put the new content in the place of the old; return what kept the old one out of the history, or None."""
    trouble = None
    with _written(target, data) as put:
        if old is not None and history:
            trouble = _keep_version(target, old)
        put()
    return trouble


@contextlib.contextmanager
def _written(target, data, name="", sync=True):
    """Have `data` on the disk under a hidden name; what is given back puts it in the place of `target`."""
    # one name only, so that a crash leaves no litter
    temporary = target.with_name(f".{name or target.name}.new")

    def put():
        os.replace(temporary, target)
        if sync:
            _sync_folder(target.parent)

    try:
        with open(temporary, "wb") as file:
            file.write(data)
            file.flush()
            if sync:
                _sync(file.fileno())
        if target.exists():
            os.chmod(temporary, stat.S_IMODE(target.stat().st_mode))
        yield put
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink()


def _sync(number):
    try:
        os.fsync(number)
    except OSError as error:  # some network drives cannot: the system writes it when it will
        if error.errno not in (errno.EINVAL, errno.ENOSYS, errno.ENOTSUP):
            raise


def _sync_folder(folder):
    """The rename itself must reach the disk too; where a folder cannot be forced to it, the system does so later."""
    if os.name == "posix":
        with contextlib.suppress(OSError):
            number = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(number)
            finally:
                os.close(number)


def _real(path):
    """The file that a link stands for."""
    try:
        return path.resolve()
    except RuntimeError as error:  # links in a circle
        raise OSError(errno.ELOOP, "links that lead in a circle") from error


@dataclass(frozen=True)
class Version:
    """An earlier content of a file.

    Attributes
    ----------
    path : Path
        Where it lies.
    when : datetime
        When it was saved, by this computer's clock.
    """

    path: Path
    when: datetime
    number: int

    def __str__(self):
        return f"{self.when.day} {self.when:%B %Y, %H:%M}"


def versions(path):
    """Return the earlier versions of a file that are kept, newest first.

    Parameters
    ----------
    path : path
        The file; it need not be there any more.

    Returns
    -------
    list of Version

    Examples
    --------
    >>> import tempfile
    >>> logs = Path(tempfile.mkdtemp()) / "logs.csv"
    >>> for text in (b"one", b"two", b"three"):
    ...     with locked(logs):
    ...         _ = save(logs, text)
    >>> [version.path.read_bytes() for version in versions(logs)]
    [b'two', b'one']
    >>> restore_version(logs, versions(logs)[0])
    >>> logs.read_bytes(), versions(logs)[0].path.read_bytes()
    (b'two', b'three')
    """
    try:
        target = _real(Path(path))
        found = _versions(target)
        if found and target.is_file() and found[0].path.read_bytes() == target.read_bytes():
            return found[1:]  # what it holds now
        return found
    except OSError:
        return []


def restore_version(path, version):
    """Put an earlier version back; what is there now goes to the history, so that this can be undone, too.

    Parameters
    ----------
    path : path
        The file.
    version : Version
        One of `versions(path)`.

    Raises
    ------
    SaveError
        The version is gone, or as in `save`.
    """
    path = Path(path)
    with locked(path):
        if version.path not in [known.path for known in _versions(_real(path))]:
            raise SaveError(
                f"{path.name} was not changed: the version of {version} is no longer in {HISTORY}."
            )
        try:
            data = version.path.read_bytes()
        except OSError as error:
            raise SaveError(
                f"{path.name} was not changed: the version of {version} cannot be read ({_why(error)})."
            ) from error
        save(path, data)


def _versions(target):
    """The copies of a file in its history, newest first; the number in the name tells, as a clock may be set back."""
    name = re.compile(
        rf"{re.escape(target.stem)}\.(\d{{6,}})\.(\d{{4}}-\d\d-\d\dT\d{{6}}){re.escape(target.suffix)}"
    )
    found = []
    try:
        for entry in os.scandir(target.with_name(HISTORY)):
            if m := name.fullmatch(entry.name):
                with contextlib.suppress(ValueError, OSError):  # a day that is none: not one of ours
                    when = datetime.strptime(m[2], "%Y-%m-%dT%H%M%S")
                    if entry.stat().st_size:  # a copy that a power cut left empty
                        found.append(Version(Path(entry.path), when, int(m[1])))
    except (FileNotFoundError, NotADirectoryError):
        return []
    return sorted(found, key=lambda v: v.number, reverse=True)


def _keep_version(target, content):
    """Keep what `target` holds in its history, unless its newest version is that; return what went wrong, or None."""
    folder = target.with_name(HISTORY)
    try:
        folder.mkdir(exist_ok=True)
        kept = _versions(target)
        if kept and kept[0].path.read_bytes() == content:
            return None
        when = datetime.fromtimestamp(target.stat().st_mtime)
        number = kept[0].number + 1 if kept else 1
        copy = folder / f"{target.stem}.{number:06}.{when:%Y-%m-%dT%H%M%S}{target.suffix}"
        with _written(copy, content, target.name, sync=False) as put:
            put()
    except (OSError, ValueError, OverflowError) as error:
        return error
    return None


def _thin(target):
    """Take the surplus out of the history of one file."""
    with contextlib.suppress(OSError):
        kept = _versions(target)
        days = {}
        for version in kept[KEPT_ALL:]:
            days.setdefault(version.when.date(), version)  # the last of that day
        stay = {v.path for v in kept[:KEPT_ALL]} | {v.path for v in list(days.values())[:KEPT_DAYS]}
        for version in kept:
            if version.path not in stay:
                version.path.unlink()


def _make_room(target):
    """On a full disk the older versions of a file make room for its newest content; return True if any did."""
    surplus = _versions(target)[KEPT_FULL:]
    for version in surplus:
        with contextlib.suppress(OSError):
            version.path.unlink()
    return bool(surplus)


def backup(folder):
    """Return a learner's folder as one zip file: everything in it but locks and history.

    Parameters
    ----------
    folder : path

    Returns
    -------
    bytes
        A file that could not be read is named in the zip, in ``not in this backup.txt``.

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
    out, left, total = io.BytesIO(), [], 0
    files = _own_files(folder, left)
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as book:
        for name, path in files:
            try:
                size = path.stat().st_size
                if size > LARGEST_FILE_MB * _MB or total + size > LARGEST_BACKUP_MB * _MB:
                    left.append(f"{name}: {size / _MB:.0f} MB, too large")
                    continue
                data = path.read_bytes()
            except OSError as error:
                left.append(f"{name}: {_why(error)}")
                continue
            total += len(data)
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
    found, names = [], set()
    for at, folders, files in os.walk(folder, onerror=lambda e: left.append(f"{e.filename}: {_why(e)}")):
        folders[:] = sorted(d for d in folders if d != HISTORY and not d.startswith((".", "__")))
        for file in sorted(files):
            path = Path(at) / file
            name = path.relative_to(folder).as_posix()
            if file.startswith(".") or name in (_UNREAD, _MARK) or not path.is_file():
                continue
            if not _safe(name) or name.casefold() in names or len(found) == MOST_FILES:
                left.append(
                    f"{name}: its name does not serve in a backup, or there are more than {MOST_FILES} files"
                )
                continue
            names.add(name.casefold())
            found.append((name, path))
    return found


def _zip_time(path):
    """The time of a file as a zip can hold it: 1980 to 2107."""
    when = time.localtime(path.stat().st_mtime)[:6]
    return when if 1980 <= when[0] <= 2107 else (1980, 1, 1, 0, 0, 0)


@dataclass(frozen=True)
class Restored:
    """What `restore` did.

    Attributes
    ----------
    files : dict
        File name to ``"new"``, ``"put back"`` (what was there is in the history) or ``"same"``.
    told : tuple of str
        Sentences about tables in the backup that cannot be read in full, and about files that were left out.
    """

    files: dict
    told: tuple = ()


def restore(folder, data):
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
    done = {}
    for name, content in files.items():
        path = folder / name
        try:
            there = path.read_bytes() if path.exists() else None
            with locked(path):
                save(path, content)
        except OSError as error:
            back = ", ".join(done) or "No file"
            why = error if isinstance(error, SaveError) else _not_saved(path, error)
            raise SaveError(f"{back} {'is' if len(done) < 2 else 'are'} back. {why}") from error
        done[name] = "new" if there is None else "same" if there == content else "put back"
    return Restored(done, tuple(told))


def looked_through(data):
    """Return (the book's own files in a backup, sentences about what is left out or cannot be read in full).

    Parameters
    ----------
    data : bytes

    Raises
    ------
    SaveError
        As in `unpacked`.
    """
    files = unpacked(data)
    own = {name: content for name, content in files.items() if _OWN.fullmatch(name)}
    told = [f"{name} is not the book's, left out" for name in files if name not in own]
    return own, told + _told(own)


def unpacked(data):
    """Return the files of a backup, name to content.

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
    woodcalc.records.keep.SaveError: Nothing was put back: the file cannot be read as a backup (File is not a zip file). ...
    """

    def no(why):
        return SaveError(
            f"Nothing was put back: {why}. Expected the zip file that this book made as a backup."
        )

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as book:
            members = [m for m in book.infolist() if not m.is_dir() and m.filename not in (_UNREAD, _MARK)]
            names = [m.filename for m in members]
            if not members:
                raise no("the file holds nothing")
            if len(members) > MOST_FILES or sum(m.file_size for m in members) > LARGEST_BACKUP_MB * _MB:
                raise no("the file is too large")
            if len({n.casefold() for n in names}) < len(names):
                raise no("two files in it have one name")
            for m in members:
                if not _safe(m.filename) or stat.S_ISLNK(m.external_attr >> 16):
                    raise no(f"{m.filename[:80]!r} in it does not belong into a folder of records")
                if m.file_size > LARGEST_FILE_MB * _MB:
                    raise no(f"{m.filename} in it is too large")
            if _MARK not in book.namelist() or book.getinfo(_MARK).file_size > 1000:
                raise no("it is a zip file of something else")
            files = {}
            for m in members:
                with book.open(m) as file:
                    files[m.filename] = file.read(int(LARGEST_FILE_MB * _MB) + 1)
                if len(files[m.filename]) != m.file_size:
                    raise no(f"{m.filename} in it is damaged")
            return files
    except (zipfile.BadZipFile, EOFError, NotImplementedError, RuntimeError, ValueError, zlib.error) as error:
        raise no(f"the file cannot be read as a backup ({error})") from error


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
    from woodcalc.records.columns import TABLES, RecordsError
    from woodcalc.records.sheet import Sheet

    told = []
    for name, data in files.items():
        table = name.lower().removesuffix(".csv")
        if table in TABLES and name.lower().endswith(".csv"):
            try:
                problems = Sheet.parse(data, name, table).rows()[1]
            except RecordsError as error:
                problems = error.problems
            told += [str(p) for p in problems]
    return told


def _why(error):
    """What went wrong, and what to do, in plain words."""
    number = getattr(error, "errno", None)
    if number in _FULL:
        return "the disk is full. Make room, then save again"
    if number == errno.EROFS:
        return (
            "the disk is read-only. Copy the folder to a disk that may be written, and open the lessons there"
        )
    if isinstance(error, PermissionError):
        return "it may not be written. Marked read-only, or open in a spreadsheet? Allow it, then save again"
    if isinstance(error, (FileExistsError, NotADirectoryError)):
        return "a file stands where its folder should be. Rename that file, then save again"
    if isinstance(error, IsADirectoryError):
        return "a folder of that name stands in its place. Rename the folder, then save again"
    if isinstance(error, FileNotFoundError):
        return "its folder is gone. Was it moved or renamed? Put it back where it was, or start the lab again"
    if number in (errno.EIO, errno.ESTALE, errno.ENXIO, errno.ENODEV, errno.EHOSTDOWN, errno.ETIMEDOUT):
        return "the disk or the network drive does not answer. Is it still plugged in? Then save again"
    if number in (errno.ENAMETOOLONG, errno.ELOOP):
        return "the name of its folder is too long, or a link leads in a circle"
    return f"{getattr(error, 'strerror', None) or error}"


def _not_saved(path, error):
    still = "" if isinstance(error, (FileNotFoundError, NotADirectoryError, FileExistsError)) else _STILL
    return SaveError(f"{short_path(path)} was not saved: {_why(error)}.{still}")


_STILL = " What was in the file before is still there."
_NO_LOCKS = "the file system has no locks"
_UNLOCKABLE = {errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOTSUP, errno.ENOSYS, errno.EINVAL}
STALE_S = (
    60.0  # a save takes a moment: a lock file of this age is a dead program's, unless that is known to live
)


if os.name == "nt":  # pragma: no cover - only on Windows
    import msvcrt

    def _take(handle):
        try:
            handle.seek(0)
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError as error:
            return _refused(error)
        return True
else:
    import fcntl

    def _take(handle):
        """True if the lock is ours, None if another program has it, `_NO_LOCKS` where there are none."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            return _refused(error)
        return True


def _refused(error):
    """What a refused lock means: None if another program has it, `_NO_LOCKS`; a disk that fails is raised."""
    if error.errno in _UNLOCKABLE:
        return _NO_LOCKS
    if error.errno in (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK, errno.EINTR):
        return None
    raise error


def _take_file(token):
    """True if the file that stands for a lock could be made; one that a dead program left is cleared away first."""
    try:
        number = os.open(token, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except FileExistsError:
        _clear_stale(token)
        return False
    except PermissionError:  # Windows: the file is just being deleted
        if os.name == "nt":  # pragma: no cover
            return False
        raise
    with os.fdopen(number, "w", encoding="utf-8") as file:
        file.write(f"{os.getpid()} {socket.gethostname()}")
    return True


def _clear_stale(token):
    """Take a dead program's lock file away. Only who holds a second such file may, so that no live one is taken."""
    if not _stale(token):
        return
    sweeper = token.with_name(f"{token.name}.sweep")
    try:
        os.close(os.open(sweeper, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except FileExistsError:
        with contextlib.suppress(OSError):
            if (
                token.with_name(token.name.removesuffix("ed")).stat().st_mtime - sweeper.stat().st_mtime
                > STALE_S
            ):
                sweeper.unlink()
        return
    try:
        if _stale(token):
            token.unlink()
    except FileNotFoundError:
        pass
    finally:
        with contextlib.suppress(OSError):
            sweeper.unlink()


def _stale(token):
    """True if the program that made a lock file is dead; if that cannot be told, if it is older than any save takes."""
    try:
        beside = token.with_name(token.name.removesuffix("ed"))
        os.utime(beside)  # the clock of a network drive need not be this computer's
        old = beside.stat().st_mtime - token.stat().st_mtime > STALE_S
        words = token.read_text(encoding="utf-8").split(maxsplit=1)
    except (OSError, ValueError):
        return False
    if os.name == "nt" or len(words) < 2 or words[1] != socket.gethostname() or not words[0].isdigit():
        return old
    try:
        os.kill(int(words[0]), 0)
    except ProcessLookupError:
        return True
    except OSError:
        return False
    return False
