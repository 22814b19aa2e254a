"""An evening minute by minute: what each lesson's own leader's part says, fitted to the time that there is."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

import pandas as pd

from woodcalc.checks import InputError

WELCOME_MIN, BREAK_MIN, SHEETS_MIN, CLOSE_MIN = 5, 10, 12, 5  # common practice
BREAK_FROM_MIN, SHEETS_FROM_MIN = 80, 60  # evenings shorter than this have none: common practice
_FULL = 0.75  # a lesson with less of its own time than this goes the short way
_CLOCK = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?\s*([ap])?\.?m?\.?", re.I)
_ITEM = re.compile(r"\s*((?:[^,.(]|\([^)]*\))+?) (\d+)((?: \([^)]*\))?)(?:,|\.|$)")
# What stands in the sentence of the short way, and how long it takes against the others: common practice
_WEIGHTS = (("guess", 2), ("worked example", 4), ("by hand", 4), ("contest", 5))
_PANEL = 3


class Leader(NamedTuple):
    """What a lesson tells its leader: the parts with their minutes, the short way, what to bring."""

    parts: tuple[tuple[str, int], ...]
    short_way: str
    bring: tuple[str, ...]


def leader(text: str) -> Leader:
    """Read a lesson's leader's part.

    Parameters
    ----------
    text : str
        Markdown, with a paragraph that begins with **Minutes** (or **This page**) and one with **Bring**.

    Returns
    -------
    Leader

    Raises
    ------
    InputError
        It names no minutes.

    Examples
    --------
    >>> said = leader("**Minutes** (9): guess 4, the map (tasks 1, 2) 5. With 5 minutes: guess.\\n\\n**Bring:** chalk.")
    >>> said.parts, said.short_way, said.bring
    ((('guess', 4), ('the map (tasks 1, 2)', 5)), 'guess', ('chalk',))
    """
    paragraphs = [" ".join(p.split()) for p in text.split("\n\n")]
    minutes = next((p for p in paragraphs if re.match(r"\*\*(Minutes|This page)\b", p)), "")
    _, _, listed = minutes.partition(":")
    listed = listed.removeprefix("**")
    own, _, rest = listed.partition(". ")
    parts = tuple((m[1].strip() + m[3], int(m[2])) for m in _ITEM.finditer(own.replace("*", "")))
    if not parts:
        raise InputError(
            "A leader's part must say its minutes: **Minutes** (40 in all): question and guess 4, ..."
        )
    short = re.search(r"With \d+ minutes: ([^.]+)", rest)
    bring = next((p for p in paragraphs if p.startswith("**Bring")), "")
    things = re.split(r"; |\. ", re.sub(r"^\*\*Bring:?\*\*:?\s*", "", bring).rstrip("."))
    return Leader(parts, short[1] if short else "", tuple(t[0].lower() + t[1:] for t in things if t))


def clock(told: str) -> int:
    """Read a time of day as people write it, in minutes after midnight; a bare hour up to 11 is in the evening.

    Parameters
    ----------
    told : str
        ``"7 pm"``, ``"19:00"``, ``"6:30"``, ``"9:30 am"``.

    Raises
    ------
    InputError
        No time of day.

    Examples
    --------
    >>> clock("7 pm"), clock("19:00"), clock("6:30"), clock("9.30 am")
    (1140, 1140, 1110, 570)
    """
    found = _CLOCK.fullmatch(told.strip())
    hour, minute = (int(found[1]), int(found[2] or 0)) if found else (99, 0)
    if hour > 23 or minute > 59 or (found and found[3] and not 1 <= hour <= 12):
        raise InputError(f"“{told}” is no time of day. Write it like 7 pm, 6:30 pm or 19:00.")
    half = found[3].lower() if found and found[3] else "p" if 1 <= hour <= 11 else ""
    hour = hour % 12 + 12 * (half == "p") if half else hour
    return 60 * hour + minute


def told(minute: int) -> str:
    """Write minutes after midnight as a time of day.

    Examples
    --------
    >>> told(1145), told(720), told(1505)
    ('7:05 pm', '12:00 pm', '1:05 am')
    """
    hour, minute = divmod(minute % 1440, 60)
    return f"{(hour - 1) % 12 + 1}:{minute:02d} {'pm' if hour >= 12 else 'am'}"


def frame(minutes: int, lessons: int, worksheets: bool = True) -> dict[str, int]:
    """Share the minutes of an evening out: welcome, lessons, break, worksheets, close.

    Parameters
    ----------
    minutes : int
        From the welcome to the close.
    lessons : int
        How many; there is no break in one.
    worksheets : bool
        Time for them at the tables.

    Examples
    --------
    >>> frame(120, 3)
    {'welcome': 5, 'lessons': 88, 'break': 10, 'worksheets': 12, 'close': 5}
    """
    out = {
        "welcome": WELCOME_MIN,
        "break": BREAK_MIN if minutes >= BREAK_FROM_MIN and lessons > 1 else 0,
        "worksheets": SHEETS_MIN if worksheets and minutes >= SHEETS_FROM_MIN else 0,
        "close": CLOSE_MIN,
    }
    return {"welcome": out.pop("welcome"), "lessons": minutes - WELCOME_MIN - sum(out.values()), **out}


def fitted(said: Leader, minutes: int) -> tuple[tuple[str, int], ...]:
    """Fit a lesson to its minutes: all of its parts, or the short way where less than three quarters is left.

    Parameters
    ----------
    said : Leader
    minutes : int
        2 or more.

    Returns
    -------
    tuple of (str, int)
        What is done and for how long; the minutes add up.

    Examples
    --------
    >>> fitted(Leader((("guess", 4), ("map", 10), ("by hand", 6)), "guess, tasks 1 and 2", ()), 10)
    (('guess', 3), ('tasks 1 and 2', 7))
    """
    usual = sum(own for _, own in said.parts)
    if minutes >= _FULL * usual or not said.short_way:
        names, weights = zip(*said.parts, strict=True)
    else:
        names = tuple(_short_parts(said.short_way))
        weights = tuple(_weight(name) for name in names)
    most = max(1, minutes // 2)  # what would have less than two minutes is left out, the last first
    return tuple(zip(names[:most], _shares(weights[:most], minutes), strict=True))


def _short_parts(short_way):
    """Split "guess, pail, tasks 1, 2, 7 and 8" at the commas that do not stand between numbers."""
    return [part.strip() for part in re.split(r",(?! \d)| and (?!\d)", short_way) if part.strip()]


def _weight(name):
    for word, weight in _WEIGHTS:
        if word in name:
            return weight
    spans = re.findall(r"(\d+) to (\d+)", name)
    tasks = len(re.findall(r"\d+", name)) + sum(int(b) - int(a) - 1 for a, b in spans)
    return max(_PANEL, 3 * tasks)


def _shares(weights, minutes):
    """Whole minutes in proportion, each at least one, by largest remainder."""
    exact = [w * minutes / sum(weights) for w in weights]
    whole = [max(1, int(e)) for e in exact]
    order = sorted(range(len(exact)), key=lambda k: whole[k] - exact[k])
    k = 0
    while sum(whole) < minutes:
        whole[order[k % len(order)]] += 1
        k += 1
    while sum(whole) > minutes:
        whole[whole.index(max(whole))] -= 1
    return whole


def script(
    lessons: Sequence[tuple[str, int, Leader]], starts: str, minutes: int, worksheets: bool = True
) -> pd.DataFrame:
    """Write an evening down minute by minute.

    Parameters
    ----------
    lessons : list of (str, int, Leader)
        Title, minutes that it has, what it tells its leader; the minutes of all add up to those of `frame`.
    starts : str
        Time of day of the welcome, as `clock` reads it.
    minutes : int
        From the welcome to the close.
    worksheets : bool

    Returns
    -------
    DataFrame
        ``clock``, ``minutes``, ``lesson`` ("" for the hall's own) and ``part``.

    Examples
    --------
    >>> one = Leader((("question and guess", 4), ("the pail", 7)), "", ())
    >>> script([("5. Wood and the air", 50, one)], "7 pm", 60, worksheets=False).clock.tolist()
    ['7:00 pm', '7:05 pm', '7:23 pm', '7:55 pm']
    """
    share = frame(minutes, len(lessons), worksheets)
    at, rows = clock(starts), []

    def put(long, lesson, part):
        nonlocal at
        rows.append((told(at), long, lesson, part))
        at += long

    put(share["welcome"], "", "Welcome: who has logs on the ground? The sign-in sheet goes round.")
    paused = share["break"] == 0
    done = 0
    for n, (title, own, said) in enumerate(lessons):
        for part, long in fitted(said, own):
            put(long, title, part)
        done += own
        last = n + 1 == len(lessons)
        following = 0 if last else lessons[n + 1][1]
        if not paused and not last and done + following / 2 >= share["lessons"] / 2:
            put(share["break"], "", "Break. Leave the last picture on the wall.")
            paused = True
    if share["worksheets"]:
        put(share["worksheets"], "", "Worksheets at the tables, one a table. Read the answers from the key.")
    put(share["close"], "", "Close: guesses against answers, one errand for the week, the feedback sheet.")
    return pd.DataFrame(rows, columns=["clock", "minutes", "lesson", "part"])


def to_bring(lessons: Sequence[tuple[str, Leader]]) -> list[tuple[str, str]]:
    """List what to bring, each thing once, with the lessons that it is for.

    Parameters
    ----------
    lessons : list of (str, Leader)
        Number and what it tells its leader.

    Returns
    -------
    list of (str, str)
        The thing; the lessons.

    Examples
    --------
    >>> to_bring([("01", Leader((), "", ("a tape", "chalk"))), ("02", Leader((), "", ("chalk",)))])
    [('a tape', '1'), ('chalk', '1, 2')]
    """
    found: dict[str, list[str]] = {}
    for number, said in lessons:
        for thing in said.bring:
            found.setdefault(thing, []).append(str(int(number)))
    return [(thing, ", ".join(numbers)) for thing, numbers in found.items()]
