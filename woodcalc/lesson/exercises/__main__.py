"""Check the words of every exercise against its formula: ``python -m woodcalc.lesson.exercises``."""

from __future__ import annotations

import sys

from woodcalc.checks import InputError
from woodcalc.lesson.exercise import every
from woodcalc.lesson.exercises.words import mistakes


def main() -> int:
    """Print what is wrong in the text files, and return 1 if anything is."""
    try:
        exercises = every().values()
    except InputError as error:  # the file cannot be read at all; the others wait for it
        print(error)
        return 1
    found = [mistake for exercise in exercises for mistake in mistakes(exercise)]
    print("\n".join(found) or f"{len(exercises)} exercises: words and formulas fit.")
    return int(bool(found))


if __name__ == "__main__":
    sys.exit(main())
