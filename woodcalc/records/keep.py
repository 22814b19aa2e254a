"""Save a small file so that nothing entered before is lost, whatever happens during the save; keep its history."""

from __future__ import annotations

import contextlib
import errno
import functools
import glob
import hashlib
import os
import re
import stat
import warnings
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from woodcalc.disk import FULL, ChangedError, HistoryWarning, SaveError, locked, not_saved, real, why_of

HISTORY = "history"  # folder of dated copies, beside the file
KEPT_ALL = 30  # newest copies of a file that are all kept
KEPT_FULL = 3  # ... and on a full disk
KEPT_DAYS = 30  # of the older ones, the last of each day, so many days back


def fingerprint(data: bytes) -> str:
    """Return a short text that changes when `data` (bytes) changes.

    Examples
    --------
    >>> fingerprint(b"log,species") == fingerprint(b"log;species")
    False
    """
    return hashlib.sha256(data).hexdigest()[:16]


class MeanwhileError(ChangedError):
    """Another program wrote the file while the book worked out what to save; nothing was written."""


def save(path: str | Path, data: bytes, history: bool = True, read: bytes | None = None) -> str:
    """Put `data` in the place of `path` in one step; each version is kept in the folder `history` beside it.

    First the new content is written to a hidden file and forced to the disk; then what was there is copied to
    `history`, if it is not there yet; then the new content takes the name in one rename; then its copy, written before
    that, is named in `history`, too. At every moment `path` holds either the whole old or the whole new content. If the
    history cannot be written (a full disk, a file in the way), the new content is saved all the same, and a
    `HistoryWarning` says so. Hold `locked(path)` around it.

    Of each file the newest 30 versions are kept, and of the older ones the last of each of 30 days. On a full disk all
    but the newest three make room, before a save is given up. What another program wrote over, `overwritten`, stays.

    Parameters
    ----------
    path : path
        The file.
    data : bytes
        Its new content.
    history : bool
        False for what can be made again at any time, such as a printed page.
    read : bytes, optional
        What the file held when `data` was worked out from it; empty if it was not there. The locks keep the book's own
        programs apart, and no others.

    Returns
    -------
    str
        The fingerprint of the new content.

    Raises
    ------
    MeanwhileError
        The file holds something else than `read` by now.
    SaveError
        Full disk, read-only file or folder, file held open by another program. The old file is whole.

    Warns
    -----
    HistoryWarning
        Saved, but its version could not be kept.
    """
    path = Path(path)
    try:
        target = real(path)  # a link keeps being a link
        old = target.read_bytes() if target.exists() else None
        if old is not None and read_only(target):
            raise PermissionError("read-only")
        if read is not None and (old or b"") != read:
            raise _meanwhile(path)
        if old == data:
            return fingerprint(data)
        if history and _unkept(target):
            with contextlib.suppress(OSError):
                _keep_unkept(target)
        if history and _note_lost(target, old) in FULL and _make_room(target):
            _note_lost(target, old)
        try:
            trouble = _put(target, old, data, history, read)
        except OSError as error:
            if error.errno not in FULL or not history or not _make_room(target):
                raise
            trouble = _put(target, old, data, history, read)
        if history:
            _note_unkept(target, data, trouble, old)
    except ChangedError:
        raise
    except OSError as error:
        raise not_saved(path, error) from error
    if history:
        _thin(target)
    if trouble is not None:
        warnings.warn(
            f"{path.name} is saved. Its version could not be kept in {HISTORY}: {why_of(trouble)}.",
            HistoryWarning,
            stacklevel=2,
        )
    return fingerprint(data)


def read_only(path: str | Path) -> bool:
    """Return whether a file is there and may not be written; whether its folder may be is another question.

    Examples
    --------
    >>> read_only("no-such-file.csv")
    False
    """
    try:
        return not real(Path(path)).stat().st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH)
    except OSError:
        return False


