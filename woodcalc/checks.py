"""Range checks on what a person typed: say what was found, what was expected, and the likely slip."""

from __future__ import annotations

import warnings
from collections.abc import Collection, Sequence
from typing import TYPE_CHECKING, Any, TypeAlias, TypeVar

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    # What a calculator takes: a number, or any row or table of them. Numpy's ArrayLike would let words pass.
    Numbers: TypeAlias = (
        float
        | np.floating
        | np.integer
        | NDArray[np.floating | np.integer]
        | Sequence[float]
        | Sequence[Sequence[float]]
    )
    # Of thicknesses, which have names: "5/4"
    NumbersOrNames: TypeAlias = Numbers | str | Sequence[str | float] | NDArray[np.str_ | np.object_]

    class FloatOrArray(float, NDArray[np.float64]):  # type: ignore[misc]  # in no run is it both
        """A float for numbers, an array as soon as one of them is an array.

        Which of the two shows only when it runs. The type checker takes it for both, and refuses what neither can do.
        """

else:
    Numbers = NumbersOrNames = FloatOrArray = float | np.ndarray

T = TypeVar("T")


class InputError(ValueError):
    """A value that cannot be right; the message names it, the range, and where known the usual slip."""

    unknown = False  # a name that the book does not have
    near: tuple[str, ...] = ()  # those that may be meant by it


class RangeWarning(UserWarning):
    """A value outside the range that a model was made for; the answer is given, with less trust."""


def within(
    name: str, value: ArrayLike, low: float, high: float, unit: str = "", hint: str = ""
) -> FloatOrArray:
    """Return `value` as a float or float array, or raise if any of it lies outside `low` to `high`.

    Parameters
    ----------
    name : str
        What the value is called where the reader typed it, e.g. ``"small_in"``.
    value : float or array-like
        The value, in `unit`.
    low, high : float
        Least and greatest possible value, both allowed.
    unit : str
        Unit shown in the message.
    hint : str
        The likely slip, as a question or sentence, e.g. ``"Is it in cm?"``.

    Returns
    -------
    float or ndarray
        A float for a scalar, otherwise an array.

    Raises
    ------
    InputError
        Not a number, or outside the range.

    Examples
    --------
    >>> within("length_ft", 12, 1, 60, "ft")
    12.0
    """
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise InputError(
            f"{name} = {value!r}: expected a number from {low:g} to {high:g} {unit}".rstrip()
        ) from None
    bad = ~((array >= low) & (array <= high))  # catches NaN too
    if bad.any():
        found = array[bad].flat[0]
        message = f"{name} = {found:g}: expected {low:g} to {high:g} {unit}".rstrip() + "."
        raise InputError(f"{message} {hint}".rstrip())
    return plain(array)


def doubtful(name: str, value: ArrayLike, low: float, high: float, unit: str = "", why: str = "") -> None:
    """Warn (`RangeWarning`) if any of `value` lies outside the range that a model was made for.

    Parameters
    ----------
    name, value, low, high, unit :
        As in `within`.
    why : str
        What the range stands for, e.g. ``"the rule's table ends at 40 in"``.

    Examples
    --------
    >>> doubtful("temp_f", 70, 30, 270, "F")
    """
    array = np.asarray(value, dtype=float)
    if ((array < low) | (array > high)).any():
        text = f"{name} outside {low:g} to {high:g} {unit}".rstrip()
        warnings.warn(f"{text}: {why}" if why else text, RangeWarning, stacklevel=3)


def one_of(name: str, value: T, choices: Collection[T]) -> T:
    """Return `value` if it is among `choices`, or raise.

    Parameters
    ----------
    name : str
        What the value is called where the reader typed it.
    value : object
        What was typed.
    choices : collection
        What there is.

    Raises
    ------
    InputError
        The message lists the choices.

    Examples
    --------
    >>> one_of("halves", "up", ["up", "down"])
    'up'
    """
    if value not in choices:
        raise InputError(f"{name} = {value!r}: expected one of {', '.join(map(repr, choices))}.")
    return value


def plain(array: ArrayLike) -> FloatOrArray:
    """Return a 0-d array as a float, any other array unchanged.

    Parameters
    ----------
    array : array-like
        Of numbers, of any shape.

    Examples
    --------
    >>> plain(np.asarray(3.0))
    3.0
    """
    whole: Any = np.asarray(array)
    return whole.item() if whole.ndim == 0 else whole


def suggest(name: object, known: Sequence[str], what: str) -> InputError:
    """Return an `InputError` for an unknown `name` that offers the nearest of `known`.

    Parameters
    ----------
    name : str
        What was asked for.
    known : sequence of str
        What there is.
    what : str
        The kind of thing, e.g. ``"species"``.

    Returns
    -------
    InputError
        To be raised by the caller.

    Examples
    --------
    >>> print(suggest("red oka", ["northern red oak", "white oak"], "species"))
    unknown species 'red oka'. Did you mean northern red oak?
    """
    import difflib

    lower = {k.lower(): k for k in known}
    asked = str(name).lower().strip()
    near = [lower[k] for k in difflib.get_close_matches(asked, lower, n=3, cutoff=0.6)]
    words = [k for k in known if any(w in k.lower().split() for w in asked.split())]
    near = list(dict.fromkeys(near + words))[:4]
    if near:
        offer = (
            "Did you mean "
            + (" or ".join(near) if len(near) < 3 else ", ".join(near[:-1]) + " or " + near[-1])
            + "?"
        )
    else:
        offer = f"Known: {', '.join(list(known)[:8])} ..."
    error = InputError(f"unknown {what} {name!r}. {offer}")
    error.unknown, error.near = True, tuple(near)
    return error


def capital(words: str) -> str:
    """Return words with a large letter at their beginning, and the others as they are.

    Parameters
    ----------
    words : str

    Examples
    --------
    >>> capital("white oak, from MN")
    'White oak, from MN'
    """
    return words[:1].upper() + words[1:]


def count_of(n: int, what: str) -> str:
    """Return so many of a thing, in words.

    Parameters
    ----------
    n : int
        How many.
    what : str
        Its name in the singular.

    Examples
    --------
    >>> count_of(1, "log"), count_of(1200, "board")
    ('1 log', '1,200 boards')
    """
    return f"{n:,} {what}{'s' * (n != 1)}"


def quoted(text: str) -> str:
    """Return what was typed between quotes, as it was typed: without a backslash where it holds both kinds of them.

    Parameters
    ----------
    text : str

    Examples
    --------
    >>> print(quoted("red oka"), quoted("10' 6\\""))
    'red oka' '10' 6"'
    """
    return repr(text).replace("\\'", "'")


def in_a_list(names: Sequence[str]) -> str:
    """Return names as a sentence lists them.

    Parameters
    ----------
    names : sequence of str
        One or more.

    Returns
    -------
    str

    Examples
    --------
    >>> in_a_list(["W1", "W2", "W3"]), in_a_list(["W1"])
    ('W1, W2 and W3', 'W1')
    """
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))


def blank(value: object) -> bool:
    """Return whether a cell holds nothing: None, no text, NaN or another of pandas' missing values.

    Parameters
    ----------
    value : object
        A cell of a table.

    Examples
    --------
    >>> blank(""), blank(float("nan")), blank(0), blank("oak")
    (True, True, False, False)
    """
    if value is None or (isinstance(value, str) and not value):
        return True
    try:
        return bool(value != value)
    except (TypeError, ValueError):  # pandas' NA is neither equal nor unequal; a list is no value of a cell
        return not isinstance(value, (list, tuple, dict, set))
