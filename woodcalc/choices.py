"""The learner's place, species, thickness and month: chosen once, kept for the other lessons.

They lie in `choices.json` in the learner's own folder: `lessons/my-wood/`, or the folder that the environment
variable `WOODCALC_MY_WOOD` names. Nothing else of the computer's set-up is touched.
"""

import json
import os
import warnings
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path

from woodcalc.checks import InputError, RangeWarning, within
from woodcalc.keep import locked, save
from woodcalc.record_cells import nominal

VARIABLE = "WOODCALC_MY_WOOD"


@dataclass(frozen=True)
class Choices:
    """What the lessons start from.

    Parameters
    ----------
    place : str
        A climate site.
    species : str
        A wood.
    thickness : str
        Rough thickness by name, ``"4/4"`` to ``"16/4"``.
    month : int
        Month of stacking, 1 to 12.
    larger_print : bool
        Panels start in larger type, for a class.
    keep_answers : bool
        Answers typed into the lessons are kept in `answers.csv` beside the choices, for whoever leads the class.

    Examples
    --------
    >>> Choices(thickness="8/4").thickness_in
    2.0
    """

    place: str = "Madison, WI"
    species: str = "northern red oak"
    thickness: str = "4/4"
    month: int = 5
    larger_print: bool = False
    keep_answers: bool = False

    @property
    def thickness_in(self):
        """Nominal thickness in inches."""
        return int(self.thickness.split("/")[0]) / 4


def folder():
    """Return the learner's own folder; it need not exist yet.

    Examples
    --------
    >>> folder().is_absolute()
    True
    """
    if os.environ.get(VARIABLE):
        return Path(os.environ[VARIABLE]).expanduser().absolute()
    here = Path.cwd()
    lessons = Path(__file__).parent.parent / "lessons"
    if (here / "00-start-here.ipynb").exists() or not lessons.is_dir():  # a copy of the lessons keeps its own
        return here / "my-wood"
    return lessons / "my-wood"


def read():
    """Return the kept choices; what was never chosen, or no longer makes sense, is as in `Choices`.

    Returns
    -------
    Choices

    Warns
    -----
    RangeWarning
        The file cannot be read, or a value in it is unknown.

    Examples
    --------
    >>> read().month in range(1, 13)
    True
    """
    path = folder() / "choices.json"
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
        if not isinstance(kept, dict):
            raise ValueError("not a list of names and values")
        kept = {f.name: kept[f.name] for f in fields(Choices) if f.name in kept}
    except FileNotFoundError:
        return Choices()
    except (OSError, ValueError, TypeError) as error:
        message = f"{path.name} cannot be read ({error}); the usual choices stand in"
        warnings.warn(message, RangeWarning, stacklevel=2)
        return Choices()
    found = Choices()
    for name, value in kept.items():
        try:
            found = _checked(found, {name: value})
        except InputError as error:
            warnings.warn(f"{path.name}: {error} The usual {name} stands in", RangeWarning, stacklevel=2)
    return found


def keep(**changes):
    """Keep new choices for the other lessons.

    Parameters
    ----------
    **changes
        Any of the fields of `Choices`.

    Returns
    -------
    Choices
        All choices as they now are.

    Raises
    ------
    InputError
        An unknown place, species, thickness or month.
    SaveError
        The file could not be written; the old choices are still there.
    """
    path = folder() / "choices.json"
    _checked(Choices(), changes)  # before the folder is made
    with locked(path):
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RangeWarning)
            chosen = _checked(read(), changes)
        save(path, (json.dumps(asdict(chosen), indent=1) + "\n").encode("utf-8"))
    return chosen


def _checked(choices, changes):
    unknown = set(changes) - {f.name for f in fields(Choices)}
    if unknown:
        asked = ", ".join(sorted(unknown))
        known = ", ".join(f.name for f in fields(Choices))
        raise InputError(f"unknown choice {asked}. Known: {known}.")
    good = {}
    if "place" in changes:
        from woodcalc import climate

        good["place"] = climate.get(changes["place"]).name
    if "species" in changes:
        from woodcalc import species

        good["species"] = species.get(changes["species"]).name
    if "thickness" in changes:
        good["thickness"] = nominal(str(changes["thickness"]))[0]
        if not good["thickness"]:
            asked = changes["thickness"]
            raise InputError(f"thickness = {asked!r}: expected quarters of an inch, like 4/4 or 8/4.")
    if "month" in changes:
        good["month"] = int(within("month", changes["month"], 1, 12))
    for name in ("larger_print", "keep_answers"):
        if name in changes:
            good[name] = changes[name] is True
    return replace(choices, **good)