def save_made(path: str | Path, text: str) -> Path:
    """Save a page or table that can be made again at any time: what was there before is not kept.

    Parameters
    ----------
    path : path
    text : str

    Returns
    -------
    Path

    Raises
    ------
    SaveError
        The file could not be written.
    """
    path = Path(path)
    with locked(path):
        save(path, text.encode("utf-8"), history=False)
    return path


def _meanwhile(path):
    return MeanwhileError(
        f"{path.name} was changed by another program during the save. Nothing was written. Look at the table again."
    )


def _put(target, old, data, history, read=None):
    """Put the new content in the place of the old; return what kept one of them out of the history, or None."""
    with _written(target, data) as put:
        if not history:
            put()
            return None
        there = []

        def once():
            if read is not None and content(target) != read:  # the last look: a rename takes no time
                raise _meanwhile(target)
            put()
            there.append(True)

        trouble = _keep_version(target, old) if old is not None else None
        # kept now, not at the next save: another program may write into the file itself before that
        trouble = _keep_version(target, data, once, made_from=old) or trouble
        if not there:
            once()
    return trouble


@contextlib.contextmanager
def _written(target, data, name="", sync=True):
    """Have `data` on the disk under a hidden name; what is given back puts it in the place of `target`."""
    temporary = target.with_name(_new_name(name or target.name))

    def put(to=target):
        os.replace(temporary, to)
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


def _new_name(name):
    """Under which a file is written; one name only, so that a crash leaves no litter."""
    return f".{name}.new"


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


@dataclass(frozen=True)
class Version:
    """An earlier content of a file.

    Attributes
    ----------
    path : Path
        Where it lies.
    when : datetime
        When it was saved, by this computer's clock.
    number : int
        Higher for each later one: a clock may be set back.
    held : str
        The fingerprint of what was saved; "" if its name does not tell.
    damaged : bool
        It holds something else by now.
    how : str
        How it came about: ``"from"`` what it was made from, by the book; by another program, which wrote it
        ``"over"`` that; by the book, when that was ``"gone"`` or what was written over it could not be kept.
    parent : str
        The fingerprint of that; "" if its name does not tell.
    """

    path: Path
    when: datetime
    number: int
    held: str = ""
    damaged: bool = False
    how: str = ""
    parent: str = ""

    def __str__(self):
        return f"{self.when.day} {self.when:%B %Y, %H:%M}"


def versions(path: str | Path) -> list[Version]:
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
        target = real(Path(path))
        found = _sound(_versions(target))
        if found and target.is_file() and _is_of(found[0], target.read_bytes()):
            return found[1:]  # what it holds now
        return found
    except OSError:
        return []


def damaged_versions(path: str | Path) -> list[Version]:
    """Return the copies in the history that hold something else than was saved, newest first: they are passed over.

    Parameters
    ----------
    path : path

    Examples
    --------
    >>> import tempfile
    >>> logs = Path(tempfile.mkdtemp()) / "logs.csv"
    >>> for text in (b"one", b"two", b"three"):
    ...     with locked(logs):
    ...         _ = save(logs, text)
    >>> _ = versions(logs)[0].path.write_bytes(b"tw")
    >>> [version.number for version in damaged_versions(logs)], [version.number for version in versions(logs)]
    ([2], [1])
    """
    try:
        return [v for v in _versions(real(Path(path))) if v.damaged]
    except OSError:
        return []


