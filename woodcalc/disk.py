"""The disk: what it says when it does not take a file, and the right to change one, held by one program at a time.

The starter of the book needs this before any library is there: nothing else is imported here.
"""

from __future__ import annotations

import contextlib
import errno
import os
import re
import socket
import time
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
STILL = " What was in the file before is still there."
_NO_LOCKS = "the file system has no locks"
_UNLOCKABLE = {errno.ENOLCK, errno.EOPNOTSUPP, errno.ENOTSUP, errno.ENOSYS, errno.EINVAL}
STALE_S = (
    60.0  # a save takes a moment: a lock file of this age is a dead program's, unless that is known to live
)
_seen: set[str] = (
    set()
)  # folders that were there: one that is gone later was moved away, and is not made anew


def short_path(path: str | Path) -> str:
    """Return a file's folder and name: what a learner knows it by, and no more.

    Parameters
    ----------
    path : path

    Examples
    --------
    >>> short_path("/home/ada/lumber/my-wood/readings.csv")
    'my-wood/readings.csv'
    """
    path = Path(path)
    return "/".join(part for part in (path.parent.name, path.name) if part) or str(path)


def in_words(error: BaseException) -> str:
    """Return what went wrong, for a learner: our own words, or what the computer says of a file.

    Parameters
    ----------
    error : Exception

    Returns
    -------
    str

    Examples
    --------
    >>> in_words(ValueError("length_ft = 900: expected 1 to 60 ft."))
    'length_ft = 900: expected 1 to 60 ft.'
    >>> in_words(PermissionError(13, "Permission denied", "my-wood/logs.csv"))
    'my-wood/logs.csv cannot be used (permission denied).'
    """
    if isinstance(error, OSError) and error.errno:
        name = error.filename
        what = short_path(name) if isinstance(name, (str, Path)) and name else "a file"
        return f"{what} cannot be used ({(error.strerror or 'unknown trouble').lower()})."
    if isinstance(error, (ValueError, OSError)):
        return plainly(str(error))
    if evalue := getattr(error, "evalue", ""):  # of a lesson that was run: without the long way there
        return f"{getattr(error, 'ename', '')}: {evalue}"
    return f"{type(error).__name__}: {error}"


# The columns of a learner's tables go by these names there, and so here.
COLUMNS = (
    *("small_in", "large_in", "length_ft", "trim_in", "sweep_in", "defect_pct", "thickness_in", "width_in"),
    *(
        "small_across_in",
        "large_across_in",
        "butt_flare_in",
        "bark_thick_in",
        "bow_clock",
        "worst_clock",
        "crack_clock",
    ),
    "metal_check",
    *("board_feet", "height_in", "pith_in", "ring_angle_deg", "start_mc_pct", "width_ft", "temp_f"),
)
_NAME = re.compile(r"\b[a-z][a-z0-9]*(?:_[a-z0-9]+)+(?= =| outside\b|: expected)")
_UNITS = re.compile(r"(_per)?_(in|ft|ft2|ft3|pct|bf|lb|f|psi|w|usd|r|deg|g|kwh|hour|day|days|min|h|lb)$")
_SPOKEN = {"mc": "moisture", "rh": "humidity", "moe": "stiffness"}


def plainly(text: str) -> str:
    """Return a message with the names that the calculators give their numbers in words.

    Parameters
    ----------
    text : str

    Examples
    --------
    >>> plainly("volume_ft3 = 5000: expected 0 to 2000 ft3."), plainly("small_in = 900: expected 1 to 80 in.")
    ('volume = 5000: expected 0 to 2000 ft3.', 'small_in = 900: expected 1 to 80 in.')
    >>> plainly("mc_start_pct = 250: expected 6 to 200 %.")
    'moisture at the start = 250: expected 6 to 200 %.'
    """

    def spoken(match: re.Match[str]) -> str:
        name = match[0]
        if name in COLUMNS:
            return name
        while (short := _UNITS.sub("", name)) != name:
            name = short
        if name.endswith("_start"):
            name = f"{name.removesuffix('_start')}_at_the_start"
        return " ".join(_SPOKEN.get(word, word) for word in name.split("_"))

    return _NAME.sub(spoken, text)


class SaveError(OSError):
    """The file was not saved; the message says why, and that what was there before is still there."""


