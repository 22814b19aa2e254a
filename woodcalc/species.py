"""What is known of each wood: shrinkage, density, water when green, safe drying, stiffness.

The table is `data/species.csv`; every figure there has a status column (``seen``, ``from memory`` ...)
and a source column beside it. A figure that is not known stays missing: None here. A wood of one's own, which the
table lacks, is made by `own_wood` and stands beside them as soon as it is known (`know`).
"""

from __future__ import annotations

import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, fields
from functools import cache
from itertools import product
from typing import TYPE_CHECKING, Any

from woodcalc import tables
from woodcalc.checks import InputError, blank, capital, suggest

if TYPE_CHECKING:
    import pandas as pd


WATER_LB_PER_FT3 = 62.43  # water at 39 F, the basis of specific gravity (Wood Handbook FPL-GTR-190, ch. 4)

_APART = 10.0  # points between heartwood and sapwood, from which on their shares tell (judgment)

PARTS = ("mixed", "heartwood", "sapwood")  # of the log, that a board is cut from

# Share of sapwood in boards of a whole log, where the printed average says nothing of it: a ring of 1 to 1.5 in on a
# log of 14 to 16 in is about that (common practice). Four piles in five have none to twice as much (judgment).
USUAL_SAPWOOD, _FOUR_IN_FIVE = 0.3, 1.28

# Boards below this moisture content are past the danger of new surface checks; the limit of daily loss is
# shown above it. Wengert (trade press column) says limits matter most above 45 %; 25 % is common practice.
LIMIT_ABOVE_MC = 25.0