def restore_version(path: str | Path, version: Version, shown: str | None = None) -> None:
    """Put an earlier version back; what is there now goes to the history, so that this can be undone, too.

    Parameters
    ----------
    path : path
        The file.
    version : Version
        One of `versions(path)`.
    shown : str, optional
        The `fingerprint` of what the file held when somebody was told what would change; of ``b""`` if it was not
        there.

    Raises
    ------
    ChangedError
        The file holds something else by now than what was shown.
    SaveError
        The version is gone, or as in `save`.
    """
    path = Path(path)
    with locked(path):
        if shown is not None and fingerprint(content(path)) != shown:
            raise ChangedError(
                f"{path.name} was changed by another program since this page showed it. Nothing was put back."
            )
        there = {known.path: known for known in _versions(real(path))}
        if version.path in there and there[version.path].damaged:
            raise SaveError(
                f"{path.name} was not changed: the copy of {version} is damaged. Take the one before it."
            )
        if version.path not in there:
            raise SaveError(
                f"{path.name} was not changed: the version of {version} is no longer in {HISTORY}."
            )
        try:
            data = version.path.read_bytes()
        except OSError as error:
            raise SaveError(
                f"{path.name} was not changed: the version of {version} cannot be read ({why_of(error)})."
            ) from error
        save(path, data)


@dataclass(frozen=True)
class Overwritten:
    """A content that the book saved, and that something else wrote over.

    Attributes
    ----------
    before : Version
        What the book had saved.
    after : bytes or None
        What was written in its place; None if that is not known any more.
    when : datetime
        When that was written.
    now : bool
        It is what the file holds now.
    common : tuple of Version
        What both came from, where two computers saved without knowing of each other.
    twin : bool
        They did.
    reached : int
        The number of the version that `after` is of, where they did.
    """

    before: Version
    after: bytes | None
    when: datetime
    now: bool = False
    common: tuple[Version, ...] = ()
    twin: bool = False
    reached: int = 0


def overwritten(path: str | Path, data: bytes) -> list[Overwritten]:
    """Return what the book saved and something else wrote over, as far as nobody has answered for it; oldest first.

    Parameters
    ----------
    path : path
        The file.
    data : bytes
        What it holds.

    Returns
    -------
    list of Overwritten

    Examples
    --------
    >>> import tempfile
    >>> logs = Path(tempfile.mkdtemp()) / "logs.csv"
    >>> for text in (b"one", b"one, two"):
    ...     with locked(logs):
    ...         _ = save(logs, text)
    >>> overwritten(logs, logs.read_bytes())
    []
    >>> _ = logs.write_bytes(b"one")
    >>> [each.before.path.read_bytes() for each in overwritten(logs, b"one")]
    [b'one, two']
    >>> answered(logs)
    >>> overwritten(logs, b"one")
    []
    """
    try:
        target = real(Path(path))
        unnamed = _unnamed(target)  # before the versions are looked for: it may get its name meanwhile
        settled = _notes(target).settled
        every = _versions(target)
        if not _sound(every):
            return []
        tip = _tip(every, data)
        foreign = tip is None and data != unnamed and not _saved_unkept(target, data)
        line = _line(tip or every[0], every)
        found = [over for over in _written_over(line) if over[1].path.name not in settled]
        overs = [Overwritten(before, after, by.when) for before, by, after in found]
        overs += _of_others(line, every, settled, data)
        if foreign and (before := next((v for v in line if not v.damaged), None)):
            when = datetime.fromtimestamp(int(target.stat().st_mtime))
            overs.append(Overwritten(before, data, when, now=True))
        return sorted(overs, key=lambda each: (each.before.number, each.now))
    except (OSError, ValueError, OverflowError):
        return []


def answered(path: str | Path, version: Version | None = None) -> None:
    """Forget what `overwritten` speaks of: what the file holds now is what is meant. Hold `locked(path)` around it.

    Parameters
    ----------
    path : path
    version : Version, optional
        Forget this one alone, of a content before that of now.

    Raises
    ------
    SaveError
        It cannot be written.
    """
    path = Path(path)
    try:
        target = real(path)
        if version is None and target.is_file():
            trouble = _keep_version(target, target.read_bytes())  # as if the book had saved it
            if trouble is not None:
                raise trouble
        notes, every = _notes(target), _versions(target)
        if version is None:
            # what the file holds is what all of them have led to
            left = _Notes(settled=frozenset(_open_names(target, every)) | notes.settled)
            for note in _unkept(target):
                note.path.unlink(missing_ok=True)
        else:
            line = _line(_tip(every, content(target)) or every[0], every) if every else []
            done = {by.path.name for before, by, _ in _written_over(line) if before.path == version.path}
            done |= {version.path.name} if version not in line else set()
            left = replace(notes, settled=notes.settled | done)
        _write_notes(target, left)
    except (OSError, ValueError, OverflowError) as error:
        raise not_saved(path, error) from error