class ChangedError(SaveError):
    """The file on disk is no longer the one that was read; nothing was written."""


class HistoryWarning(UserWarning):
    """The file was saved; only the copy for its history could not be kept."""


def why_of(error: BaseException) -> str:
    """Return what went wrong, and what to do, in plain words.

    Parameters
    ----------
    error : Exception
        What the disk answered.

    Examples
    --------
    >>> why_of(OSError(errno.ENOSPC, "No space left on device"))
    'the disk is full. Make room, then save again'
    """
    number = getattr(error, "errno", None)
    if number in FULL:
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


def not_saved(path: str | Path, error: BaseException) -> SaveError:
    """Return the `SaveError` that says why a file was not saved, to be raised by the caller.

    Parameters
    ----------
    path : path
        What was to be written.
    error : Exception
        What the disk answered.

    Examples
    --------
    >>> print(not_saved("my-wood/logs.csv", OSError(errno.EROFS, "read-only")))
    my-wood/logs.csv was not saved: the disk is read-only. Copy the folder to a disk that may be written, and open the
    lessons there. What was in the file before is still there.
    """
    still = "" if isinstance(error, (FileNotFoundError, NotADirectoryError, FileExistsError)) else STILL
    return SaveError(f"{short_path(path)} was not saved: {why_of(error)}.{still}")


def remember(folder: str | Path) -> None:
    """Note that a folder is there. Should it be gone at a later save, that is said; no empty one takes its place.

    Parameters
    ----------
    folder : path

    Examples
    --------
    >>> remember(Path.cwd())
    """
    _seen.add(os.path.abspath(folder))


@contextlib.contextmanager
def locked(path: str | Path, wait_s: float = 10.0) -> Iterator[BinaryIO]:
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

    Yields
    ------
    file
        Who has it open has the lock.

    Raises
    ------
    SaveError
        The folder is gone or cannot be written, or another program kept the lock.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder, locked(Path(folder) / "logs.csv"):
    ...     [path.name for path in Path(folder).iterdir()]
    ['.logs.csv.lock']
    """
    path = Path(path)
    try:
        target = real(path)
        folder = os.path.abspath(target.parent)
        if folder in _seen and not os.path.isdir(folder):
            raise FileNotFoundError(errno.ENOENT, "gone", folder)
        target.parent.mkdir(parents=True, exist_ok=True)
        remember(folder)
        lock = target.with_name(f".{target.name}.lock")
        handle = lock.open("a+b")
    except OSError as error:
        raise not_saved(path, error) from error
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
            raise not_saved(path, error) from error
        try:
            yield handle  # closing it gives the lock back
        finally:
            if taken is _NO_LOCKS:
                with contextlib.suppress(OSError):
                    token.unlink()


def _wait(path: Path, end: float, wait_s: float) -> None:
    if time.monotonic() > end:
        raise SaveError(
            f"{short_path(path)} was not saved: another program has been writing it for "
            f"{wait_s:.0f} seconds. Nothing in the file was changed. Try again."
        )
    time.sleep(0.02)


def real(path: Path) -> Path:
    """Return the file that a link stands for.

    Parameters
    ----------
    path : path

    Examples
    --------
    >>> real(Path("lessons") / ".." / "data").name
    'data'
    """
    try:
        return path.resolve()
    except RuntimeError as error:  # links in a circle
        raise OSError(errno.ELOOP, "links that lead in a circle") from error


if os.name == "nt":  # pragma: no cover - only on Windows
    import msvcrt

    def _take(handle: BinaryIO) -> object:
        try:
            handle.seek(0)
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        except OSError as error:
            return _refused(error)
        return True
else:
    import fcntl

    def _take(handle: BinaryIO) -> object:
        """True if the lock is ours, None if another program has it, `_NO_LOCKS` where there are none."""
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as error:
            return _refused(error)
        return True


def _refused(error: OSError) -> object:
    """What a refused lock means: None if another program has it, `_NO_LOCKS`; a disk that fails is raised."""
    if error.errno in _UNLOCKABLE:
        return _NO_LOCKS
    if error.errno in (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES, errno.EDEADLK, errno.EINTR):
        return None
    raise error


def _take_file(token: Path) -> bool:
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


def _clear_stale(token: Path) -> None:
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


def _stale(token: Path) -> bool:
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
