"""What a disk that does not take a file says, in plain words."""

import errno

from woodcalc.checks import short_path

FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
STILL = " What was in the file before is still there."


class SaveError(OSError):
    """The file was not saved; the message says why, and that what was there before is still there."""


class ChangedError(SaveError):
    """The file on disk is no longer the one that was read; nothing was written."""


class HistoryWarning(UserWarning):
    """The file was saved; only the copy for its history could not be kept."""


def why_of(error):
    """What went wrong, and what to do, in plain words."""
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


def not_saved(path, error):
    still = "" if isinstance(error, (FileNotFoundError, NotADirectoryError, FileExistsError)) else STILL
    return SaveError(f"{short_path(path)} was not saved: {why_of(error)}.{still}")