def accepted(path: str | Path) -> frozenset[str]:
    """Return by what the answers are known that were given to some of what `overwritten` speaks of, and not to all.

    Parameters
    ----------
    path : path

    Examples
    --------
    >>> accepted("no-such-folder/logs.csv")
    frozenset()
    """
    try:
        return _notes(real(Path(path))).accepted
    except OSError:
        return frozenset()


def accept(path: str | Path, marks: set[str]) -> None:
    """Remember answers to some of what `overwritten` speaks of, until all is `answered`. Hold `locked(path)` around it.

    What the file holds is kept as if the book had saved it: what becomes of the rows later is told against that.

    Parameters
    ----------
    path : path
    marks : set of str
        By what each is known.

    Raises
    ------
    SaveError
        It cannot be written.
    """
    path = Path(path)
    try:
        target = real(path)
        notes = _notes(target)
        _write_notes(target, replace(notes, accepted=notes.accepted | marks))
        if (data := content(target)) and _note_lost(target, data) is None:
            _keep_version(target, data)
    except OSError as error:
        raise not_saved(path, error) from error


_NONE = "0" * 16  # the parent of a version that was made from nothing


def _parent(version, every):
    """The version that one was made from; None if there was none, or it cannot be told."""
    below = [v for v in every if v.number < version.number]
    if version.parent == _NONE:
        return None
    if version.parent:
        named = next((v for v in below if _held_by(v) == version.parent), None)
        if named or every.index(version) < KEPT_ALL - 2:
            return named
    return below[0] if below else None  # it was thinned out, which is done while one line alone is open


def _line(version, every):
    """A version and those that it came from, newest first."""
    line = []
    while version:
        line.append(version)
        version = _parent(version, every)
    return line


def _ends(every):
    """The versions that no other was made from: more than one if two computers saved without knowing of each other."""
    made_from = {parent.path for v in every if (parent := _parent(v, every))}
    return [v for v in every if v.path not in made_from]


def _tip(every, data):
    """The version that the book goes on from if the file holds this; None if another program wrote that."""
    return next((v for v in _ends(every) if _is_of(v, data)), None)


def _held_by(version):
    return version.held or fingerprint(content(version.path))


def _written_over(line):
    """What another program wrote over along a line: [(the version before it, the first after it, what it wrote)]."""
    found = []
    for at, by in enumerate(line):
        # a damaged one is passed over for the one before it
        before = next((v for v in line[at + 1 :] if not v.damaged), None)
        if by.how in ("over", "gone") and before:
            found.append((before, by, content(by.path) if by.how == "over" and not by.damaged else None))
    return found


def _of_others(line, every, settled, data):
    """What of other lines, of another computer or from before an older table was gone on from, may not be in this."""
    mine = {v.path for v in line}
    for end in _open_ends(line, every, settled):
        theirs = _line(end, every)
        # what somebody has answered for is known to both
        common = next((v for v in theirs if v.path in mine or v.path.name in settled), None)
        own = theirs[: theirs.index(common)] if common else theirs
        some = [
            before for before, by, _ in _written_over(theirs) if by in own and by.path.name not in settled
        ]
        for one in dict.fromkeys([*(v for v in own if not v.damaged)][:1] + [v for v in some if v in own]):
            to = next((v for v in reversed(line) if v.number >= one.number and not v.damaged), None)
            yield Overwritten(
                one,
                content(to.path) if to else data,
                max(one.when, to.when) if to else one.when,
                common=(common,) if common and not common.damaged else (),
                twin=True,
                reached=to.number if to else every[0].number + 1,
            )


