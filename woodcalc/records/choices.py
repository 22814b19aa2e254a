"""The learner's place, species, thickness and month: chosen once, kept for the other lessons.

They lie in `choices.json` in the learner's own folder: `lessons/my-wood/`, or the folder that the environment
variable `WOODCALC_MY_WOOD` names. Nothing else of the computer's set-up is touched.
"""

from __future__ import annotations

import contextlib
import json
import os
import warnings
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from woodcalc import tables
from woodcalc.checks import InputError, RangeWarning, blank, within
from woodcalc.disk import SaveError, locked, short_path
from woodcalc.records.cells import nominal, place_name
from woodcalc.records.keep import Version, answered, content, overwritten, save, versions, why_broken
from woodcalc.sizes import nominal_in

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from woodcalc.climate import Site
    from woodcalc.species import Species

KETTLE_HOLLOW = tables.folder() / "woodlots" / "kettle-hollow"  # invented records, to learn with
VARIABLE = "WOODCALC_MY_WOOD"
ROOM = "WOODCALC_READING_ROOM"  # set where strangers read on somebody else's computer
FILE = "choices.json"
OWN_PLACES = "own places"  # in that file: name of each, and what `climate.from_monthly` makes it from
MOST_OWN_PLACES = 20
OWN_WOODS = "own woods"  # name of each, and what `own_wood.from_figures` makes it from
CHOSEN_AS = {OWN_PLACES: "place", OWN_WOODS: "species"}  # what of `Choices` may name one
ENTERED = (OWN_PLACES, OWN_WOODS, "mill")  # in that file: what was typed, not picked from a list
MOST_OWN_WOODS = 20
NEW_VERSIONS = "new versions"  # beside a learner's lessons: newer ones, which `hand_out` put there
HANDED_OUT = ".handed-out.json"  # lies in a folder of lessons that `hand_out` made
_LARGEST = 1_000_000  # bytes that are looked at


@dataclass(frozen=True)
class Choices:
    """What the lessons start from.

    Attributes
    ----------
    place : str
        A weather station, or a place of one's own.
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
    def thickness_in(self) -> float:
        """Nominal thickness in inches."""
        return nominal_in(self.thickness)


def within_reach(path: Path) -> Path:
    """Return a path that was typed; in a reading room, where the computer is another's, only one's own folder.

    Parameters
    ----------
    path : path

    Raises
    ------
    InputError
        It lies outside, and this is a reading room.

    Examples
    --------
    >>> within_reach(Path("logs.csv")).name
    'logs.csv'
    """
    if os.environ.get(ROOM) and not path.resolve().is_relative_to(folder().resolve()):
        raise InputError(
            "This is a reading room: files of this computer can't be opened here. Do it at home."
        )
    return path


def folder(here: str | Path | None = None) -> Path:
    """Return the learner's own folder; it need not exist yet.

    Parameters
    ----------
    here : path, optional
        Where the lesson lies that asks; the present folder if left out.

    Raises
    ------
    InputError
        The folder that the lesson was opened in is gone.

    Examples
    --------
    >>> folder().is_absolute()
    True
    """
    if os.environ.get(VARIABLE):
        return Path(os.environ[VARIABLE]).expanduser().absolute()
    try:
        here = Path(here or Path.cwd()).absolute()
    except FileNotFoundError:
        raise InputError(
            "the folder that this lesson was opened in is gone. Was it moved or deleted? Close the lesson, and open "
            "it where it is now."
        ) from None
    if here.name in (NEW_VERSIONS, "leader") and _holds_lessons(here.parent):
        here = here.parent  # beside a learner's lessons: the records are the same
    if tables.installed() or _holds_lessons(here):
        return here / "my-wood"  # a copy of the lessons keeps its own
    return tables.lessons() / "my-wood"


def _holds_lessons(folder):
    try:
        return (folder / "00-start-here.ipynb").exists() or (folder / HANDED_OUT).exists()
    except OSError:
        return False


def read() -> Choices:
    """Return the kept choices; what was never chosen, or no longer makes sense, is as in `Choices`.

    Returns
    -------
    Choices

    Warns
    -----
    RangeWarning
        The file cannot be read, or values in it are unknown; one sentence for all of it.

    Examples
    --------
    >>> read().month in range(1, 13)
    True
    """
    found, odd = Choices(), []
    try:
        kept = values_in(folder() / FILE)
    except (OSError, ValueError, RecursionError) as error:
        why = getattr(error, "strerror", None) or f"{error}"[:120].rstrip(".")
        warnings.warn(
            f"{FILE} cannot be read ({why}); the usual choices stand in", RangeWarning, stacklevel=2
        )
        return found
    _let_know(kept)
    for name in (f.name for f in fields(Choices) if f.name in kept):
        try:
            found = _checked(found, {name: kept[name]})
        except InputError:
            odd.append(name)
    if odd:
        found_there = ", ".join(f"{name.replace('_', ' ')} {str(kept[name])[:40]!r}" for name in odd)
        usual = ", ".join(str(getattr(found, name)) for name in odd)
        message = f"{FILE} holds {found_there}, which cannot be used; the usual choice stands in ({usual})"
        warnings.warn(message, RangeWarning, stacklevel=2)
    return found


def kept_choices() -> Choices:
    """Return the learner's choices without a word about a broken file: lesson 00 tells it, and once is enough.

    Examples
    --------
    >>> kept_choices().month in range(1, 13)
    True
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return read()


