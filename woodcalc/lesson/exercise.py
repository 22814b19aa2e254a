"""What an exercise is: a question with numbers that change, its answer, and the usual slips.

One definition serves the answer box in a lesson and the printed worksheet with its key.
"""

import math
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module

import numpy as np

TOPICS = (
    "start", "logs", "sawing", "shrinkage", "moisture", "air", "stack", "drying", "records", "kiln", "movement", "plan",
)  # fmt: skip


@dataclass(frozen=True)
class Slip:
    """A usual mistake: what it is, the answer that it gives, and one sentence that sets it right.

    Parameters
    ----------
    name : str
        The slip in a few words: ``"radius for diameter"``.
    gives : callable
        Called with the exercise's numbers, returns the wrong answer.
    advice : str
        What to do instead, spoken to the learner.
    """

    name: str
    gives: Callable[..., float]
    advice: str


@dataclass(frozen=True)
class Exercise:
    """A question whose numbers are drawn anew on demand.

    Parameters
    ----------
    key : str
        Unique, kebab-case, e.g. ``"doyle-one-log"``.
    lesson : str
        Two digits, ``"01"``.
    question : str
        Text with ``{name}`` or ``{name:g}`` fields, one for each number that the reader is given.
    draw : callable
        Takes a ``numpy.random.Generator``, returns a dict of numbers that come out sensible on paper.
    solve : callable
        Called with those numbers as keywords, returns the answer: one or more ``woodcalc`` calls.
    unit : str
        Unit of the answer, ``"bf"``.
    tolerance : float
        Half-width, in `unit`, within which an answer counts as right.
    steps : callable
        Called with the numbers, returns the worked steps, one string each, every number with its unit.
    slips : tuple of Slip
        The usual mistakes.
    decimals : int
        Decimals of the answer as shown.
    hidden : tuple of str
        Numbers that the question keeps back, because they must be measured on a panel.
    needs : str
        What the reader must have beside the question: ``""`` nothing, ``"panel"`` a panel of the lesson (so it is not
        for paper), or a table that a worksheet prints: ``"emc"``, ``"shrinkage"``, ``"spreads"``.
    """

    key: str
    lesson: str
    question: str
    draw: Callable[[np.random.Generator], dict]
    solve: Callable[..., float]
    unit: str
    tolerance: float
    steps: Callable[..., list]
    slips: tuple = ()
    decimals: int = 0
    hidden: tuple = ()
    needs: str = ""

    def text(self, numbers):
        """Return the question with its numbers filled in."""
        return self.question.format(**numbers)

    def shown(self, value):
        """Return an answer as it is written: rounded, a half up as on paper, with its unit."""
        whole = math.floor(abs(value) * 10**self.decimals + 0.5 + 1e-9) / 10**self.decimals
        return f"{math.copysign(whole, value):,.{self.decimals}f} {self.unit}".strip()

    def mark(self, answer, numbers):
        """Return ``(right, what_to_say)`` for an answer in `unit`.

        Right means within `tolerance`; otherwise the slip that gives this answer is named, if one does.
        """
        truth = self.solve(**numbers)
        if abs(answer - truth) <= self.tolerance * (1 + 1e-9):
            return True, f"Right: {self.shown(truth)}."
        if slip := self.slip(answer, numbers):
            return False, f"Not yet. It looks like this slip: {slip.name}. {slip.advice}"
        side = "too high" if answer > truth else "too low"
        return (
            False,
            f"Not yet: {self.shown(answer)} is {side}. Write the steps down one by one, each with its unit.",
        )

    def slip(self, answer, numbers):
        """Return the slip that comes nearest to this answer, within `tolerance`, or None."""
        truth = self.solve(**numbers)
        wrong = {slip: slip.gives(**numbers) for slip in self.slips}
        near = [
            slip
            for slip, gives in wrong.items()
            if abs(answer - gives) <= self.tolerance < min(abs(gives - truth), abs(answer - truth))
        ]
        return min(near, key=lambda slip: abs(answer - wrong[slip]), default=None)


def seeded(*words):
    """Return a random generator that gives the same numbers for the same words (class name, exercise, sheet).

    Examples
    --------
    >>> bool(seeded("Tuesday", 1).random() == seeded("Tuesday", 1).random())
    True
    """
    return np.random.default_rng(zlib.crc32("|".join(map(str, words)).encode()))


def every():
    """Return all exercises by key, in lesson order.

    Examples
    --------
    >>> all(e.lesson.isdigit() for e in every().values())
    True
    """
    found = {}
    for topic in TOPICS:
        for exercise in import_module(f"woodcalc.lesson.exercises.{topic}").EXERCISES:
            if exercise.key in found:
                raise ValueError(f"two exercises are called {exercise.key!r}")
            found[exercise.key] = exercise
    return dict(sorted(found.items(), key=lambda item: item[1].lesson))
