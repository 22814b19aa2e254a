"""What an exercise is: a question with numbers that change, its answer, and the usual slips.

One definition serves the answer box in a lesson and the printed worksheet with its key. Its words stand in
`exercises/<topic>.toml`, its formulas in `exercises/<topic>.py`.
"""

from __future__ import annotations

import math
import re
import zlib
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib import import_module
from typing import Any

import numpy as np

from woodcalc.checks import InputError, suggest
from woodcalc.records.amounts import unit_of
from woodcalc.units import INCHES, POUNDS

TOPICS = (
    "start", "logs", "sawing", "shrinkage", "moisture", "air", "stack", "drying", "records", "kiln", "movement", "plan",
)  # fmt: skip
NEEDS = ("", "panel", "emc", "shrinkage", "spreads")

Numbers = dict[str, Any]


@dataclass(frozen=True)
class Worked:
    """What a formula makes of one set of numbers.

    Attributes
    ----------
    answer : float
        The right answer; the steps say it as ``{answer}``.
    slips : dict of str to float
        The answer that each usual slip gives, under the slip's key.
    numbers : dict
        What the steps say beside the numbers given: numbers and words, a bool for ``{name:this|that}``, or lists of one
        length for a step that is said once for each of them.
    """

    answer: float
    slips: dict[str, float] = field(default_factory=dict)
    numbers: Numbers = field(default_factory=dict)


Draw = Callable[[np.random.Generator], Numbers]
Work = Callable[..., Worked]


@dataclass(frozen=True)
class Slip:
    """A usual mistake: what it is, the answer that it gives, and one sentence that sets it right.

    Attributes
    ----------
    key : str
        Ties the words to the formula: ``"radius"``.
    name : str
        The slip in a few words: ``"radius for diameter"``.
    advice : str
        What to do instead, spoken to the learner.
    gives : callable
        Called with the exercise's numbers, returns the wrong answer.
    """

    key: str
    name: str
    advice: str
    gives: Callable[..., float]