@dataclass(frozen=True)
class Species:
    """One wood, as in `data/species.csv`.

    Attributes
    ----------
    name, botanical : str
    kind : str
        ``"hardwood"`` or ``"softwood"``.
    shrink_radial_pct, shrink_tangential_pct, shrink_volumetric_pct : float
        Shrinkage from green to oven-dry, % of the green size.
    basic_sg : float
        Specific gravity: oven-dry weight over green volume, water = 1.
    green_mc_pct : float
        Moisture content of a green tree on the average, % of the oven-dry weight.
    green_mc_heartwood_pct, green_mc_sapwood_pct : float or None
    sapwood_stand_in_pct : float or None
        Sapwood of a close relative, for a softwood whose own is not printed: its sapwood holds several times the water
        of the heartwood. Of a wood of one's own, as wet as the wettest sapwood of its kind.
    c_r, c_t : float or None
        Change of size per 1 % change of moisture content, radial and tangential, 6 to 14 % MC.
    shrink_start_mc_pct : float
        Moisture content at which shrinkage begins.
    safe_loss_4_4_pct_per_day, safe_loss_8_4_pct_per_day : float or None
        Greatest safe loss of moisture content in one day, for 1 in and 2 in stock.
    air_dry_days_min, air_dry_days_max : float or None
        Published days from green to 20 % for 1 in lumber, best season to worst.
    moe_green_psi : float or None
        Modulus of elasticity of green clear wood.
    notes : str
        Doubts, and which figures stand for a group of woods.
    like : str
        Of a wood of one's own: the wood of the table that it dries most like, or "".
    basic_sg_varies, shrink_varies, green_mc_varies : float
        How far that figure may be off because it is its group's and not its own: a standard deviation, as a share of
        the figure. 0 for the woods of the table.
    """

    name: str
    botanical: str
    kind: str
    shrink_radial_pct: float
    shrink_tangential_pct: float
    shrink_volumetric_pct: float
    basic_sg: float
    green_mc_pct: float
    green_mc_heartwood_pct: float | None
    green_mc_sapwood_pct: float | None
    sapwood_stand_in_pct: float | None
    c_r: float | None
    c_t: float | None
    shrink_start_mc_pct: float
    safe_loss_4_4_pct_per_day: float | None
    safe_loss_8_4_pct_per_day: float | None
    air_dry_days_min: float | None
    air_dry_days_max: float | None
    moe_green_psi: float | None
    notes: str
    like: str = ""
    basic_sg_varies: float = 0.0
    shrink_varies: float = 0.0
    green_mc_varies: float = 0.0

    @property
    def green_lb_per_ft3(self) -> float:
        """Weight of green wood (lb/ft3), from basic specific gravity and `start_mc_pct`."""
        return WATER_LB_PER_FT3 * self.basic_sg * (1 + self.start_mc_pct / 100)

    @property
    def start_mc_pct(self) -> float:
        """Moisture content of a green board of mixed heartwood and sapwood, % of the oven-dry weight.

        The tree's average, held between heartwood and sapwood (`held_mc_pct`). Where it was printed drier than both,
        and the sapwood is the wetter, it would be that of heartwood alone: then `USUAL_SAPWOOD` of the board is
        sapwood. Drying, kilns and weights all begin with it.

        Examples
        --------
        >>> maple = get("sugar maple")
        >>> maple.green_mc_pct, maple.green_mc_heartwood_pct, maple.green_mc_sapwood_pct, maple.start_mc_pct
        (57.4, 65.0, 72.0, 65.0)
        >>> fir = get("Douglas-fir (coast)")
        >>> fir.green_mc_pct, fir.green_mc_heartwood_pct, fir.green_mc_sapwood_pct, round(fir.start_mc_pct, 1)
        (35.3, 37.0, 115.0, 60.4)
        """
        heart, sap = self.green_mc_heartwood_pct, self.green_mc_sapwood_pct
        if heart is None or sap is None or not self.parts_guessed:
            return self.held_mc_pct
        return round(heart + USUAL_SAPWOOD * (sap - heart), 1)

    @property
    def held_mc_pct(self) -> float:
        """The printed average of the tree, held between heartwood and sapwood where both are known.

        They come from other trees, and an average outside of both cannot be. The rates were fitted from it, as the
        published drying times do not say how much of the lumber was sapwood (`drying.fit`).

        Examples
        --------
        >>> get("sugar maple").held_mc_pct, get("Douglas-fir (coast)").held_mc_pct
        (65.0, 37.0)
        """
        parts = [v for v in (self.green_mc_heartwood_pct, self.green_mc_sapwood_pct) if v is not None]
        if len(parts) < 2:
            return self.green_mc_pct
        return min(max(self.green_mc_pct, min(parts)), max(parts))

    @property
    def parts_guessed(self) -> bool:
        """Whether how much sapwood a board of both has is a guess: its average was printed under its dry heartwood's.

        Examples
        --------
        >>> [get(name).parts_guessed for name in ("western redcedar", "loblolly pine", "northern red oak")]
        [True, False, False]
        """
        heart, sap = self.green_mc_heartwood_pct, self.green_mc_sapwood_pct
        return heart is not None and sap is not None and sap - heart >= _APART and self.green_mc_pct < heart

    @property
    def start_varies(self) -> float:
        """How far the start of a pile may be off because its share of sapwood is a guess; 0 where it is none.

        A standard deviation, as a share of `start_mc_pct`.

        Examples
        --------
        >>> round(get("Douglas-fir (coast)").start_varies, 2), get("loblolly pine").start_varies
        (0.3, 0.0)
        """
        if not self.parts_guessed:
            return 0.0
        return (self.start_mc_pct - self.held_mc_pct) / _FOUR_IN_FIVE / self.start_mc_pct

    @property
    def sapwood_share(self) -> float | None:
        """The share of sapwood that the tree's average speaks for, or None where the figures do not tell.

        They tell where heartwood and sapwood are both known, differ by ten points or more, and have the average
        between them; where it was printed under both, it is `USUAL_SAPWOOD` (`parts_guessed`). A mixed board is made
        of that much sapwood: in its start moisture, its weight, and its rate
        where the sapwood has one of its own (`drying.rate`).

        Examples
        --------
        >>> round(get("loblolly pine").sapwood_share, 2), get("sugar maple").sapwood_share
        (0.62, None)
        """
        heart, sap = self.green_mc_heartwood_pct, self.green_mc_sapwood_pct
        if heart is None or sap is None or abs(sap - heart) < _APART:
            return None
        if self.parts_guessed:
            return USUAL_SAPWOOD
        share = (self.green_mc_pct - heart) / (sap - heart)
        return share if 0 <= share <= 1 else None

    def knows(self, part: str) -> bool:
        """Whether it is known how wet a part of the log is: its own figure, or a relative's.

        Parameters
        ----------
        part : {"mixed", "heartwood", "sapwood"}

        Examples
        --------
        >>> get("black cherry").knows("heartwood"), get("black cherry").knows("sapwood")
        (True, False)
        """
        try:
            self.mc_of_part_pct(part)
        except InputError:
            if part not in PARTS:
                raise
            return False
        return True

    def mc_of_part_pct(self, part: str = "mixed") -> float:
        """Moisture content of a green board of one part of the log, % of the oven-dry weight.

        Parameters
        ----------
        part : {"mixed", "heartwood", "sapwood"}

        Returns
        -------
        float

        Raises
        ------
        InputError
            Another word, or a part whose figure is not known, nor a relative's.

        Examples
        --------
        >>> pine = get("loblolly pine")
        >>> [pine.mc_of_part_pct(part) for part in PARTS]
        [80.7, 33.0, 110.0]
        >>> get("eastern white pine").mc_of_part_pct("sapwood")  # of western white pine: see its row
        148.0
        """
        if part not in PARTS:
            raise suggest(part, PARTS, "part")
        sap = self.green_mc_sapwood_pct
        sap = self.sapwood_stand_in_pct if sap is None else sap
        figures = (self.start_mc_pct, self.green_mc_heartwood_pct, sap)
        mc = figures[PARTS.index(part)]
        if mc is None:
            raise InputError(
                f"{self.name}: how wet its {part} is, is not known here. A mixed board starts at "
                f"{self.start_mc_pct:.0f} %; a moisture that you measured is better."
            )
        return mc