def _let_know(kept):
    """Let `climate` and `species` know the places and woods of one's own.

    One that cannot be made is left out, and says so if it is chosen.
    """
    _let_know_woods(kept.get(OWN_WOODS))
    places = kept.get(OWN_PLACES)
    if not isinstance(places, dict) or not places:
        return
    from woodcalc import climate

    for figures in [*places.values()][-MOST_OWN_PLACES:]:
        if isinstance(figures, dict) and figures != _KNOWN.get(str(figures.get("name"))):
            with contextlib.suppress(InputError, TypeError, ValueError, AttributeError):
                climate.know(climate.from_monthly(**figures))
                _KNOWN[figures["name"]] = figures
                place_name.cache_clear()


def _let_know_woods(kept):
    """The woods of one's own are those that are kept: others, of another folder perhaps, are forgotten."""
    each = [*kept.values()][-MOST_OWN_WOODS:] if isinstance(kept, dict) else []
    now = {str(figures.get("name")).casefold(): figures for figures in each if isinstance(figures, dict)}
    if now == _KNOWN_WOODS:
        return
    from woodcalc import species
    from woodcalc.records import own_wood

    for name in {*_KNOWN_WOODS} - {*now}:
        species.forget(name)
    for name, figures in now.items():
        if figures != _KNOWN_WOODS.get(name):
            with contextlib.suppress(InputError, TypeError, ValueError, AttributeError):
                species.know(own_wood.from_figures(**figures), kept=True)
    _KNOWN_WOODS.clear()
    _KNOWN_WOODS.update(now)
    tables.forget()


_KNOWN: dict[str, dict[str, Any]] = {}  # a place that is read again as it was stays the same one
_KNOWN_WOODS: dict[str, dict[str, Any]] = {}


def keep_place(site: Site) -> None:
    """Keep a place of one's own beside the choices, so that every lesson finds it by its name.

    Parameters
    ----------
    site : Site
        From `climate.from_monthly` or `climate.read_weather_file`; its months are kept, its hours are not.

    Raises
    ------
    InputError
        It has no name, or a station's.
    SaveError
        The file could not be written; the places kept before are still there.
    """
    from woodcalc import climate

    climate.know(site)  # refuses a name that is taken
    figures = climate.figures_of(site)

    def with_it(kept):
        places = kept.get(OWN_PLACES)
        places = {**(places if isinstance(places, dict) else {})}
        places.pop(site.name, None)
        return kept | {OWN_PLACES: dict([*places.items(), (site.name, figures)][-MOST_OWN_PLACES:])}

    change(with_it)
    kept_choices()


def kept_woods() -> list[dict[str, Any]]:
    """Return what the woods of one's own are made from, as they are kept; none where nothing can be read.

    Examples
    --------
    >>> kept_woods()
    []
    """
    return _entered(OWN_WOODS)


def kept_places() -> list[dict[str, Any]]:
    """Return what the places of one's own are made from, as they are kept; none where nothing can be read.

    Examples
    --------
    >>> kept_places()
    []
    """
    return _entered(OWN_PLACES)