@dataclass(frozen=True)
class Exercise:
    """A question whose numbers are drawn anew on demand.

    Attributes
    ----------
    key : str
        Unique, kebab-case, e.g. ``"doyle-one-log"``.
    lesson : str
        Two digits, ``"01"``.
    file : str
        The text file that holds its words, ``"logs.toml"``.
    question : str
        Text with ``{name}`` or ``{name:g}`` fields, one for each number that the reader is given.
    sentences : tuple of str
        The worked steps as they stand in the file, every number a field with its unit behind it.
    slips : tuple of Slip
        The usual mistakes.
    unit : str
        Unit of the answer, ``"bf"``.
    tolerance : float
        Half-width, in `unit`, within which an answer counts as right.
    draw : callable
        Takes a ``numpy.random.Generator``, returns a dict of numbers that come out sensible on paper.
    work : callable
        Called with those numbers as keywords, returns a `Worked`: answer, slips, and what the steps say.
    decimals : int
        Decimals of the answer as shown.
    hidden : tuple of str
        Numbers that the question keeps back, because they must be measured on a panel.
    needs : str
        What the reader must have beside the question: ``""`` nothing, ``"panel"`` a panel of the lesson (so it is not
        for paper), or a table that a worksheet prints: ``"emc"``, ``"shrinkage"``, ``"spreads"``.
    line : int
        Where its words begin in the text file.
    """

    key: str
    lesson: str
    file: str
    question: str
    sentences: tuple[str, ...]
    slips: tuple[Slip, ...]
    unit: str
    tolerance: float
    draw: Draw
    work: Work
    decimals: int = 0
    hidden: tuple[str, ...] = ()
    needs: str = ""
    line: int = 0

    def text(self, numbers: Numbers) -> str:
        """Return the question with its numbers filled in."""
        return _say(self.question, numbers, f"{self.file}, {self.key}, question")

    def solve(self, **numbers: Any) -> float:
        """Return the right answer for these numbers."""
        return self.work(**numbers).answer

    def steps(self, **numbers: Any) -> list[str]:
        """Return the worked steps for these numbers, one string each."""
        worked = self.work(**numbers)
        known = {**numbers, "answer": worked.answer, **worked.numbers}
        return [
            _say(sentence, one, f"{self.file}, {self.key}, step {n}")
            for n, sentence in enumerate(self.sentences, 1)
            for one in _each(sentence, known)
        ]

    def shown(self, value: float) -> str:
        """Return an answer as it is written: rounded, a half up as on paper, with its unit."""
        return f"{_half_up(value, self.decimals):,.{self.decimals}f} {self.unit}".strip()

    @property
    def wanted(self) -> str:
        """The unit of the answer, and how many decimals are asked for."""
        many = ("a whole number", "one decimal", "two decimals", "three decimals", "four decimals")
        return ", ".join(filter(None, (self.unit, many[self.decimals])))

    def mark(self, answer: float, numbers: Numbers, typed: str = "") -> tuple[bool, str]:
        """Return ``(right, what_to_say)`` for an answer in `unit`; `typed` is how it was written, to be repeated.

        Right means within `tolerance`, or rounded further than asked, as on a tape or a tally, and no slip's answer;
        otherwise the slip that gives this answer is named, or the other unit that it is in, if there is one.
        """
        truth = self.solve(**numbers)
        unit = "" if re.search(r"[^\d.,/\seE+-]", typed) else self.unit  # it may be typed, too
        told = f"{typed.strip()} {unit}".strip() if typed.strip() else self.shown(answer)
        exact = self.shown(truth)
        if abs(answer - truth) <= self.tolerance * (1 + 1e-9):
            return (
                True,
                f"Right: {exact}." if told == exact else f"Right: {told}. Worked through, it is {exact}.",
            )
        if (
            re.match(r"\s*[1-9]\d{0,2},\d{3}(?![\d.,])", typed)
            and abs(answer / 1000 - truth) <= self.tolerance
        ):
            return (
                True,
                f"Right: {typed.strip()}, its comma read as a decimal point. Worked through, it is {exact}.",
            )
        other, apart = self._other_unit(answer, truth)
        slip = self.slip(answer, numbers)
        if slip and not (other and apart + 1e-9 < abs(answer - slip.gives(**numbers))):
            return False, f"Not yet: {told}. It looks like this slip: {slip.name}. {slip.advice}"
        if truth > 0 >= answer:
            what = "nothing" if answer == 0 else "less than nothing"
            return (
                False,
                f"Not yet: {told}. It can't be {what}. Write the steps down one by one, each with its unit.",
            )
        if part := self._rounded(answer, truth, typed):
            return True, f"Right, to the nearest {part}: {told}. Worked through, it is {exact}."
        if other:
            return False, f"Not yet: {told}. {other}"
        if self._point_astray(answer, truth):
            return (
                False,
                f"Not yet: {told}. The digits are right, and the decimal point is not where it belongs.",
            )
        side = "too high" if answer > truth else "too low"
        return (
            False,
            f"Not yet: {told} is {side}. Write the steps down one by one, each with its unit.",
        )

    def _rounded(self, answer, truth, typed):
        """What the answer is the truth rounded to: whole board feet, a part of an inch, fewer decimals; or ""."""
        near = abs(answer - truth) <= max(0.02 * abs(truth), 0.5 * (self.unit == "bf"))
        if not near or not self.tolerance:
            return ""
        if part := re.search(r"/\s*(8|16|32|64)\b", typed):
            parts = int(part[1])
            return _PARTS[parts] if answer * parts == math.floor(truth * parts + 0.5 + 1e-9) else ""
        decimals = len(re.sub(r"\D", "", f"{answer:.10g}".partition(".")[2]))
        if (
            decimals >= self.decimals
            or answer != math.floor(truth * 10**decimals + 0.5 + 1e-9) / 10**decimals
        ):
            return ""
        return ("whole number", "tenth", "hundredth", "thousandth")[decimals]

    def _other_unit(self, answer, truth):
        """(A sentence, how far off), if the answer is right in a unit that was not asked for; ("", 0) if not."""
        own = unit_of(self.unit) or self.unit
        for unit, times, said in _OTHERS:
            apart = abs(answer - times * truth)
            if unit == own and apart <= max(self.tolerance, 0.005 * abs(truth)) * times:
                return said, apart
        return "", 0.0

    def _point_astray(self, answer, truth):
        """True if the answer is right but for a factor of ten, a hundred or a thousand."""
        ways = (10.0**k for k in (-3, -2, -1, 1, 2, 3))
        return any(abs(answer - way * truth) <= min(self.tolerance, 0.02 * abs(truth)) * way for way in ways)

    def slip(self, answer: float, numbers: Numbers) -> Slip | None:
        """Return the slip that comes nearest to this answer, or None.

        Within `tolerance`; of a slip that makes the answer small, within a tenth or what rounding does to it.
        """
        truth = self.solve(**numbers)
        wrong = {slip: slip.gives(**numbers) for slip in self.slips}
        rounds = 0.5 / 10**self.decimals
        near = [
            slip
            for slip, gives in wrong.items()
            if abs(answer - gives) <= min(self.tolerance, max(0.1 * abs(gives), rounds) * (1 + 1e-9))
            and self.tolerance < min(abs(gives - truth), abs(answer - truth))
        ]
        return min(near, key=lambda slip: abs(answer - wrong[slip]), default=None)