def _open_ends(line, every, settled):
    """The ends of other lines of which nobody has said that what the file holds is what is meant."""
    held = {_held_by(v) for v in line if v.how == "over"}  # the table may have come before its history
    return [
        v for v in _ends(every) if v not in line and v.path.name not in settled and _held_by(v) not in held
    ]


def descent(path: str | Path, version: Version) -> list[Version]:
    """Return what a version came from, newest first: not what another computer saved meanwhile.

    Parameters
    ----------
    path : path
    version : Version

    Examples
    --------
    >>> descent("no-such-folder/logs.csv", Version(Path("gone"), datetime(2027, 5, 3), 1))
    []
    """
    try:
        every = _versions(real(Path(path)))
        there = next((v for v in every if v.path == version.path), None)
        return [v for v in _line(there, every)[1:] if not v.damaged] if there else []
    except OSError:
        return []


def _unnamed(target):
    """The copy of a content that a save put in the place of a file and has not named yet; b"" if there is none."""
    return content(target.with_name(HISTORY) / _new_name(target.name))


def _note_lost(target, old):
    """Note before a save when something was saved that was written over and of which no sound version was kept.

    Returns the number of what went wrong, or None.
    """
    try:
        if not _is_table(target):  # rows are answered for, and nothing else
            return None
        lost = {*_lost_unkept(target, old), _lost_damaged(target, old or b"")} - {None}
        notes = _notes(target)
        if lost - notes.lost:
            _write_notes(target, replace(notes, lost=notes.lost | lost))
    except (OSError, ValueError, OverflowError) as error:
        return getattr(error, "errno", None)
    return None


@dataclass(frozen=True)
class _Notes:
    """What is noted beside the versions of a table, each in the name of a small file, which holds nothing to garble.

    The names of versions that somebody has answered for; answers to a part; when something was saved of which neither
    a version could be kept nor anything is left.
    """

    settled: frozenset[str] = frozenset()
    accepted: frozenset[str] = frozenset()
    lost: frozenset[str] = frozenset()


_LOST_AT = "%Y-%m-%dT%H%M%S"


def _notes(target):
    settled, accepted, lost = set(), set(), set()
    with contextlib.suppress(FileNotFoundError, NotADirectoryError):
        for entry in os.scandir(target.with_name(HISTORY)):
            name, _, kind = entry.name.rpartition(".")
            if kind == "settled":
                settled.add(name)
            elif kind in ("accepted", "lost") and name.startswith(f"{target.name}."):
                word = name.removeprefix(f"{target.name}.")
                if kind == "accepted":
                    accepted.add(word)
                with contextlib.suppress(ValueError):
                    lost |= {datetime.strptime(word, _LOST_AT).isoformat()} if kind == "lost" else set()
    there = {v.path.name for v in _versions(target)} if settled else set()
    return _Notes(frozenset(settled & there), frozenset(accepted), frozenset(lost))


def _note_names(target, notes):
    names = {f"{name}.settled" for name in notes.settled}
    names |= {f"{target.name}.{mark}.accepted" for mark in notes.accepted}
    return names | {
        f"{target.name}.{datetime.fromisoformat(when).strftime(_LOST_AT)}.lost" for when in notes.lost
    }


def _write_notes(target, notes):
    """Note what is new, and forget what is answered."""
    before, after = _note_names(target, _notes(target)), _note_names(target, notes)
    folder = target.with_name(HISTORY)
    for name in sorted(after - before):
        folder.mkdir(exist_ok=True)
        with _written(folder / name, b"") as put:
            put()
    for name in before - after:
        (folder / name).unlink(missing_ok=True)


def _open_names(target, every):
    """By what all is known that `overwritten` could speak of."""
    if not every:
        return set()
    line = _line(_tip(every, content(target)) or every[0], every)
    ends = _open_ends(line, every, ())
    lines = [line, *(_line(end, every) for end in ends)]
    return {v.path.name for v in ends} | {by.path.name for each in lines for _, by, _ in _written_over(each)}


