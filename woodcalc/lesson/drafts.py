"""What was typed into a form and not saved: each open form keeps its own, and takes over what a closed one left."""

from __future__ import annotations

import contextlib
import json
import os
import re
import socket
import time
from datetime import date
from typing import Any
from uuid import uuid4

import psutil

from woodcalc.disk import SaveError
from woodcalc.lesson import kept

_ELSEWHERE_S = 600  # what another computer kept so lately is still being typed there
Row = dict[str, str]


def _born(pid: int) -> int:
    """When a program was started; 0 if there is none of that number, or it is another person's."""
    try:
        return round(psutil.Process(pid).create_time())
    except psutil.Error:
        return 0


def this_program() -> str:
    """Return what this program is known by: its number, when it was started, its computer."""
    return f"{os.getpid()} {_born(os.getpid())} {socket.gethostname()}"


def _lives(by: str, at: int) -> bool:
    """True if another program that keeps a draft still runs."""
    number, born, host = (*by.split(" ", 2), "", "", "")[:3]
    if host != socket.gethostname():
        return bool(host) and 0 <= time.time() - at < _ELSEWHERE_S
    return number.isdigit() and born.isdigit() and int(born) > 0 and abs(_born(int(number)) - int(born)) <= 2


class Drafts:
    """The drafts of one open form, by table and by what the row held; in a file, they outlast the engine.

    Those of another window whose program still runs are left to it. Those of a form of this program are taken over:
    the lesson was run again. So are those of a program that is gone.
    """

    def __init__(self) -> None:
        self._me, self._by = uuid4().hex[:12], this_program()

    def _box(self, table: str) -> str:
        return f"form: {table} / {self._me}"

    def of(self, table: str, held: Row) -> Row:
        """Return what was typed into the row that holds this, or into a new one that holds nothing."""
        return next((typed for row, typed in self._mine(table) if row == held), {})

    def of_rows(self, table: str) -> list[tuple[Row, Row]]:
        """Return (what the row held, what was typed into it) for each row that is no new one."""
        return [(row, typed) for row, typed in self._mine(table) if row]

    def keep(self, table: str, held: Row, typed: Row) -> None:
        """Keep what was typed into the row that holds this, the number of no row; with nothing typed, forget it."""
        there = self._mine(table)
        if self.of(table, held) == typed:
            return
        now = [(row, words) for row, words in there if row != held] + ([(held, typed)] if typed else [])
        with contextlib.suppress(SaveError):  # the page holds it still; the save itself says what is wrong
            kept.change(lambda found: self._with_mine(found, table, now))

    def take_over(self, table: str, also_living: bool = False) -> None:
        """Make one's own what other forms of this table have left; of two new rows the second waits for its turn."""
        if not self.left(table, also_living):
            return
        with contextlib.suppress(SaveError):
            kept.change(lambda found: self._taken(found, table, also_living))

    def forget_saved(self, table: str, held: Row, saved: Row) -> None:
        """Forget a row that is saved in all other forms, too: one of them may have taken it over.

        Also where a number is written otherwise there, as the ``1,250`` that was refused before 1250 was saved.
        """

        def without(found):
            out = dict(found)
            for box in self._others(found, table) if saved else ():
                ours = _owner(found[box])[0] == self._by
                drafts = _drafts(found[box])
                stay = [
                    (row, typed)
                    for row, typed in drafts
                    if row != held or not (ours or len(typed) > 1) or not alike(typed, saved)
                ]
                if stay != drafts:
                    out.pop(box)
                    if stay:
                        out[box] = found[box] | {"typed": _text(stay)}
            return out

        boxes = kept.written()
        if without(boxes) != boxes:
            with contextlib.suppress(SaveError):
                kept.change(without)

    def keep_day(self, table: str, day: str) -> None:
        """Keep the day of the row saved last: the next form of this calendar day starts with it."""
        with contextlib.suppress(SaveError):
            kept.keep(f"day of {table}", "", date.today().isoformat(), day)

    def day(self, table: str) -> str:
        """Return the day of the row saved last, if that was today; else ""."""
        words = kept.written().get(f"day of {table}", {})
        return words.get("typed", "") if words.get("asked") == date.today().isoformat() else ""

    def left(self, table: str, living: bool = False) -> list[str]:
        """Return the boxes of this table that a form has left; with `living` those of other windows, too."""
        boxes = kept.written()
        return [
            box
            for box in self._others(boxes, table)
            if living or boxes[box].get("by") == self._by or not _lives(*_owner(boxes[box]))
        ]

    def _others(self, found, table):
        """The boxes of other forms of this table, the one that was typed in last first."""
        mine, name = self._box(table), f"form: {table}"
        boxes = [box for box in found if box != mine and (box == name or box.startswith(f"{name} / "))]
        return sorted(boxes, key=lambda box: -_owner(found[box])[1])

    def _taken(self, found, table, also_living):
        now = _drafts(found.get(self._box(table)))
        out = dict(found)
        for box in self._others(found, table):
            by, at = _owner(found[box])
            if not also_living and by != self._by and _lives(by, at):
                continue
            held = [row for row, _ in now]
            theirs = _drafts(found[box])
            now += [(row, typed) for row, typed in theirs if row not in held]
            stay = [(row, typed) for row, typed in theirs if row in held and (row, typed) not in now]
            out.pop(box)
            if stay:
                out[box] = found[box] | {"typed": _text(stay)}
        return self._with_mine(out, table, now)

    def _with_mine(self, found, table, now):
        """The file with these drafts as this form's own."""
        out = {box: words for box, words in found.items() if box != self._box(table)}
        if now:
            words = {"lesson": "", "asked": "", "typed": _text(now), "by": self._by, "at": round(time.time())}
            out[self._box(table)] = words
        return out

    def _mine(self, table):
        return _drafts(kept.written().get(self._box(table)))


def alike(typed: Row, row: Row) -> bool:
    """Return whether a row says what was typed, however its numbers are written.

    Parameters
    ----------
    typed : dict
        Column to text.
    row : dict

    Returns
    -------
    bool

    Examples
    --------
    >>> alike({"board": "1-1", "value": "1,250"}, {"board": "1-1", "value": "1250", "unit": "g"})
    True
    >>> alike({"value": "12.50"}, {"value": "12.5"}), alike({"value": "12.5"}, {"value": "125"})
    (True, False)
    """
    return all(_bare(text) == _bare(row.get(name, "")) for name, text in typed.items())


def _bare(text):
    """A text without the commas between thousands and the zeros behind a point."""
    text = re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", text.strip())
    return re.sub(r"(\.\d*?)0+$", r"\1", text).removesuffix(".") if re.fullmatch(r"[\d.]+", text) else text


def _text(drafts):
    return json.dumps([{"row": row, "typed": typed} for row, typed in drafts])


def _owner(words: dict[str, Any]) -> tuple[str, int]:
    by, at = words.get("by", ""), words.get("at", 0)
    return (by if isinstance(by, str) else "", at if isinstance(at, int) else 0)


def _drafts(words: Any) -> list[tuple[Row, Row]]:
    """(What the row held, what was typed) of a box; none if it is not as the book wrote it."""
    try:
        drafts = [(draft["row"], draft["typed"]) for draft in json.loads(words["typed"])]
        sound = all(isinstance(t, str) for d in drafts for part in d for pair in part.items() for t in pair)
        return drafts if sound else []
    except (KeyError, ValueError, AttributeError, TypeError):
        return []
