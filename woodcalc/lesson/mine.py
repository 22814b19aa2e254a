"""The learner's own log, stack and choices as settings of a panel's dials, so that they follow into every lesson."""

from __future__ import annotations

import contextlib
import warnings
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date
from functools import lru_cache
from typing import Any

from woodcalc.checks import InputError, blank
from woodcalc.records import choices
from woodcalc.records.choices import Choices, kept_choices
from woodcalc.records.own_mill import kept_mill
from woodcalc.sawing.mill import STEPS, UNIT_IN, set_by
from woodcalc.sizes import length_told, nominal_in, sixteenths, thickness_name

EXAMPLE = "the lesson's example"
MOST = 100  # logs or stacks that a list offers
_FILES = ("choices.json", "logs.csv", "stacks.csv")
_LOG = {"small_in", "short_in"}  # a panel with one of these is about a log
_MILL = {"kerf_in", "mill"}
_STACK = {"place", "month", "thickness", "nominal", "nominal_in"}

Settings = dict[str, Any]

DAY = "stacked_on"  # in a stack's settings, beside its month: the day that its row says
BESIDE = "beside"  # in a setting: what of the learner's own a panel has no dial for, and stays as printed
STAYS = "stays as printed"  # the label of such a thing, among those of the dials

KEPT_AS = "dials"  # in the file of the choices
ELSE = "they are about no log, stack, wood or place of yours."
NO_LOG = "there is no log in your records yet. Lesson 8 has the form."
NO_STACK = "there is no stack in your records yet, and no wood chosen in Start here."
NO_MILL = "your own mill is not measured yet. Lesson 3 has the form."


@dataclass(frozen=True)
class Wanted:
    """Whether all dials of the lessons are to show the learner's own, and which log and stack."""

    on: bool = False
    log: str = ""
    stack: str = ""


_unkept: list[Wanted] = []  # the last one, where the file could not be written


def wanted() -> Wanted:
    """Return what is wanted of all dials; a log or a stack that is there no more makes way for the newest.

    Examples
    --------
    >>> wanted().on
    False
    """
    found = _unkept[-1] if _unkept else _wanted_in_file()
    logs, stacks = ([says for _, says in offered] for offered in to_choose())
    return Wanted(
        found.on,
        found.log if found.log in logs else (logs or [""])[-1],
        found.stack if found.stack in stacks else (stacks or [""])[-1],
    )


def _wanted_in_file():
    kept = choices.kept_under(KEPT_AS)
    try:
        return Wanted(kept["on"] is True, str(kept["log"]), str(kept["stack"]))
    except KeyError:  # nothing that makes sense: the dials stand as printed
        return Wanted()


def want(what: Wanted) -> None:
    """Keep what is wanted of all dials, for every lesson.

    Parameters
    ----------
    what : Wanted

    Raises
    ------
    SaveError
        The file could not be written; this lesson goes by it all the same.
    """
    _unkept[:] = [what]
    choices.keep_under(KEPT_AS, asdict(what))
    _unkept.clear()