def table() -> pd.DataFrame:
    """Return all woods with every figure, its status and its source, one row a wood.

    Returns
    -------
    DataFrame
        A copy; the columns are those of `data/species.csv`, `start_mc_pct` and `held_mc_pct` of `Species`, and the
        status of the first: ``derived`` where the printed average lies outside of the heartwood and the sapwood that
        are known, else as printed.

    Examples
    --------
    >>> len(table())
    103
    """
    read = tables.read("species")
    start = [wood.start_mc_pct for wood in _by_name().values()]
    held = [wood.held_mc_pct for wood in _by_name().values()]
    moved = read.green_mc_pct.ne(start)
    status = read.green_mc_status.mask(moved, "derived")
    return read.assign(start_mc_pct=start, held_mc_pct=held, start_mc_status=status)


def names() -> list[str]:
    """Return the names of the table's woods, in its order.

    Examples
    --------
    >>> names()[:2]
    ['northern red oak', 'white oak']
    """
    return list(tables.read("species")["name"])


def as_listed(name: str) -> str:
    """Return a wood's name as people look for it in a list: the kind of wood first.

    Parameters
    ----------
    name : str
        A wood of the table; any other name stays as it is.

    Returns
    -------
    str

    Examples
    --------
    >>> [as_listed(name) for name in ("northern red oak", "Atlantic white-cedar", "eastern redcedar", "hackberry")]
    ['oak, northern red', 'cedar, Atlantic white', 'cedar, eastern red', 'hackberry']
    >>> as_listed("Douglas-fir (coast)"), as_listed("yellow-poplar"), as_listed("Port-Orford-cedar")
    ('Douglas-fir (coast)', 'poplar, yellow', 'cedar, Port-Orford')
    """
    if "(" in name or name not in _by_name():
        return name
    before, parted, kind = name.replace("redcedar", "red-cedar").replace("-", " ").rpartition(" ")
    return f"{kind}, {before.replace('Port Orford', 'Port-Orford')}" if parted else name


def know(wood: Species, kept: bool = False) -> Species:
    """Let `get` find a wood of one's own by its name, until this Python ends; one of the same name makes way.

    Parameters
    ----------
    wood : Species
        From `own_wood.from_figures`.
    kept : bool
        It was kept when its name was free: it stays what its owner typed, should the table have that wood by now.

    Returns
    -------
    Species

    Raises
    ------
    InputError
        It has no name, or one that a wood of the table goes by.

    Examples
    --------
    >>> from dataclasses import replace
    >>> know(replace(get("white oak"), name="bur oak of the creek")) is get("Bur oak of the creek")
    True
    >>> forget("bur oak of the creek")
    """
    if not kept:
        check_own_name(wood.name)
    _OWN[_own_key(wood.name)] = wood
    return wood