def _entered(what):
    return [each for each in kept_under(what).values() if isinstance(each, dict)]


def take_out(what: str, name: str) -> dict[str, Any]:
    """Take a place or wood of one's own out of those that are kept; if it was chosen, the usual one is.

    Parameters
    ----------
    what : str
        `OWN_PLACES` or `OWN_WOODS`.
    name : str

    Returns
    -------
    dict
        What of the file changed, as it was: for `put_back`.

    Raises
    ------
    InputError
        None of that name is kept.
    SaveError
        The file could not be written; it is still there.
    """
    from woodcalc import climate

    choice = CHOSEN_AS[what]
    was: dict[str, Any] = {}

    def without(kept):
        there = kept.get(what) if isinstance(kept.get(what), dict) else {}
        gone = {key: each for key, each in there.items() if key.casefold() == name.casefold()}
        if not gone:
            raise InputError(f"{name} is not among your own any more: nothing was taken out.")
        was.update({what: gone})
        left = kept | {what: {key: each for key, each in there.items() if key not in gone}}
        if str(kept.get(choice)).casefold() == name.casefold():
            was[choice] = kept[choice]
            left.pop(choice)
        return left

    change(without)
    if what == OWN_PLACES:
        _KNOWN.pop(name, None)
        climate.forget(name)
        place_name.cache_clear()
    kept_choices()
    return was


def put_back(was: dict[str, Any]) -> None:
    """Put back what `take_out` took out; what has been kept since stays.

    Parameters
    ----------
    was : dict
        From `take_out`.

    Raises
    ------
    SaveError
        The file could not be written.
    """

    def with_it(kept):
        back = {}
        for key, each in was.items():
            there = kept.get(key)
            back[key] = (
                {**each, **(there if isinstance(there, dict) else {})} if isinstance(each, dict) else each
            )
        return kept | back

    change(with_it)
    kept_choices()


def keep_wood(**figures: Any) -> Species:
    """Keep a wood of one's own beside the choices, so that every lesson finds it by its name.

    Parameters
    ----------
    **figures
        As `own_wood.from_figures` takes them; a wood of the same name makes way.

    Returns
    -------
    Species

    Raises
    ------
    InputError
        As in `own_wood.from_figures`, or a name that a wood of the table goes by.
    SaveError
        The file could not be written; the woods kept before are still there.
    """
    from woodcalc import species
    from woodcalc.records import own_wood

    wood = own_wood.from_figures(**figures)
    species.check_own_name(wood.name)
    told = wood_as_kept(wood.name, figures)

    def with_it(kept):
        there = kept.get(OWN_WOODS) if isinstance(kept.get(OWN_WOODS), dict) else {}
        there = {name: each for name, each in there.items() if name.casefold() != wood.name.casefold()}
        return kept | {OWN_WOODS: dict([*there.items(), (wood.name, told)][-MOST_OWN_WOODS:])}

    change(with_it)
    kept_choices()
    return species.get(wood.name)


def wood_as_kept(name: str, figures: dict[str, Any]) -> dict[str, Any]:
    """Return what is kept of a wood of one's own: its name and what was typed of it, without the blanks.

    Parameters
    ----------
    name : str
    figures : dict
        As `own_wood.from_figures` takes them.

    Examples
    --------
    >>> wood_as_kept("bur oak", {"name": " Bur  oak", "kind": "hardwood", "like": "", "basic_sg": None})
    {'name': 'bur oak', 'kind': 'hardwood'}
    """
    return {key: value for key, value in figures.items() if value not in (None, "")} | {"name": name}


def another_year(site: Site) -> bool:
    """Return whether another place of one's own is kept under this one's name, which `keep_place` would write over.

    Parameters
    ----------
    site : Site

    Returns
    -------
    bool

    Examples
    --------
    >>> from woodcalc import climate
    >>> another_year(climate.from_monthly("A hollow that nobody kept", [50] * 12, [70] * 12))
    False
    """
    from woodcalc import climate

    mine = climate.figures_of(site)
    return any(
        str(each.get("name", "")).casefold() == site.name.casefold() and each != mine
        for each in kept_places()
    )