def to_choose() -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Return the logs and the stacks that all dials can show, each as (what a list says, its name here).

    The newest stand last; where there is no stack, the wood and place chosen in Start here serve.

    Examples
    --------
    >>> to_choose()
    ([], [])
    """
    chosen, logs, stacks = all_settings(_as_they_are())
    dials = {name: "" for name in ("species", "thickness", "place", "short_in", "length_ft")}
    logs, stacks = (
        [(f"{says.removeprefix('my ')}: {_told(_fit(values, dials))}", says) for says, values in found]
        for found in (logs, stacks or chosen)
    )
    return logs, stacks


def in_short() -> str:
    """Return which log, stack, place and wood all dials would show, in a few words; "" if there is nothing yet.

    Examples
    --------
    >>> in_short()
    ''
    """
    now = wanted()
    values = _values_of(now.stack)
    log, stack = now.log.removeprefix("my "), now.stack.removeprefix("my ")
    words = [log, stack, f"{values['species']} {values['thickness']}" if values else "", values.get("place")]
    return ", ".join(filter(None, words))


def _values_of(says):
    chosen, logs, stacks = all_settings(_as_they_are())
    return next((values for each, values in (*logs, *stacks, *chosen) if each == says), {})


def picked(kind: str, names: Sequence[str]) -> str | None:
    """Return which log or stack of a list the switch shows in all dials; None if it is off or shows none of them.

    Parameters
    ----------
    kind : {"log", "stack"}
    names : sequence of str
        As the records call them.

    Examples
    --------
    >>> picked("stack", ["A", "B"]) is None
    True
    """
    now = wanted()
    shown = (now.log if kind == "log" else now.stack) if now.on else ""
    # a list may name the wood behind a log
    return next(
        (name for name in names if shown in (f"my {kind} {n}" for n in (name, name.rpartition(", ")[0]))),
        None,
    )


def stack_wanted() -> Settings:
    """Return the settings of the stack that all dials show or would show; {} if there is no stack in the records.

    Examples
    --------
    >>> stack_wanted()
    {}
    """
    now = wanted().stack
    return next((values for says, values in all_settings(_as_they_are())[2] if says == now), {})


def _fit(values, dials):
    fit = {k: v for k, v in values.items() if k in dials}
    if "month" in fit and DAY in values:  # no dial's, but the panel tells it
        fit[DAY] = values[DAY]
    stays = {k: v for k, v in values.items() if k in dials and dials[k] == STAYS}
    return {k: v for k, v in fit.items() if k not in stays} | ({BESIDE: stays} if stays and fit else {})


def bears_on(fit: Mapping[str, Any]) -> Settings:
    """Return of a setting what a dial shows: not the day that a stack went up, nor what stays as printed.

    Examples
    --------
    >>> bears_on({"month": 5, "stacked_on": None})
    {'month': 5}
    """
    return {name: value for name, value in fit.items() if name not in (DAY, BESIDE)}


def for_all(dials: Mapping[str, str]) -> tuple[str, Settings]:
    """Return what all dials of a lesson are to show on these: (what the list says, values), or (why not, nothing).

    Parameters
    ----------
    dials : mapping of str to str
        As for `offers`.

    Examples
    --------
    >>> for_all({"temp_f": "My thermometer says (F)"})[0]
    'they are about no log, stack, wood or place of yours.'
    """
    dials, now = _set_by_own(dials), wanted()
    if not {*dials} & {*_LOG, *_STACK, *_MILL, "species", "wood"}:
        return ELSE, {}
    about_log = {*dials} & _LOG
    found = [
        (says, fit)
        for says in [now.log if about_log else now.stack]
        if (fit := _fit(_values_of(says), dials)) and bears_on(fit)
    ]
    if found and about_log:  # a log is sawn for a stack
        found[0][1].update(_beside(found[0][1], now.stack, dials))
    if {*dials} & _MILL:
        found += [(says, fit) for says, values in _mill() if (fit := _fit(values, dials))]
    if not found:
        about_wood = {*dials} & {*_STACK, "species", "wood"}
        return NO_LOG if about_log else NO_STACK if about_wood else NO_MILL, {}
    says = ": ".join(
        filter(None, (" and ".join(says for says, _ in found), "; ".join(_told(f) for _, f in found)))
    )
    return says, {name: value for _, fit in found for name, value in fit.items()}


def _beside(fit, stack, dials):
    """What of the stack stays as printed on a panel about a log."""
    stays = _fit(_values_of(stack), {"place": "", **dials}).get(BESIDE, {})
    return {BESIDE: {**stays, **fit.get(BESIDE, {})}} if stays else {}


def _set_by_own(dials):
    return {name: label for name, label in dials.items() if name != "month" or "stack" in label.lower()}


def offers(dials: Mapping[str, str]) -> list[tuple[str, Settings]]:
    """Return what of the learner's own can set these dials: (what the list says, values by the name of a dial).

    Parameters
    ----------
    dials : mapping of str to str
        A panel's dials, each with its label. A month is set only where the label says that it is the one of stacking.

    Returns
    -------
    list of (str, dict)
        Empty where nothing is kept yet, or nothing of it bears on the panel.

    Examples
    --------
    >>> offers({"temp_f": "My thermometer says (F)"})
    []
    """
    dials = _set_by_own(dials)
    if not {*dials} & {*_LOG, *_STACK, *_MILL, "species", "wood"}:
        return []
    chosen, logs, stacks = all_settings(_as_they_are())
    found = logs if {*dials} & _LOG else [*chosen, *stacks]
    found = [*(found or chosen), *(_mill() if {*dials} & _MILL else [])]
    return [
        (": ".join(filter(None, (says, _told(fit)))), fit)
        for says, values in found
        if bears_on(fit := _fit(values, dials))
    ]


def _told(fit):
    """What a setting sets, in a list's few words."""
    thick = fit.get("thickness") or fit.get("nominal")
    words = [
        fit.get("species") or fit.get("wood"),
        thick or (thickness_name(fit["nominal_in"]) if "nominal_in" in fit else ""),
        fit.get("place"),
        f"pile {fit['pile_width_in']:g} in wide" if "pile_width_in" in fit else "",
    ]
    if size := fit.get("small_in") or fit.get("short_in"):
        words = [
            f"{sixteenths(size)} in",
            length_told(fit["length_ft"]) if "length_ft" in fit else "",
            words[0],
        ]
    if "kerf_in" in fit or "mill" in fit:
        words = [f"kerf {fit['kerf_in']:g} in" if "kerf_in" in fit else "", fit.get("mill")]
    return ", ".join(word for word in words if word)


