"""Give a learner a copy of the lessons that later versions never overwrite.

``python -m woodcalc.lesson.copies FROM TO``: new lessons are copied; a lesson that the learner has not touched is
brought up to date; a lesson that the learner has changed stays, and the new version goes into the folder
``new versions`` beside it. A lesson that was cut off in a saving is whole again.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import sys
from itertools import count
from pathlib import Path

from woodcalc.disk import locked
from woodcalc.lesson.saved import is_lesson
from woodcalc.records.choices import HANDED_OUT, NEW_VERSIONS
from woodcalc.records.keep import save

# What starts the book where it lies; a copy is started by whoever made it.
STARTERS = ("start.py", "Start on Windows.bat", "Start on macOS or Linux.command", "first-start.md")
NOT_FOR_LEARNERS = ("leader", "my-wood", NEW_VERSIONS, *STARTERS)


def hand_out(source: str | Path, target: str | Path) -> dict[str, str]:
    """Copy the lessons in `source` to `target` without overwriting anything that a learner has changed.

    A ledger in `target` holds the checksum of each file that was handed out: a file that still has it is untouched. So
    is a lesson that was only run: its text is the same, and what was typed into its boxes is kept elsewhere.
    What is about to be written stands in the ledger before it is: cut off in between, nothing of it counts as changed.
    Where the ledger is lost or says nothing, what differs is taken for the learner's own. A new version in
    `new versions` that the learner has changed stays as well; the next one gets a number.

    Parameters
    ----------
    source : str or Path
        The folder of lessons; `leader` and hidden files stay behind.
    target : str or Path
        The learner's folder; made if it is not there.

    Returns
    -------
    dict
        For each file ``"new"``, ``"updated"``, ``"kept"`` (changed by the learner; the new version lies beside it),
        ``"same"``, or ``"not copied: "`` and why: something in the way, a disk that is full. The others go on.

    Raises
    ------
    OSError
        The learner's folder cannot be made or written at all.

    Examples
    --------
    >>> import tempfile, pathlib
    >>> book, mine = pathlib.Path(tempfile.mkdtemp()), pathlib.Path(tempfile.mkdtemp()) / "lessons"
    >>> _ = (book / "01.ipynb").write_text("one")
    >>> hand_out(book, mine)
    {'01.ipynb': 'new'}
    >>> _ = (mine / "01.ipynb").write_text("my answers"), (book / "01.ipynb").write_text("one, better")
    >>> hand_out(book, mine)
    {'01.ipynb': 'kept'}
    >>> (mine / "01.ipynb").read_text(), (mine / "new versions" / "01.ipynb").read_text()
    ('my answers', 'one, better')
    """
    source, target = Path(source), Path(target)
    target.mkdir(parents=True, exist_ok=True)
    path = target / HANDED_OUT
    done = {}
    with locked(path):
        ledger, trouble = _ledger(path), None
        coming = dict(_coming(source, target, ledger))
        if coming:
            trouble = _keep(path, ledger | coming)
        for name in _names(source, target):
            try:
                done[name.as_posix()] = _copy(source, target, name, ledger)
            except OSError as error:
                done[name.as_posix()] = f"not copied: {error.strerror or error}"
        trouble = _keep(path, ledger) or trouble
    if trouble:  # what is not in it is taken for the learner's own the next time: nothing is lost
        done[HANDED_OUT] = f"not copied: {trouble}"
    return done


def mend_lessons(folder: str | Path, book: str | Path) -> dict[str, str]:
    """Put a sound copy in the place of each lesson that was cut off, and keep a copy of each that is sound.

    A power cut while a lesson is saved may leave half of it, or an empty file, which JupyterLab can't open.

    Parameters
    ----------
    folder : str or Path
        Where the lessons lie that are about to be opened; the copies lie in `.lab/sound` there.
    book : str or Path
        The lessons as they come with the book: a lesson that never had a copy is taken from there.

    Returns
    -------
    dict
        For each lesson that was found damaged ``"mended"``, or why it could not be. What was left of it lies in
        `.lab/damaged`. ``"put back"`` for a lesson of the book that is gone, though the lesson of its number was
        there the last time.

    Examples
    --------
    >>> import tempfile, pathlib
    >>> mine = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (mine / "01.ipynb").write_text('{"cells": [], "metadata": {"woodcalc": {"lesson": "01"}}}')
    >>> mend_lessons(mine, mine)
    {}
    >>> _ = (mine / "01.ipynb").write_text('{"cells": [], "meta')
    >>> mend_lessons(mine, mine)
    {'01.ipynb': 'mended'}
    >>> (mine / ".lab/damaged/01.ipynb").read_text()
    '{"cells": [], "meta'
    """
    folder, done = Path(folder), {}
    for path in sorted([*folder.glob("*.ipynb"), *folder.glob("leader/*.ipynb")]):
        if what := mend_lesson(path, folder, book):
            done[path.relative_to(folder).as_posix()] = what
    for copy in sorted((folder / ".lab/sound").glob("[0-9][0-9]-*.ipynb")):
        if not any(folder.glob(f"{copy.name[:2]}-*.ipynb")) and _lesson(
            copy
        ):  # a newer one may have another name
            try:
                _write(folder / copy.name, copy.read_bytes())
                done[copy.name] = "put back"
            except OSError as error:
                done[copy.name] = str(error.strerror or error)
    return done


def mend_lesson(path: str | Path, folder: str | Path, book: str | Path) -> str:
    """Do for one lesson what `mend_lessons` does for a folder.

    Parameters
    ----------
    path : str or Path
        The lesson, somewhere in `folder`.
    folder, book : str or Path
        As for `mend_lessons`.

    Returns
    -------
    str
        ``""`` if it was whole.

    Examples
    --------
    >>> import tempfile, pathlib
    >>> mine = pathlib.Path(tempfile.mkdtemp())
    >>> (mine / "01.ipynb").write_text('{"cells": [], "meta')
    19
    >>> mend_lesson(mine / "01.ipynb", mine, mine)
    'there is no sound copy of it; get this file of the book anew'
    """
    path, folder, book = Path(path), Path(folder), Path(book)
    name = path.relative_to(folder)
    sound = folder / ".lab/sound" / name
    try:
        if (found := _lesson(path)) is not None:
            if is_lesson(found) and _text(sound) != _text(path):
                _write(sound, path.read_bytes())
        elif copy := next((c for c in (sound, book / name) if c != path and _lesson(c)), None):
            _write(folder / ".lab/damaged" / name, path.read_bytes())
            _write(path, copy.read_bytes())
            return "mended"
        elif (book / name).exists():  # not a file of the learner's own
            return "there is no sound copy of it; get this file of the book anew"
    except OSError as error:
        return str(error.strerror or error)
    return ""


def _lesson(path):
    """The notebook in a file; None if it is not whole, or not there."""
    try:
        book = json.loads(path.read_bytes())
        return book if isinstance(book["cells"], list) else None
    except (FileNotFoundError, ValueError, TypeError, KeyError, RecursionError):
        return None


def _text(path):
    """The checksum of what a lesson says, whatever a run has put under its cells; None if it is not there."""
    return _seals(path.read_bytes())[1] if path.exists() else None


def _keep(path, ledger):
    """Write the ledger; return what went wrong, or None."""
    try:
        save(path, json.dumps(ledger, indent=1).encode("utf-8"), history=False)
    except OSError as error:
        return error
    return None


def _coming(source, target, ledger):
    """What will be written, name to the seals that it has until then and will have."""
    for name in _names(source, target):
        with contextlib.suppress(OSError):  # told when it is copied
            now = _seals((source / name).read_bytes())
            where, _, write = _decided(target, name, now, ledger)
            if write:
                yield where.as_posix(), " ".join([*now, ledger.get(where.as_posix(), "")]).strip()


def _ledger(path):
    """What was handed out, name to checksum; nothing if the ledger is lost, cut off or not ours."""
    try:
        found = json.loads(path.read_bytes())
        return {str(name): seal for name, seal in found.items() if isinstance(seal, str)}
    except (OSError, ValueError, AttributeError, RecursionError):
        return {}


def _names(source, target):
    """The files of the book that are for learners, relative to `source`."""
    for path in sorted(source.rglob("*")):
        name = path.relative_to(source)
        own = name.parts[0] in NOT_FOR_LEARNERS or any(p.startswith((".", "__")) for p in name.parts)
        if (
            not own
            and not path.is_relative_to(target if target != source else target / NEW_VERSIONS)
            and path.is_file()
        ):
            yield name


def _copy(source, target, name, ledger):
    """Hand out one file; return what was done."""
    data = (source / name).read_bytes()
    now = _seals(data)
    where, done, write = _decided(target, name, now, ledger)
    if write:
        _write(target / where, data)
    ledger[where.as_posix()] = " ".join(now)
    return done


def _decided(target, name, now, ledger):
    """Return (where a file of the book goes, what is done with it, whether it is to be written)."""
    if done := _fate(_there(target, name), now, ledger.get(name.as_posix(), "").split()):
        return name, done, done != "same"
    for beside in _beside(name):
        there, before = _there(target, beside), ledger.get(beside.as_posix(), "").split()
        if there is None or there[0] in (now[0], *before[::2]):
            return beside, "kept", there is None or there[0] != now[0]


def _fate(there, now, before):
    """Say what becomes of a file: "" if it is the learner's own by now.

    `before`: checksums of the file and of its text, one after the other, of each version that it may be.
    """
    if there is None:
        return "new"
    if there[0] == now[0]:
        return "same"
    if there[0] in before[::2]:
        return "updated"
    if there[1] == now[1]:  # only run
        return "same"
    return "updated" if there[1] in before[1::2] else ""


def _beside(name):
    """Where a new version may lie: under its own name, then with a number behind it."""
    folder = Path(NEW_VERSIONS) / name.parent
    yield folder / name.name
    for number in count(2):
        yield folder / f"{name.stem} ({number}){name.suffix}"


def _there(target, name):
    """The checksums of a file that lies in the learner's folder, or None if there is none.

    Raises
    ------
    OSError
        A link or a folder stands in its place, or it cannot be read.
    """
    path = target
    for part in name.parts:
        path = path / part
        if path.is_symlink():
            raise OSError(f"{path.relative_to(target).as_posix()} is a link there, which is left alone")
    if path.is_dir():
        raise OSError(f"a folder of the name {name.name} stands in its place")
    try:
        return _seals(path.read_bytes())
    except FileNotFoundError:
        return None


def _write(path, data):
    path.parent.mkdir(parents=True, exist_ok=True)
    save(
        path, data, history=False
    )  # in one step: a copy that is cut off would look like the learner's own work


def _seals(data):
    """The checksum of a file, and that of a lesson's text: what a run puts under its cells is not the learner's own."""
    exact = hashlib.sha256(data).hexdigest()
    try:
        book = json.loads(data)
        if is_lesson(book):
            text = [[cell["cell_type"], "".join(cell["source"])] for cell in book["cells"]]
            return exact, hashlib.sha256(json.dumps(text).encode()).hexdigest()
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        pass
    return exact, exact


if __name__ == "__main__":
    try:
        mended = mend_lessons(sys.argv[2], sys.argv[1])  # a folder that is not there yet has none
        for name, what in (hand_out(*sys.argv[1:3]) | mended).items():
            print(f"{what:8} {name}")
    except OSError as error:
        sys.exit(f"No lessons were handed out: {error}")
