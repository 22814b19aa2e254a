"""Save a small file so that nothing entered before is lost, whatever happens during the save."""

import contextlib
import hashlib
import os
import stat
import time
from pathlib import Path


class SaveError(OSError):
    """The file was not saved; the message says why, and that what was there before is still there."""


class ChangedError(SaveError):
    """The file on disk is no longer the one that was read; nothing was written."""


def fingerprint(data):
    """Return a short text that changes when `data` (bytes) changes.

    Examples
    --------
    >>> fingerprint(b"log,species") == fingerprint(b"log;species")
    False
    """
    return hashlib.sha256(data).hexdigest()[:16]


def last_version(path):
    """Return the path where `save` keeps the version before the present one.

    Examples
    --------
    >>> last_version("logs.csv").name
    'logs.last.csv'
    """
    path = Path(path)
    return path.with_name(f"{path.stem}.last{path.suffix}")


@contextlib.contextmanager
def locked(path, wait_s=10.0):
    """Hold the right to change `path`; a second program waits, and the lock of one that died is gone.

    The lock lies on a small hidden file beside `path`. The operating system holds it, so it ends with the
    program that took it.

    Parameters
    ----------
    path : path
        The file to be changed; its folder is made if need be.
    wait_s : float
        How long to wait for another program, in seconds.

    Raises
    ------
    SaveError
        The folder cannot be written, or another program kept the lock.
    """
    path = Path(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = open(path.with_name(f".{path.name}.lock"), "a+b")  # noqa: SIM115
    except OSError as error:
        raise _not_saved(path, error) from error
    with handle:
        end = time.monotonic() + wait_s
        while not _take(handle):
            if time.monotonic() > end:
                raise SaveError(
                    f"{path.name} was not saved: another program has been writing it for "
                    f"{wait_s:.0f} seconds. Nothing in the file was changed. Try again."
                )
            time.sleep(0.02)
        yield  # closing the handle gives the lock back


def save(path, data):
    """Put `data` in the place of `path` in one step; keep what was there as `last_version(path)`.

    The new content goes to a hidden file beside it, is forced to the disk, and takes the name in one rename:
    at every moment `path` holds either the whole old or the whole new content. Hold `locked(path)` around it.

    Parameters
    ----------
    path : path
        The file.
    data : bytes
        Its new content.

    Returns
    -------
    str
        The fingerprint of the new content.

    Raises
    ------
    SaveError
        Full disk, read-only file or folder, file held open by another program. The old file is whole.
    """
    path = Path(path)
    target = path.resolve()  # a link keeps being a link
    try:
        old = target.read_bytes() if target.exists() else None
        if old is not None and not target.stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
            raise PermissionError("read-only")
        if old == data:
            return fingerprint(data)
        if old is not None:
            _replace(last_version(target), old)
        _replace(target, data)
    except OSError as error:
        raise _not_saved(path, error) from error
    return fingerprint(data)


def _replace(target, data):
    temporary = target.with_name(f".{target.name}.new")  # one name only, so that a crash leaves no litter
    try:
        with open(temporary, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            os.chmod(temporary, stat.S_IMODE(target.stat().st_mode))
        os.replace(temporary, target)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise
    if os.name == "posix":  # the rename itself must reach the disk too
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _not_saved(path, error):
    import errno

    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        why = "the disk is full. Make room, then save again"
    elif isinstance(error, PermissionError):
        why = "it may not be written. Marked read-only, or open in a spreadsheet? Allow it, then save again"
    else:
        why = f"{error.strerror or error}"
    return SaveError(f"{Path(path).name} was not saved: {why}. What was in the file before is still there.")


if os.name == "nt":  # pragma: no cover - only on Windows
    import msvcrt

    def _take(handle):
        try:
            handle.seek(0)
            msvcrt.locking(handle.fileno(), msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
else:
    import fcntl

    def _take(handle):
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True