def forget(name: str) -> None:
    """Let `get` no longer find a wood of one's own; nothing happens if there is none of that name.

    Parameters
    ----------
    name : str

    Examples
    --------
    >>> from dataclasses import replace
    >>> wood = know(replace(get("white oak"), name="bur oak of the hill"))
    >>> forget("Bur oak of the hill")
    >>> wood.name in own_names()
    False
    """
    _OWN.pop(_own_key(name), None)


_OWN: dict[str, Species] = {}


def check_own_name(name: str) -> None:
    """Refuse a name for a wood of one's own that is empty, or that woods of the table go by.

    Parameters
    ----------
    name : str

    Raises
    ------
    InputError

    Examples
    --------
    >>> check_own_name("hard maple")
    Traceback (most recent call last):
    woodcalc.checks.InputError: 'hard maple' is a name of sugar maple, which the book has: give your own another name.
    >>> check_own_name("aspen")
    Traceback (most recent call last):
    woodcalc.checks.InputError: 'aspen' could be bigtooth aspen or quaking aspen too: give your own a fuller name.
    """
    key = _key(name)
    if not key:
        raise InputError("a wood of your own needs a name.")
    if taken := _by_key().get(key):
        raise InputError(
            f"{name!r} is a name of {_or(taken)}, which the book has: give your own another name."
        )
    if len(several := going_by(name)) > 1:
        raise InputError(f"{name!r} could be {_or(several)} too: give your own a fuller name.")
    own = _OWN.get(_own_key(name))
    other = own.name if own else name
    if sorted(other.lower().split()) != sorted(name.lower().split()):  # "oak (lot 1)" would take its place
        raise InputError(f"{name!r} and your own {other!r} differ in signs alone: tell them apart by a word.")


def own_names() -> list[str]:
    """Return the names of the woods of one's own that are known.

    Examples
    --------
    >>> "white oak" in own_names()
    False
    """
    return [wood.name for wood in _OWN.values()]


def get(name: str | Species) -> Species:
    """Return a wood by its name, botanical name or everyday trade name.

    Parameters
    ----------
    name : str or Species
        Case, hyphens and word order (``"oak, white"``) do not matter. A `Species` is returned as it is.

    Returns
    -------
    Species

    Raises
    ------
    InputError
        Unknown name; the message offers the nearest ones. A name that several woods go by; it says which.

    Examples
    --------
    >>> get("northern red oak").basic_sg
    0.56
    >>> get("Hard maple").name
    'sugar maple'
    >>> get("wallnut")
    Traceback (most recent call last):
    woodcalc.checks.InputError: unknown species 'wallnut'. Did you mean walnut?
    >>> get("tupello")
    Traceback (most recent call last):
    woodcalc.checks.InputError: unknown species 'tupello'. Did you mean black tupelo or water tupelo?
    >>> get("locust")
    Traceback (most recent call last):
    woodcalc.checks.InputError: 'locust' could be several woods. Which one: black locust or honeylocust?
    """
    if isinstance(name, Species):
        return name
    key = _key(str(name))
    if own := _OWN.get(_own_key(str(name))):
        return own
    if key in _MADE:
        raise InputError(
            f"{name!r} is a board that was glued from chips, fibers or veneers, and no wood from a log: the sums of "
            "this book do not hold for it."
        )
    exact = _by_key().get(key, [])
    if len(exact) == 1:
        return exact[0]
    found = going_by(str(name)) or exact or shortened(str(name)) or _of_genus(str(name))
    found = found or [each for one in _run_together(str(name)) for each in _by_key()[_key(one)]]
    lacks = lacked(str(name))
    if not found and _letters(str(name)) not in _others() and (bare := _without_idle(str(name))):
        found, lacks = _by_key().get(_key(bare)) or going_by(bare) or shortened(bare), lacked(bare)
    if not found and not lacks and _no_one_wood(str(name)):
        raise InputError(f"{name!r} is no one wood: say which. {_UNKNOWN_WOOD}")
    if len(found) > 1:
        more = f" Or it is {_or(lacks)}, which the book lacks: {_LESSON_0}." if lacks else ""
        raise _offers(f"{name!r} could be several woods. Which one: {_or(found)}?{more}", found)
    if lacks:
        raise InputError(_says_lacked(lacks))
    if found:
        raise _offers(f"unknown species {name!r}. Did you mean {found[0].name}?", found)
    if likely := _respelled(str(name)):
        if _key(likely) in _by_key():
            raise _offers(f"unknown species {name!r}. Did you mean {likely}?", [likely])
        woods = going_by(likely)
        raise _offers(f"unknown species {name!r}. Did you mean {_or(woods)}?", woods)
    if len(_letters(str(name))) > _FEW_LETTERS and (error := suggest(name, own_names(), "species")).near:
        raise error
    if alike := near(str(name)):
        raise _offers(f"unknown species {name!r}. Did you mean {_or(alike)}?", alike)
    raise InputError(
        f"unknown species {name!r}. None of the {len(names())} woods here goes by that name. Lesson 0 takes a wood of "
        "your own."
    )