def why_broken(data: bytes) -> str:
    """Return in words what is wrong with a file that the book wrote and cannot read any more.

    Parameters
    ----------
    data : bytes

    Examples
    --------
    >>> why_broken(b"\\0" * 40), why_broken(b'{"place": "Mad')
    ('it holds only empty bytes, as a power cut leaves them', 'it breaks off, or another program changed it')
    """
    if data.strip(b"\0 \t\r\n"):
        return "it breaks off, or another program changed it"
    return "it holds only empty bytes, as a power cut leaves them" if b"\0" in data else "it is empty"


def set_aside(path: str | Path) -> str:
    """Give a file another name, so that a new one can begin, and return that name.

    Parameters
    ----------
    path : path

    Raises
    ------
    SaveError
        It cannot be renamed, and stays.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "choices.json"
    >>> _ = path.write_bytes(b"\\0")
    >>> set_aside(path), path.exists()
    ('choices set aside.json', False)
    """
    path = Path(path)
    with locked(path):
        names = (f"{path.stem} set aside{f' {n}' if n else ''}{path.suffix}" for n in (0, *range(2, 1000)))
        free = next(aside for name in names if not (aside := path.with_name(name)).exists())
        try:
            path.rename(free)
        except OSError as error:
            raise SaveError(f"{path.name} cannot be renamed: {why_of(error)}. It stays as it is.") from error
    return free.name


def content(path: Path) -> bytes:
    """Return the bytes of a file; none if it is not there, cannot be read, or is a device or a pipe."""
    try:
        return path.read_bytes() if path.is_file() else b""
    except OSError:
        return b""


def _versions(target):
    """The copies of a file in its history, newest first; the number in the name tells, as a clock may be set back."""
    name = re.compile(
        rf"{re.escape(target.stem)}\.(\d{{6,}})\.(\d{{4}}-\d\d-\d\dT\d{{6}})"
        r"(?:\.([0-9a-f]{16})(?:\.(from|over|gone)-([0-9a-f]{16}))?)?"
        rf"{re.escape(target.suffix)}"
    )
    found = []
    try:
        for entry in os.scandir(target.with_name(HISTORY)):
            if m := name.fullmatch(entry.name):
                with contextlib.suppress(ValueError, OSError):  # a day that is none: not one of ours
                    when = datetime.strptime(m[2], "%Y-%m-%dT%H%M%S")
                    at, held = entry.stat(), m[3] or ""
                    if at.st_size or (
                        held and held != fingerprint(b"")
                    ):  # else a copy that a power cut left empty
                        damaged = bool(held) and not _is_whole(entry.path, at.st_mtime_ns, at.st_size, held)
                        said = (m[4] or "", m[5] or "")
                        found.append(Version(Path(entry.path), when, int(m[1]), held, damaged, *said))
    except (FileNotFoundError, NotADirectoryError):
        return []
    return sorted(found, key=lambda v: (v.number, v.when, v.path.name), reverse=True)


@functools.lru_cache(4096)
def _is_whole(path, _when, _size, held):
    """True if a copy holds what it was given, or cannot be looked into."""
    try:
        with open(path, "rb") as file:
            return fingerprint(file.read()) == held
    except OSError:
        return True


def _is_of(version, data):
    """True if a version is of this content, even if its copy is damaged."""
    return version.held == fingerprint(data) if version.held else content(version.path) == data


def _sound(kept):
    return [v for v in kept if not v.damaged]