_PARTS = {8: "eighth of an inch", 16: "16th of an inch", 32: "32nd of an inch", 64: "64th of an inch"}
# unit asked for; how many times the right figure stands there in another unit; what to say
_OTHERS = (
    ("%", 0.01, "That is the fraction, and a percent is asked for: times 100."),
    ("in 100", 0.01, "That is the fraction. How many in 100 is asked for: times 100."),
    ("of the usual pace", 100, "That is the percent. The pace is asked for as a number, usual = 1: over 100."),
    ("lb", 1 / POUNDS["g"], "That is in grams, and pounds are asked for: 454 g to the pound."),
    ("lb", 1 / POUNDS["kg"], "That is in kilograms, and pounds are asked for: 2.2 lb to the kilogram."),
    ("lb", 16, "That is in ounces, and pounds are asked for: 16 oz to the pound."),
    ("in", 1 / 12, "That is in feet, and inches are asked for: 12 in to the foot."),
    ("in", 1 / INCHES["mm"], "That is in millimeters, and inches are asked for: 25.4 mm to the inch."),
    ("in", 1 / INCHES["cm"], "That is in centimeters, and inches are asked for: 2.54 cm to the inch."),
    ("in", 1000, "That is in thousandths of an inch, and inches are asked for: over 1,000."),
    ("ft", 12, "That is in inches, and feet are asked for: 12 in to the foot."),
    ("thousandths", 0.001, "That is in inches, and thousandths of an inch are asked for: times 1,000."),
    ("thousandths of an inch", 0.001, "That is in inches, and thousandths of an inch are asked for: times 1,000."),
    ("days", 1 / 7, "That is in weeks, and days are asked for: times 7."),
    ("days", 24, "That is in hours, and days are asked for: over 24."),
    ("dollars", 100, "That is in cents, and dollars are asked for: over 100."),
    ("$", 100, "That is in cents, and dollars are asked for: over 100."),
)  # fmt: skip

FIELD = re.compile(r"{(\w+)(?::([^{}]*))?}")  # {name} or {name:how}


def _each(sentence: str, numbers: Numbers) -> list[Numbers]:
    """Return the numbers, or one set for each item where the sentence names lists."""
    lists = {
        name: numbers[name] for name, _ in FIELD.findall(sentence) if isinstance(numbers.get(name), list)
    }
    rows = zip(*lists.values(), strict=True)
    return [{**numbers, **dict(zip(lists, row, strict=True))} for row in rows] if lists else [numbers]


def _say(sentence: str, numbers: Numbers, where: str) -> str:
    """Return a sentence with its numbers filled in."""
    if set("{}") & set(FIELD.sub("", sentence)):
        raise InputError(f"{where}: braces hold one name, as in {{name}} or {{name:.1f}}; found {sentence!r}")
    return FIELD.sub(lambda match: _written(match, numbers, where), sentence)


def _half_up(value: float, decimals: int) -> float:
    """Round a half up, as on paper."""
    return math.copysign(math.floor(abs(value) * 10**decimals + 0.5 + 1e-9) / 10**decimals, value)


def _written(match: re.Match[str], numbers: Numbers, where: str) -> str:
    name, how = match[1], match[2] or ""
    if name not in numbers:
        raise InputError(f"{where}: {suggest(name, list(numbers), 'number')}")
    value = numbers[name]
    try:
        if isinstance(value, bool):
            so, not_so = how.split("|")
            return so if value else not_so
        if fixed := re.fullmatch(r",?\.(\d+)f", how):
            value = _half_up(value, int(fixed[1]))
        return format(value, how)
    except (ValueError, TypeError):
        ways = (
            "{name:this|that}" if isinstance(value, bool) else "{name}, {name:.1f}, {name:,.0f} or {name:g}"
        )
        raise InputError(f"{where}: {match[0]} does not fit {value!r}. Write it like {ways}.") from None


def seeded(*words: object) -> np.random.Generator:
    """Return a random generator that gives the same numbers for the same words (class name, exercise, sheet).

    Examples
    --------
    >>> bool(seeded("Tuesday", 1).random() == seeded("Tuesday", 1).random())
    True
    """
    return np.random.default_rng(zlib.crc32("|".join(map(str, words)).encode()))


def of_topic(topic: str) -> tuple[Exercise, ...]:
    """Return the exercises of one of `TOPICS`; raises as `every` does."""
    exercises: tuple[Exercise, ...] = import_module(f"woodcalc.lesson.exercises.{topic}").EXERCISES
    return exercises


def every() -> dict[str, Exercise]:
    """Return all exercises by key, in lesson order.

    Raises
    ------
    InputError
        A text file cannot be read, or does not fit its formulas.

    Examples
    --------
    >>> all(e.lesson.isdigit() for e in every().values())
    True
    """
    found: dict[str, Exercise] = {}
    for topic in TOPICS:
        for exercise in of_topic(topic):
            if exercise.key in found:
                raise InputError(
                    f"{exercise.file}: {found[exercise.key].file} has an exercise {exercise.key!r} too"
                )
            found[exercise.key] = exercise
    return dict(sorted(found.items(), key=lambda item: item[1].lesson))