_LESSON_0 = "Lesson 0 takes it as a wood of your own"
_UNKNOWN_WOOD = (
    "If nobody can tell, Lesson 0 takes it as a wood of your own by its kind alone, with wider margins."
)


def _offers(text: str, woods: Iterable[str | Species]) -> InputError:
    """The error that offers some woods, and says which in its `near`, too."""
    error = InputError(text)
    error.near = tuple(wood if isinstance(wood, str) else wood.name for wood in woods)
    return error


def _or(found: Iterable[Species | OtherWood]) -> str:
    """The names of several woods in a sentence."""
    *most, last = sorted((wood.name for wood in found), key=str.lower)
    return f"{', '.join(most)} or {last}" if most else last


@dataclass(frozen=True)
class OtherWood:
    """A wood that the table lacks and people ask for, as in `data/other_woods.csv`.

    Attributes
    ----------
    name : str
    kind : str
        ``"hardwood"``, ``"softwood"``; "" for a plant without rings.
    like : str
        The wood of the table that it is most like, by genus or family; "" if none is.
    basic_sg, green_mc_pct : float or None
        Where they were seen in print.
    figures_source : str
        Where that was.
    shrink_radial_pct, shrink_tangential_pct : float or None
    shrink_status, shrink_source : str
        How sure the shrinkage is, and where it is from.
    caution : str
        What to know before it is sawn and stacked.
    """

    name: str
    kind: str
    like: str
    basic_sg: float | None
    green_mc_pct: float | None
    figures_source: str = ""
    shrink_radial_pct: float | None = None
    shrink_tangential_pct: float | None = None
    shrink_status: str = ""
    shrink_source: str = ""
    caution: str = ""


def lacked(name: str) -> list[OtherWood]:
    """Return the woods that the table lacks and a name stands for, well spelled or nearly so.

    Parameters
    ----------
    name : str

    Returns
    -------
    list of OtherWood

    Examples
    --------
    >>> [(wood.name, wood.like) for wood in lacked("burr oak")]
    [('bur oak', 'white oak')]
    >>> [wood.name for wood in lacked("iron wood")]
    ['American hornbeam', 'hophornbeam', 'desert ironwood']
    >>> lacked("white oak")
    []
    """
    import difflib

    others, asked = _others(), _letters(name)
    if asked not in others and (bare := _without_idle(name)):
        return lacked(bare)
    if asked in others or len(asked) < 5:
        return others.get(asked, [])
    near = difflib.get_close_matches(asked, [*others, *_by_letters()], 1, 0.84)
    return others.get(near[0], []) if near else []


def printed(name: str) -> OtherWood | None:
    """Return what was printed of a wood that the table lacks, by the first of its names alone; None if nothing.

    Parameters
    ----------
    name : str

    Examples
    --------
    >>> printed("Osage-orange").shrink_tangential_pct, printed("hedge")
    (5.8, None)
    """
    return next(
        (wood for wood in _others().get(_letters(name), []) if _letters(wood.name) == _letters(name)), None
    )


