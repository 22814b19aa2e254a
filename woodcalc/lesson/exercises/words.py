"""The words of the exercises: one text file a topic beside this one, tied to the topic's formulas."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from functools import lru_cache, partial
from pathlib import Path
from typing import Any

from woodcalc.checks import InputError, one_of, suggest
from woodcalc.lesson.exercise import FIELD, NEEDS, Draw, Exercise, Slip, Work, seeded

_EXERCISE: dict[str, type] = {
    "question": str, "unit": str, "tolerance": float, "steps": list, "slips": dict, "decimals": int, "hidden": list,
    "needs": str,
}  # fmt: skip
_LEFT_OUT = {"unit": "", "decimals": 0, "hidden": [], "needs": ""}  # what counts where the file does not say
_SLIP: dict[str, type] = {"name": str, "advice": str}
_EXPECTED: dict[type, str] = {
    str: '"words in quotes"', float: "a number", int: "a whole number", list: '["words", "in quotes"]',
    dict: "a part of its own, under a line in [ ]",
}  # fmt: skip


def read(
    topic: str, formulas: dict[str, tuple[Draw, Work]], folder: Path = Path(__file__).parent
) -> tuple[Exercise, ...]:
    """Return the exercises of a topic, in the order of its text file.

    Parameters
    ----------
    topic : str
        The text file's name without ``.toml``.
    formulas : dict of str to (draw, work)
        For each exercise's key, what `Exercise` calls `draw` and `work`.
    folder : Path
        Where the text file lies.

    Returns
    -------
    tuple of Exercise

    Raises
    ------
    InputError
        The file cannot be read, or lacks something; the message names file, exercise and field.

    Examples
    --------
    >>> from woodcalc.lesson.exercises import logs
    >>> logs.EXERCISES[0].slips[2].name
    'radius for diameter'
    """
    file = f"{topic}.toml"
    try:
        written = (folder / file).read_text(encoding="utf-8-sig")
        texts = tomllib.loads(written)
    except UnicodeDecodeError:
        raise InputError(f"{file}: not saved as UTF-8. Save it again with that encoding.") from None
    except OSError as error:
        raise InputError(
            f"{file} can't be read ({error.strerror or error}). Put it back in its place."
        ) from None
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{file}: {error}. Is a quote, a comma or a bracket missing there?") from None
    lesson = _value(texts.pop("lesson", None), str, f"{file}, lesson")
    if more := [key for key in texts if key not in formulas]:
        raise InputError(f"{file}, {more[0]}: {topic}.py has no formula under this key")
    if less := [key for key in formulas if key not in texts]:
        raise InputError(f"{file}: no exercise [{less[0]}], for which {topic}.py has a formula")
    begins = {line.strip(' []"'): n for n, line in enumerate(written.splitlines(), 1) if line[:1] == "["}
    tied = []
    for key, text in texts.items():
        try:
            tied.append(_tied(file, lesson, key, text, *formulas[key], begins.get(key, 0)))
        except InputError as error:
            raise InputError(f"{error} (the words of {key} begin at line {begins.get(key, 0)})") from None
    return tuple(tied)


def mistakes(exercise: Exercise, turns: int = 3) -> list[str]:
    """Return what is wrong between an exercise's words and its formula, a sentence each.

    Parameters
    ----------
    exercise : Exercise
    turns : int
        How many sets of numbers are dealt to try its fields on.

    Returns
    -------
    list of str
        Empty where all is well.

    Examples
    --------
    >>> from woodcalc.lesson.exercises import logs
    >>> mistakes(logs.EXERCISES[0])
    []
    """
    where, found = f"{exercise.file}, {exercise.key}", []
    asked = {name for name, _ in FIELD.findall(exercise.question)}
    told = {slip.key for slip in exercise.slips}
    for turn in range(turns):
        numbers = exercise.draw(seeded("words", exercise.key, turn))
        for say in (partial(exercise.text, numbers), partial(exercise.steps, **numbers)):
            try:
                say()
            except InputError as error:
                found.append(str(error))
        given = set(exercise.work(**numbers).slips)
        found += [f"{where}, slips: no formula for {key}" for key in sorted(told - given)]
        found += [
            f"{where}, slips: no words for {key}, which the formula gives" for key in sorted(given - told)
        ]
        found += [
            f"{where}, hidden: no number is called {name}" for name in exercise.hidden if name not in numbers
        ]
    found += [
        f"{where}, question: {{{name}}} is hidden, to be measured"
        for name in exercise.hidden
        if name in asked
    ]
    found += [
        f"{where}, slip {slip.key}: the words of a slip take no {{number}}"
        for slip in exercise.slips
        if set("{}") & set(slip.name + slip.advice)
    ]
    return list(dict.fromkeys(found))


def _tied(file: str, lesson: str, key: str, text: Any, draw: Draw, work: Work, line: int) -> Exercise:
    where = f"{file}, {key}"
    words = _part(text, _EXERCISE, _LEFT_OUT, where)
    one_of(f"{where}, needs", words["needs"], NEEDS)
    # a box and a key ask for answer, steps and slips one by one
    work = lru_cache(maxsize=64, typed=True)(work)
    slips = tuple(
        Slip(
            name,
            **_part(said, _SLIP, {}, f"{where}, slip {name}"),
            gives=_gives(work, name, f"{where}, slips"),
        )
        for name, said in words.pop("slips").items()
    )
    return Exercise(
        key, lesson, file, sentences=words.pop("steps"), slips=slips, draw=draw, work=work, line=line, **words
    )


def _gives(work: Work, key: str, where: str) -> Callable[..., float]:
    def gives(**numbers: Any) -> float:
        slips = work(**numbers).slips
        if key not in slips:
            raise InputError(f"{where}: no formula for {key}")
        return slips[key]

    return gives


def _part(text: Any, kinds: dict[str, type], left_out: dict[str, Any], where: str) -> dict[str, Any]:
    """Return the values of a part of the file, or say which is not as it should be."""
    part = left_out | _value(text, dict, where)
    if more := [name for name in part if name not in kinds]:
        raise InputError(f"{where}: {suggest(more[0], list(kinds), 'field')}")
    if less := [name for name in kinds if part.get(name, "") == "" and name not in left_out]:
        raise InputError(f"{where}: no {less[0]}")
    return {name: _value(part[name], kind, f"{where}, {name}") for name, kind in kinds.items()}


def _value(value: Any, kind: type, where: str) -> Any:
    """Return a value of its kind; the lines of a text are joined."""
    if kind is list and isinstance(value, list):
        return tuple(_value(item, str, where) for item in value)
    if kind is float and type(value) is int:
        return float(value)
    if not isinstance(value, kind):
        raise InputError(f"{where}: expected {_EXPECTED[kind]}, found {value!r}")
    return " ".join(map(str.strip, value.strip().splitlines())) if isinstance(value, str) else value