def values_in(path: Path) -> dict[str, Any]:
    """Return what a file of choices holds, name to value; nothing if there is none.

    Parameters
    ----------
    path : Path

    Returns
    -------
    dict

    Raises
    ------
    OSError, ValueError
        It cannot be read, or holds something else.

    Examples
    --------
    >>> values_in(folder() / "none.json")
    {}
    """
    try:
        with open(path, "rb") as file:
            data = file.read(_LARGEST)
    except FileNotFoundError:
        return {}
    return _values(data)


def _values(data):
    """What the bytes of a file of choices say."""
    wide = data[:2] in (b"\xff\xfe", b"\xfe\xff")
    try:
        kept = json.loads(data.decode("utf-16" if wide else "utf-8-sig", "strict" if wide else "replace"))
    except RecursionError:
        raise ValueError("lists within lists, too many to read") from None
    except ValueError:
        raise ValueError(why_broken(data)) from None
    if not isinstance(kept, dict):
        raise ValueError("not a list of names and values")
    return kept


def kept_under(name: str) -> dict[str, Any]:
    """Return what else is kept with the choices under a name; nothing where that cannot be read.

    Parameters
    ----------
    name : str

    Returns
    -------
    dict

    Examples
    --------
    >>> kept_under("a name that nobody uses")
    {}
    """
    try:
        kept = values_in(folder() / FILE).get(name)
    except (OSError, ValueError):  # told where the choices are read
        return {}
    return kept if isinstance(kept, dict) else {}


def keep_under(name: str, what: dict[str, Any]) -> None:
    """Keep something else with the choices, for the other lessons; whatever else the file holds stays in it.

    Parameters
    ----------
    name : str
    what : dict
        What else is kept under the name stays, too.

    Raises
    ------
    SaveError
        The file could not be written; what was kept is still there.
    """

    def with_it(kept):
        there = kept.get(name)
        return {**kept, name: {**(there if isinstance(there, dict) else {}), **what}}

    change(with_it)