def _says_lacked(woods: list[OtherWood]) -> str:
    """That the table lacks a wood, and what to do, in a sentence."""
    named = " and ".join(wood.name for wood in woods)
    are = "are" if len(woods) > 1 else "is"
    here = f"{capital(named)} {are} not among the {len(names())} woods here."
    if not woods[0].kind:
        return f"{here} It has no rings, and the sums of this book do not hold for it."
    like = (
        f", most like {woods[0].like}" if woods[0].like else f", a {woods[0].kind} like no other of the list"
    )
    if len({wood.like for wood in woods}) > 1:
        return f"{capital(_or(woods))}? {here} {_LESSON_0}."
    return " ".join(filter(None, (f"{here} {_LESSON_0}{like}.", woods[0].caution)))


_MAY_LACK = ("basic_sg", "green_mc_pct")


@cache
def _others() -> dict[str, list[OtherWood]]:
    """The woods that the table lacks by the letters of each name."""
    found: dict[str, list[OtherWood]] = defaultdict(list)
    for row in tables.read("other_woods").astype(object).to_dict("records"):
        row = {key: None if blank(value) else value for key, value in row.items()}
        told: dict[str, Any] = {
            f.name: row[f.name] if f.default is None or f.name in _MAY_LACK else row[f.name] or ""
            for f in fields(OtherWood)
        }
        wood = OtherWood(**told)
        for one in filter(None, (wood.name, *(row["also"] or "").split(";"))):
            if wood not in found[_letters(one)]:
                found[_letters(one)].append(wood)
    return dict(found)


def _letters(name: str) -> str:
    return "".join(c for c in _bare(name) if c.isalpha())


@cache
def _by_letters() -> dict[str, list[str]]:
    """The names of the table by their letters alone."""
    found: dict[str, list[str]] = defaultdict(list)
    for wood, also in everyday().items():
        for one in (wood, *also):
            found[_letters(one)].append(one)
    return dict(found)


def _run_together(name: str) -> list[str]:
    """The names of the table that are this one, but for its gaps: long leaf pine, white wood."""
    return list(dict.fromkeys(_by_letters().get(_letters(name), [])))[:1]


# words of a tally in one letter or a few (common practice)
_SHORT = {
    "w": "white", "wh": "white", "wht": "white", "r": "red", "rd": "red", "b": "black", "bl": "black", "bk": "black",
    "blk": "black", "y": "yellow", "yel": "yellow", "yl": "yellow", "e": "eastern", "n": "northern", "so": "southern",
    "s": "sugar soft silver", "h": "hard", "d": "douglas", "g": "green", "gr": "green",
}  # fmt: skip


def shortened(name: str) -> list[Species]:
    """Return the woods that a name with shortened words may mean, w oak or e w pine; [] if none of its words is short.

    Parameters
    ----------
    name : str

    Returns
    -------
    list of Species

    Examples
    --------
    >>> [[wood.name for wood in shortened(name)] for name in ("w oak", "blk cherry", "white oak")]
    [['white oak'], ['black cherry'], []]
    """
    words = "".join(c if c.isalpha() else " " for c in _bare(name)).split()
    if len(words) < 2 or not {*words} & {*_SHORT}:
        return []
    whole = (" ".join(way) for way in product(*(_SHORT.get(word, word).split() for word in words)))
    return list(dict.fromkeys(wood for way in whole for wood in _by_key().get(_key(way)) or going_by(way)))


# what is written beside a wood's name and names none: its part, its state, where it stood
_IDLE = {
    *"tree trees wood log logs lumber timber board boards plank planks slab slabs heart heartwood sap sapwood green "
    "fresh dry dried air kiln kd ad rough sawn dead standing fallen downed storm windfall windthrown barn yard farm "
    "urban street old growth reclaimed salvaged big small large local native my the a of from lot stack pile no".split()
}
_NO_ONE_WOOD = {
    *"hardwood hardwoods softwood softwoods mixed misc miscellaneous assorted various unknown mystery other any some "
    "evergreen conifer deciduous firewood fruit nut tropical exotic domestic".split()
}


