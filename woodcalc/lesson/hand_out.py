"""Give a learner a copy of the lessons that later versions never overwrite.

``python -m woodcalc.lesson.hand_out FROM TO``: new lessons are copied; a lesson that the learner has not touched is
brought up to date; a lesson that the learner has changed stays, and the new version goes into the folder
``new versions`` beside it.
"""

import hashlib
import json
import shutil
import sys
from pathlib import Path

_LEDGER = ".handed-out.json"  # what was handed out, by checksum: tells an untouched lesson from a changed one
NOT_FOR_LEARNERS = ("leader", "my-wood")


def hand_out(source, target):
    """Copy the lessons in `source` to `target` without overwriting anything that a learner has changed.

    Parameters
    ----------
    source : str or Path
        The folder of lessons; `leader` and hidden files stay behind.
    target : str or Path
        The learner's folder; made if it is not there.

    Returns
    -------
    dict
        For each file ``"new"``, ``"updated"``, ``"kept"`` (changed by the learner; the new version lies beside it)
        or ``"same"``.

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
    ledger_path = target / _LEDGER
    ledger = json.loads(ledger_path.read_text()) if ledger_path.exists() else {}
    done = {}
    for path in sorted(p for p in source.rglob("*") if p.is_file()):
        name = path.relative_to(source)
        if name.parts[0] in NOT_FOR_LEARNERS or any(part.startswith((".", "__")) for part in name.parts):
            continue
        mine, key, now = target / name, name.as_posix(), _checksum(path)
        if not mine.exists():
            done[key], place = "new", mine
        elif _checksum(mine) == now:
            done[key], place = "same", None
        elif _checksum(mine) == ledger.get(key):
            done[key], place = "updated", mine
        else:
            done[key], place = "kept", target / "new versions" / name
        if place:
            place.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, place)
        if done[key] != "kept":
            ledger[key] = now
    ledger_path.write_text(json.dumps(ledger, indent=1))
    return done


def _checksum(path):
    return hashlib.sha256(path.read_bytes()).hexdigest()


if __name__ == "__main__":
    for name, what in hand_out(*sys.argv[1:3]).items():
        print(f"{what:8} {name}")