def keep(**changes: Any) -> Choices:
    """Keep new choices for the other lessons; whatever else the file holds stays in it.

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
    kept_choices()  # the places of one's own are known by then
    chosen = _checked(Choices(), changes)  # before the folder is made
    chosen_now = {name: getattr(chosen, name) for name in changes}

    def with_them(kept):
        usual = {name: value for name, value in asdict(Choices()).items() if name not in kept}
        return {**usual, **kept, **chosen_now}

    change(with_them)
    return kept_choices()


def change(how: Callable[[dict[str, Any]], dict[str, Any]]) -> None:
    """Write what `how` makes of all that the file of choices holds; nobody else writes in between.

    Parameters
    ----------
    how : callable
        Given what is kept, name to value; returns what is to be kept.

    Raises
    ------
    SaveError
        The file cannot be read, and nothing is written over it; or it cannot be written.
    """
    path = folder() / FILE
    with locked(path):
        if _parts_of(content(path)) is not None and overwritten(path, content(path)) and not lost_parts(path):
            with contextlib.suppress(SaveError):
                answered(path)  # nothing that was typed is gone: there is nothing to ask
        save(path, (json.dumps(how(_to_change(path)), indent=1) + "\n").encode("utf-8"))


@dataclass(frozen=True)
class LostPart:
    """A place, a wood or the mill of one's own that another program took out with an older file of choices.

    Attributes
    ----------
    what : str
        One of `ENTERED`.
    name : str
        "" for the mill.
    holds : dict
        What was typed of it.
    version : Version
        The newest that the book saved with it.
    """

    what: str
    name: str
    holds: dict[str, Any]
    version: Version

    def __str__(self):
        of = {OWN_PLACES: f"Your place {self.name}", OWN_WOODS: f"Your wood {self.name}"}
        return (
            f"{of.get(self.what, 'Your mill')} is no longer in {FILE}: it was in it at the save of {self.version}, and "
            "another program wrote the file after that."
        )


def lost_parts(path: Path | None = None) -> list[LostPart]:
    """Return what was typed and is gone from the choices, and nobody took out in the book.

    Parameters
    ----------
    path : Path, optional
        The file of choices; the learner's if left out.

    Returns
    -------
    list of LostPart

    Examples
    --------
    >>> lost_parts(Path("no-such-folder/choices.json"))
    []
    """
    path = path or folder() / FILE
    data = content(path)
    overs = overwritten(path, data)
    now = _parts_of(data)
    if not overs or now is None:  # what cannot be read is told elsewhere, with the way back
        return []
    found: dict[tuple[str, str], LostPart] = {}
    for over in overs:
        had = _parts_of(content(over.before.path)) or {}
        after = data if over.after is None else over.after
        known = {key for version in over.common for key in _parts_of(content(version.path)) or ()}
        for key in had.keys() - (_parts_of(after) or {}).keys() - now.keys() - known:
            found[key] = LostPart(key[0], key[1], had[key], over.before)
    return [found[key] for key in sorted(found)]


def _parts_of(data):
    """What was typed of the choices, by what it is and its name; None if they cannot be read."""
    try:
        kept = _values(data)
    except (ValueError, RecursionError):
        return None
    parts = {
        (what, str(name)): each
        for what in CHOSEN_AS
        for name, each in (kept[what].items() if isinstance(kept.get(what), dict) else ())
        if isinstance(each, dict)
    }
    mill = kept.get("mill")
    return parts | ({("mill", ""): mill} if isinstance(mill, dict) and mill else {})


def bring_back(parts: Sequence[LostPart]) -> None:
    """Put lost parts back; what has been kept since stays.

    Parameters
    ----------
    parts : sequence of LostPart
        As from `lost_parts`.

    Raises
    ------
    SaveError
        The file could not be written.
    """
    was: dict[str, Any] = {}
    for part in parts:
        was.setdefault(part.what, {}).update({part.name: part.holds} if part.name else part.holds)
    put_back(was)
    lost_parts_meant()


def lost_parts_meant() -> None:
    """Remember that what is gone from the choices is meant to be; the versions that held it stay for a while.

    Raises
    ------
    SaveError
        It cannot be noted.
    """
    path = folder() / FILE
    with locked(path):
        answered(path)


def _to_change(path):
    """What a file of choices holds, to be written again with a change."""
    try:
        return values_in(path)
    except (ValueError, RecursionError):
        return _entered_before(path)
    except OSError as error:
        why = error.strerror or error
        raise SaveError(f"{short_path(path)} was not saved: what is in it cannot be read ({why}).") from error


def _entered_before(path):
    """Own woods, places and mill of the newest version that can be read: what was typed is not lost with the file."""
    for version in versions(path):
        with contextlib.suppress(OSError, ValueError, RecursionError):
            held = values_in(version.path)
            return {name: held[name] for name in ENTERED if name in held}
    return {}


def _checked(choices, changes):
    """The choices with some of them changed, or an `InputError`."""
    unknown = set(changes) - {f.name for f in fields(Choices)}
    if unknown:
        asked = ", ".join(sorted(unknown))
        known = ", ".join(f.name for f in fields(Choices))
        raise InputError(f"unknown choice {asked}. Known: {known}.")
    good = {}
    for name, value in changes.items():
        try:
            good[name] = _CHECKS[name](value)
        except (TypeError, AttributeError, KeyError, OverflowError) as error:
            raise InputError(f"{name} = {str(value)[:60]!r}: not a {name} that can be chosen.") from error
    return replace(choices, **good)


def _place(name):
    from woodcalc import climate

    return climate.get(name).name


def _species(name):
    from woodcalc import species

    return species.get(name).name


def _thickness(asked):
    name = nominal(str(asked))[0]
    if not name or not 1 <= nominal_in(name) <= 4:
        raise InputError(f"thickness = {str(asked)[:60]!r}: expected quarters of an inch, from 4/4 to 16/4.")
    return name


def _month(number):
    month = within("month", number, 1, 12)
    if isinstance(number, bool) or month != int(month):
        raise InputError(f"month = {number!r}: expected a whole number from 1 to 12.")
    return int(month)


def _yes_or_no(answer):
    if not isinstance(answer, bool):
        raise InputError(f"{str(answer)[:60]!r}: expected true or false.")
    return answer


_CHECKS = {
    "place": _place,
    "species": _species,
    "thickness": _thickness,
    "month": _month,
    "larger_print": _yes_or_no,
    "keep_answers": _yes_or_no,
}


def standing_at(stack: Any, usual: Any) -> Any:
    """Return where a stack stands: what its row says, else the usual place.

    Parameters
    ----------
    stack : row of the stacks table
    usual : str or Site
    """
    named = getattr(stack, "place", None)
    return usual if blank(named) else named