def _as_they_are():
    """What tells one state of the learner's files from another."""
    state: list[Any] = []
    try:
        folder = choices.folder()
        for name in _FILES:
            if (path := folder / name).exists():
                stat = path.stat()
                state.append((str(path), stat.st_mtime_ns, stat.st_size))
    except (OSError, InputError):  # told where the records stand
        return ()
    return tuple(state)


@lru_cache(maxsize=1)  # a lesson has up to seven panels
def all_settings(state: tuple[Any, ...]) -> tuple[list[Any], list[Any], list[Any]]:
    """The learner's choices, logs and stacks, each as (what the list says, values of dials)."""
    if not state:
        return [], [], []
    mine = kept_choices()
    chosen = []
    if mine != Choices(larger_print=mine.larger_print, keep_answers=mine.keep_answers):
        values = {
            **_wood(mine.species),
            **_thickness(mine.thickness),
            "place": mine.place,
            "month": mine.month,
        }
        chosen = [("my choices", values)]
    if len(state) == 1 and state[0][0].endswith(_FILES[0]):
        return chosen, [], []
    from woodcalc.records.usable import rows_of

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the doctor page tells them
        try:
            tables = rows_of("logs", "stacks")
        except Exception:  # told by the doctor page; a panel goes on with the lesson's example
            return chosen, [], []
    return chosen, _each(tables, "logs", _log), _each(tables, "stacks", lambda row: _stack(row, mine))


def _each(tables, name, settings):
    found = []
    for row in tables[name].head(MOST).itertuples() if name in tables else ():
        with contextlib.suppress(InputError):  # the doctor page speaks of it
            found.append(settings(row))
    return found


def _mill():
    """The learner's mill, if one is kept."""
    mill = kept_mill()
    if mill is None:
        return []
    named = {step or UNIT_IN: name for name, step in STEPS.items()}
    values = {"kerf_in": mill.kerf_in, "mill": named.get(mill.step_in, set_by(mill.step_in))}
    return [("my mill", values)]


def _wood(name):
    return {"species": name, "wood": name}


def _thickness(name):
    return {"thickness": name, "nominal": name, "nominal_in": float(nominal_in(name))}


def _log(row):
    values = {
        **_wood(row.species),
        "small_in": row.small_in,
        "short_in": row.small_in,
        "length_ft": row.length_ft,
    }
    if not blank(row.large_in):
        values["taper_in_per_4ft"] = round(4 * (row.large_in - row.small_in) / row.length_ft, 4)
    return f"my log {row.log}", values


def _stack(row, mine):
    from woodcalc import climate

    place = mine.place if blank(row.place) else climate.get(row.place).name
    values = {**_wood(row.species), **_thickness(row.nominal), "place": place}
    if not blank(row.stacked):
        values["month"] = row.stacked.month
        values[DAY] = date(row.stacked.year, row.stacked.month, row.stacked.day)
    if not blank(row.width_ft):
        values["pile_width_in"] = 12 * row.width_ft
    return f"my stack {row.stack}", values
