"""What a learner writes into the lessons: guesses and answers, kept beside the records and there again the next time.

They lie in `written.json`, each under the name of the box that it was written in. What else is in that file stays.
"""

from __future__ import annotations

import json
import warnings
from collections.abc import Callable, Collection
from pathlib import Path
from typing import Any

from woodcalc.disk import HistoryWarning, SaveError, locked
from woodcalc.records import choices
from woodcalc.records.keep import save, why_broken

FILE = "written.json"
WAIT_S = 2.0  # another lesson holds the file for a few thousandths of a second


def written(here: str | Path | None = None) -> dict[str, dict[str, Any]]:
    """Return what was written, by box; nothing if there is no such file or it cannot be read.

    Parameters
    ----------
    here : path, optional
        Where the lesson lies; the present folder if left out.

    Returns
    -------
    dict of str to dict
        Of each box ``"asked"`` and ``"typed"``, and what else it kept.

    Examples
    --------
    >>> written("/no/such/folder").get("doyle-one-log", {}).get("typed", "")
    ''
    """
    try:
        found = _read(choices.folder(here) / FILE)
    except SaveError:
        return {}
    return {box: words for box, words in found.items() if _sound(words)}


def trouble() -> str:
    """Return why what was written cannot be read; "" if it can, or nothing was written.

    Examples
    --------
    >>> trouble()
    ''
    """
    try:
        _read(choices.folder() / FILE)
    except SaveError as error:
        return str(error)
    return ""


def keep(box: str, lesson: str, asked: str, typed: str, **more: Any) -> None:
    """Keep what was typed into a box; what other boxes and other open lessons keep stays.

    Parameters
    ----------
    box : str
        Name of the box, the same each time.
    lesson : str
        Two digits, or "" if the box does not know.
    asked : str
        The question that the words answer, as it was shown.
    typed : str
    **more
        What else the box needs to show it again: texts and whole numbers.

    Raises
    ------
    SaveError
        It could not be kept, and why; the file is as it was.
    """
    change(lambda found: found | {box: {"lesson": lesson, "asked": asked, "typed": typed} | more})


def forget(boxes: Collection[str]) -> None:
    """Take the words of these boxes out of the file; the version before stays in the history.

    Parameters
    ----------
    boxes : collection of str

    Raises
    ------
    SaveError
        It could not be written, and why; the file is as it was.
    """
    if set(boxes) & set(written()):
        change(lambda found: {box: words for box, words in found.items() if box not in boxes}, history=True)


def change(
    how: Callable[[dict[str, dict[str, Any]]], dict[str, dict[str, Any]]], history: bool = False
) -> None:
    """Write what `how` makes of all that is kept; nobody else writes in between.

    Parameters
    ----------
    how : callable
        Given what is kept, by box; returns what is to be kept.
    history : bool
        True if the version before is to be kept, too.

    Raises
    ------
    SaveError
        It could not be written, and why; the file is as it was.
    """
    path = choices.folder() / FILE
    with locked(path, WAIT_S), warnings.catch_warnings():
        warnings.simplefilter("ignore", HistoryWarning)
        text = json.dumps(how(_read(path)), indent=1, ensure_ascii=False)
        save(path, (text + "\n").encode("utf-8", "replace"), history)


def _read(path):
    try:
        data = path.read_bytes()
        found = json.loads(data.decode("utf-8-sig"))
        # half a letter, \ud800, can neither be shown nor written: a ? stands for it
        found = json.loads(json.dumps(found, ensure_ascii=False).encode("utf-8", "replace"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, RecursionError) as error:
        why = error.strerror if isinstance(error, OSError) else why_broken(data)
        raise _unreadable(path, why) from error
    if not isinstance(found, dict):
        raise _unreadable(path, "it is not as the book wrote it")
    return found


def _unreadable(path, why):
    return SaveError(
        f"{path.name} can't be read: {why}. It stays as it is. Move it out of {path.parent}, and what you write is "
        "kept again."
    )


def _sound(words):
    return isinstance(words, dict) and all(isinstance(words.get(part), str) for part in ("asked", "typed"))