_MADE = "mdf hdf osb lvl plywood particleboard chipboard fiberboard hardboard".split()


def _without_idle(name: str) -> str:
    """A name without the words that name no wood; "" if it has none of them, or no other."""
    words = "".join(c if c.isalpha() else " " for c in _bare(name)).split()
    kept = [word for word in words if word not in _IDLE]
    named = "".join(words) in _words()  # cotton wood
    return " ".join(kept) if kept and len(kept) < len(words) and not named else ""


@cache
def _words() -> set[str]:
    """The words of all names of the table."""
    return {word for wood, also in everyday().items() for one in (wood, *also) for word in _key(one).split()}


def _no_one_wood(name: str) -> bool:
    """Whether it is a word for many woods: mixed hardwoods, mystery wood."""
    words = "".join(c if c.isalpha() else " " for c in _bare(name)).split()
    return bool({*words} & _NO_ONE_WOOD) and {*words} <= _NO_ONE_WOOD | _IDLE


def _of_genus(name: str) -> list[Species]:
    """The woods of a genus: Quercus, Acer sp."""
    words = [word for word in name.lower().replace(".", " ").split() if word not in ("sp", "spp")]
    if len(words) != 1:
        return []
    return [wood for wood in _by_name().values() if wood.botanical.lower().split()[0] == words[0]]


# what a board looks like, and no wood
_FIGURED = {*"curly tiger birdseye quilted flame figured spalted ambrosia wormy sinker rainbow".split()}


@cache
def _kinds() -> list[str]:
    """The last words of the woods' names, those of the most woods first: oak, pine, maple ..."""
    last = [
        _key(part.split()[-1]) for name in names() for part in [name.partition(" (")[0].replace("-", " ")]
    ]
    return sorted(set(last), key=lambda kind: (-last.count(kind), kind))


def _one_slip(word: str, other: str) -> bool:
    """Whether one letter is lost, added, another, or two are exchanged; the first is right."""
    if word[:1] != other[:1] or word == other or abs(len(word) - len(other)) > 1:
        return False
    at = next(
        (i for i, (a, b) in enumerate(zip(word, other, strict=False)) if a != b), min(len(word), len(other))
    )
    ends = {(word[at + 1 :], other[at + 1 :]), (word[at + 1 :], other[at:]), (word[at:], other[at + 1 :])}
    turned = word[at : at + 2] == other[at : at + 2][::-1] and word[at + 2 :] == other[at + 2 :]
    return turned or any(one == two for one, two in ends)


_FEW_LETTERS = 3  # tell too little to guess a wood from


def _respelled(name: str) -> str:
    """A name with each word as the nearest that the table has, if woods go by that; else "".

    A kind of wood one slip away comes before what is spelled more like it: popler is poplar, and not popple.
    """
    import difflib

    known = _words()
    asked = "".join(c if c.isalpha() else " " for c in _bare(name)).split()
    if "".join(asked) in known:  # cotton wood
        return "".join(asked)
    words = []
    for word in asked:
        if word in _FIGURED:
            continue
        turned = sorted(k for k in known if sorted(k) == sorted(word))  # oka
        slips = [kind for kind in _kinds() if word not in known and _one_slip(word, kind)]
        slips.sort(key=lambda kind: -difflib.SequenceMatcher(None, word, kind).ratio())
        close = turned or slips
        if not close and len(word) > _FEW_LETTERS:
            close = difflib.get_close_matches(word, sorted(known), 1, 0.7)
        words += close[:1] or [word]
    respelled = " ".join(words)
    return respelled if going_by(respelled) else ""


def meant(name: str) -> list[Species]:
    """Return the woods of the table that a misspelled name likely means.

    Parameters
    ----------
    name : str

    Returns
    -------
    list of Species

    Examples
    --------
    >>> [wood.name for wood in meant("wallnut")]
    ['black walnut']
    """
    if short := shortened(name) or _of_genus(name):
        return short
    if _no_one_wood(name):
        return []
    together = next(iter(_run_together(name)), "")  # cotton wood
    if not together and (bare := _without_idle(name)):
        found = _by_key().get(_key(bare)) or going_by(bare) or shortened(bare)
        return found if found or lacked(bare) else meant(bare)
    likely = together or _respelled(name)
    return _by_key().get(_key(likely)) or (going_by(likely) if likely else [])