def _keep_version(target, content, put=None, when=None, made_from=None, parent=None):
    """Keep some content in the history, unless its newest version is that; return what went wrong, or None.

    `put`, which puts the content in the place of `target`, is called when its copy is written and has no name yet: what
    dies in between has left the copy, by which the book knows what it wrote. `made_from` is what it was made from;
    `parent` is the fingerprint of that, where the book saved it long ago.
    """
    folder = target.with_name(HISTORY)
    try:
        folder.mkdir(exist_ok=True)
        kept = _versions(target)
        near = kept[:1] if put else _ends(kept)
        if any(not v.damaged and _is_of(v, content) for v in near):
            return None
        number = kept[0].number + 1 if kept else 1
        how = f"from-{parent}" if parent else _how(target, kept, content, made_from, put is not None)
        with _written(folder / target.name, content) as named:
            if put:
                put()
            when = when or datetime.fromtimestamp(target.stat().st_mtime)
            named(
                folder
                / f"{target.stem}.{number:06}.{when:%Y-%m-%dT%H%M%S}.{fingerprint(content)}.{how}{target.suffix}"
            )
    except MeanwhileError:
        raise
    except (OSError, ValueError, OverflowError) as error:
        return error
    return None


def _how(target, kept, content, made_from, by_book):
    """How a version comes about, for its name."""
    if not kept:
        return f"from-{_NONE}"
    newest = _held_by(kept[0])
    if not by_book:
        tip = _tip(kept, content)
        if tip:  # its copy is damaged
            return f"from-{_held_by(tip)}"
        own = content == _unnamed(target) or _saved_unkept(target, content)
        return f"{'from' if own else 'over'}-{newest}"
    if made_from and (tip := _tip(kept, made_from)):
        return f"from-{_held_by(tip)}"
    return f"{'from' if made_from and _saved_unkept(target, made_from) else 'gone'}-{newest}"


@dataclass(frozen=True)
class _Unkept:
    """A note of something saved of which no version could be kept: its fingerprint, and that of what it came from."""

    path: Path
    of: str
    parent: str

    @property
    def copy(self) -> bytes:
        """All of what was saved, or nothing if there was no room for it."""
        data = content(self.path)
        return data if data and fingerprint(data) == self.of else b""

    @property
    def when(self) -> str:
        return datetime.fromtimestamp(self.path.stat().st_mtime).isoformat(timespec="seconds")


def _unkept(target):
    """Those notes, oldest first."""
    if not _is_table(target):
        return []
    name = re.compile(rf"\.{re.escape(target.name)}\.([0-9a-f]{{16}})\.after-([0-9a-f]{{16}})\.unkept")
    found = []
    with contextlib.suppress(OSError):
        for each in target.parent.glob(f".{glob.escape(target.name)}.*.unkept"):
            if m := name.fullmatch(each.name):
                found.append((each.stat().st_mtime_ns, _Unkept(each, m[1], m[2])))
    return [note for _, note in sorted(found, key=lambda each: each[0])]


def _saved_unkept(target, data):
    """True if the book saved some content of which it could keep no version."""
    return any(note.of == fingerprint(data) for note in _unkept(target))


def _lost_unkept(target, data, copies=False):
    """When something was saved of which no version, nor a copy unless `copies`, is left, and which is not there."""
    held = {_held_by(v) for v in _versions(target)} | {fingerprint(data or b"")}
    return {note.when for note in _unkept(target) if note.of not in held and (copies or not note.copy)}


def _lost_damaged(target, data):
    """When the newest version was saved if its copy is damaged, and the file holds something else; else None."""
    every = _versions(target) if _is_table(target) else []
    if not every or not every[0].damaged or _tip(every, data):
        return None
    return every[0].when.isoformat()


def saves_lost(path: str | Path, data: bytes) -> list[datetime]:
    """Return when the book saved something that was written over, and of which no sound version was kept.

    Parameters
    ----------
    path : path
    data : bytes
        What the file holds.

    Examples
    --------
    >>> saves_lost("no-such-folder/logs.csv", b"")
    []
    """
    try:
        target = real(Path(path))
        every = {*_notes(target).lost, *_lost_unkept(target, data, True), _lost_damaged(target, data)} - {
            None
        }
        return sorted(map(datetime.fromisoformat, every))
    except (OSError, ValueError):
        return []