def near(name: str) -> list[Species]:
    """Return the woods of the table whose names are spelled most like one that is none.

    Parameters
    ----------
    name : str

    Returns
    -------
    list of Species

    Examples
    --------
    >>> [wood.name for wood in near("gary oak")][0]
    'Oregon white oak'
    """
    import difflib

    if _no_one_wood(name) or len(_letters(name)) <= _FEW_LETTERS:
        return []
    known = {one.lower(): one for wood, also in everyday().items() for one in (wood, *also)}
    spelled = difflib.get_close_matches(name.lower(), [*known], 4, 0.6)
    return list(dict.fromkeys(wood for one in spelled for wood in _by_key()[_key(one)]))


_NO_KIND = ("Oregon pine",)  # is asked for by the whole of it: no pine


def going_by(name: str) -> list[Species]:
    """Return the woods of the table that have all words of a name in one of the names that they go by.

    Parameters
    ----------
    name : str

    Returns
    -------
    list of Species

    Examples
    --------
    >>> [wood.name for wood in going_by("gum")]
    ['sweetgum', 'black tupelo', 'water tupelo']
    """
    asked = set(_key(name).split())
    if not asked:
        return []
    return [
        get(wood)
        for wood, also in everyday().items()
        if any(
            asked <= {*_key(one).split()} for one in (wood, *also) if len(asked) > 1 or one not in _NO_KIND
        )
    ]


@cache
def everyday() -> dict[str, tuple[str, ...]]:
    """Return the everyday names of each wood of the table, by its name here.

    Examples
    --------
    >>> everyday()["sugar maple"]
    ('hard maple', 'rock maple')
    """
    table = tables.read("species")
    return {
        name: () if blank(also) else tuple(one.strip() for one in also.split(";"))
        for name, also in zip(table["name"], table["also"], strict=True)
    }


def _bare(name: str) -> str:
    """Small letters without their accents: pinon for piñon."""
    parted = unicodedata.normalize("NFKD", name.lower())
    return "".join(c for c in parted if not unicodedata.combining(c))


def _own_key(name: str) -> str:
    """As `_key`, with figures: "oak, lot 1" is "oak lot 1", and not "oak lot 2"."""
    words = "".join(c if c.isalnum() else " " for c in _bare(name)).split()
    return " ".join(sorted(words))


def _key(name: str) -> str:
    """Letters only, words in alphabetical order, so that "oak, white" is "white oak"."""
    words = "".join(c if c.isalpha() else " " for c in _bare(name)).split()
    return " ".join(sorted(words))


@cache
def _by_name() -> dict[str, Species]:
    """Each wood of the table by its name."""
    found: dict[str, Species] = {}
    kept = [f.name for f in fields(Species) if f.name not in _OF_OWN]
    for row in tables.read("species").astype(object).to_dict("records"):
        row = {k: None if blank(v) else v for k, v in row.items()}
        row["notes"] = row["notes"] or ""
        values: dict[str, Any] = {k: float(v) if isinstance(v := row[k], (int, float)) else v for k in kept}
        found[row["name"]] = Species(**values)
    return found


_OF_OWN = ("like", "basic_sg_varies", "shrink_varies", "green_mc_varies")


@cache
def _by_key() -> dict[str, list[Species]]:
    """Every accepted spelling -> the woods that go by it; a wood's own name is its alone."""
    names: dict[str, list[Species]] = {}
    for wood in _by_name().values():
        for spelling in (wood.name, wood.botanical, wood.name.replace("-", "").replace("(coast)", "")):
            names.setdefault(_key(spelling), [wood])
    also = defaultdict(list)
    for name, everyday_names in everyday().items():
        for spelling in everyday_names:
            also[_key(spelling)].append(_by_name()[name])
    return {**also, **names}