def keep_late(path: str | Path) -> None:
    """Keep a version of what a table holds if none could be kept when the book saved it, and there is room by now.

    Parameters
    ----------
    path : path

    Examples
    --------
    >>> import tempfile
    >>> logs = Path(tempfile.mkdtemp()) / "logs.csv"
    >>> in_the_way = logs.with_name(HISTORY)
    >>> _ = in_the_way.write_text("")
    >>> with warnings.catch_warnings(action="ignore"), locked(logs):
    ...     _ = save(logs, b"one")
    >>> in_the_way.unlink()
    >>> keep_late(logs)
    >>> [version.path.read_bytes() for version in _versions(logs)]
    [b'one']
    """
    path = Path(path)
    with contextlib.suppress(OSError, SaveError):
        target = real(path)
        every = _versions(target) if _is_table(target) else []
        if every and every[0].damaged and _is_of(every[0], content(target)):
            with locked(path, wait_s=0.5):
                _keep_version(target, content(target))  # what was damaged is still there to copy
        if not _unkept(target):
            return
        with locked(path, wait_s=0.5):
            _keep_unkept(target)


def _keep_unkept(target):
    data = content(target)
    for note in _unkept(target):
        there = note.of == fingerprint(data)
        if not (said := data if there else note.copy):
            continue
        when = None if there else datetime.fromisoformat(note.when)
        if _keep_version(target, said, when=when, parent=note.parent.strip("0") and note.parent) is None:
            note.path.unlink(missing_ok=True)


def _is_table(target):
    return target.suffix.lower() == ".csv"


def _note_unkept(target, data, trouble, old=None):
    """Note what was saved if its version could not be kept: all of it, or so much as there is room for."""
    if not _is_table(target):
        return
    with contextlib.suppress(OSError):
        before = [note for note in _unkept(target) if old is not None and note.of == fingerprint(old)]
        of = fingerprint(data)
        for note in _unkept(target):
            if note in before or note.of == of:  # what was saved now came from that
                note.path.unlink(missing_ok=True)
        if trouble is None:
            return
        parent = before[0].parent if before else _NONE if old is None else fingerprint(old)
        path = target.with_name(f".{target.name}.{of}.after-{parent}.unkept")
        with contextlib.suppress(OSError), _written(path, data) as put:
            put()
            return
        path.write_bytes(b"")  # a name takes no room


def _thin(target):
    """Take the surplus out of the history of one file."""
    with contextlib.suppress(OSError):
        kept = _versions(target)
        days: dict[date, Version] = {}
        for version in kept[KEPT_ALL:]:
            days.setdefault(version.when.date(), version)  # the last of that day
        stay = {v.path for v in kept[:KEPT_ALL]} | {v.path for v in list(days.values())[:KEPT_DAYS]}
        stay |= _held(target, kept)
        for version in kept:
            if version.path not in stay:
                version.path.unlink()


def _held(target, kept):
    """The versions that `overwritten` speaks of."""
    if not kept:
        return set()
    settled = _notes(target).settled
    line = _line(_tip(kept, content(target)) or kept[0], kept)
    held = {
        v.path for before, by, _ in _written_over(line) if by.path.name not in settled for v in (before, by)
    }
    for over in _of_others(
        line, kept, settled, b""
    ):  # and all between, by which they are told from what came after
        low = min(v.number for v in (over.before, *over.common))
        held |= {v.path for v in kept if v.number >= low}
    damaged = {v.number for v in kept if v.damaged}  # the one before stands for it
    numbers = {v.number for v in kept if v.path in held}
    return held | {
        v.path for v in kept if not v.damaged and v.number + 1 in damaged and v.number + 1 in numbers
    }


def _make_room(target):
    """On a full disk the older versions of a file make room for its newest content; return True if any did."""
    kept = _versions(target)
    held = _held(target, kept)
    surplus = [v for v in kept[KEPT_FULL:] if v.path not in held]
    for version in surplus:
        with contextlib.suppress(OSError):
            version.path.unlink()
    return bool(surplus)
