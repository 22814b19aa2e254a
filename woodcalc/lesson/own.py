"""What stands under "On your own wood" in every lesson: whose wood it is, what was set aside, what is missing.

The learner's rows are used where there are usable ones, Kettle Hollow's (invented) where there are not. Whatever
goes wrong in between ends in a sentence in the place of the box.
"""

from __future__ import annotations

import html
import tempfile
import warnings
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from woodcalc.checks import RangeWarning, capital, count_of
from woodcalc.disk import in_words, plainly
from woodcalc.lesson.box import Box, Shown, note
from woodcalc.records import choices
from woodcalc.records.choices import KETTLE_HOLLOW, kept_choices
from woodcalc.records.columns import TABLES
from woodcalc.records.files import lost
from woodcalc.records.keep import read_only
from woodcalc.records.outside import outside
from woodcalc.records.questions import left_to_tell, questions
from woodcalc.records.usable import OwnTables, read_usable
from woodcalc.sizes import nominal_in
from woodcalc.weighings import DRY_WEIGHT, WHICH_BOARD

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.records.columns import Problem


MINE, THEIRS = "your own", "Kettle Hollow's"
SHOWN = 12  # rows told one by one; the doctor page tells them all
_FORM = '<a href="08-keep-the-records.ipynb">Lesson 8</a>'
_DOCTOR = 'the doctor page in <a href="00-start-here.ipynb">Start here</a>'


@dataclass(frozen=True)
class OwnWood(OwnTables):
    """The tables that a lesson works with, `.whose` they are (`MINE` or `THEIRS`), and what to say about them.

    Attributes
    ----------
    missing : tuple of str
        What the learner's own records still lack, in sentences.
    lesson : str
        The lesson that asked, as ``"07"``.
    """

    missing: tuple[str, ...] = ()
    lesson: str = ""


def own_wood(*needed: str, also: Sequence[str] = (), lesson: str = "") -> OwnWood:
    """Return the learner's own tables if each of the needed ones has a usable row, Kettle Hollow's if not.

    Parameters
    ----------
    *needed : str
        Tables that the lesson cannot do without.
    also : sequence of str
        Tables that it uses if they are there.
    lesson : str
        Which one asks.

    Returns
    -------
    OwnWood
        `.tables` are those to work with; `.problems`, `.doubts` and `.notes` speak of the learner's own files.

    Examples
    --------
    >>> wood = own_wood("logs")
    >>> wood.whose, len(wood.tables["logs"])
    ("Kettle Hollow's", 18)
    """
    asked = (*needed, *also)
    found = read_usable(tables=asked)
    missing = [said for table in asked if (said := _lacks(found, table))]
    kept = {f.name: getattr(found, f.name) for f in fields(found)} | {"lesson": lesson}
    kept["problems"] = tuple(p for p in found.problems if not is_begun(found, p))
    if all(len(found.tables.get(table, ())) for table in needed):
        return OwnWood(**kept | {"whose": MINE, "missing": (*missing, *found.waits(weighed=False))})
    if not found.tables and not found.problems:  # nothing kept yet: the note says so in one sentence
        missing = []
    theirs = read_usable(KETTLE_HOLLOW, asked)
    tables = {table: theirs.tables[table] for table in asked}  # in the order asked
    told = {"told": theirs.told, "waits_for_weights": {}}
    return OwnWood(**kept | told | {"whose": THEIRS, "missing": tuple(missing), "tables": tables})


def _lacks(found, table):
    """What keeps a table of the learner's from being used, in a sentence; "" if rows of it can be."""
    file = f"{table}.csv"
    if table not in found.tables:
        if any(p.file.lower() == file for p in found.problems):
            return f"{file} cannot be used as it is."
        if not found.sheets and any(not p.row and p.file == found.folder.name for p in found.problems):
            return f"Whether there is a {file} can't be told: the folder {found.folder.name} cannot be read."
        was = lost(found.folder / file, table)
        return str(was) if was else f"There is no {file} yet."
    if len(found.tables[table]):
        return ""
    return (
        f"No row of {file} can be used yet."
        if _rows_aside(found, table)
        else f"{file} has a header and no row yet."
    )


def is_begun(found: OwnTables, problem: Problem) -> bool:
    """True if all that is wrong is that a file has a header and no row yet: a beginning, not a problem."""
    table = problem.file.lower().removesuffix(".csv")
    return not problem.row and table in found.tables and found.tables[table].empty


def _rows_aside(found, table):
    return [p for p in found.problems if p.row and p.file.lower() == f"{table}.csv"]


def own_note(own: OwnWood, said: Sequence[str] = (), listed_under: str = "") -> str:
    """Return HTML that says whose wood a lesson works with, what is missing, and what was set aside.

    Parameters
    ----------
    own : OwnWood
        From `own_wood`.
    said : sequence of str
        More to say: what the lesson itself found missing or doubtful.
    listed_under : str
        The box of the same lesson that lists the same rows of the learner's: here they are folded into one line.

    Returns
    -------
    str

    Examples
    --------
    >>> print(own_note(own_wood("logs")))  # doctest: +ELLIPSIS
    <div class="woodcalc-note">These are Kettle Hollow's logs (an invented woodlot)<span class="woodcalc-still">, ...
    """
    names = " and ".join(own.tables)
    if own.whose == MINE:
        held = ", ".join(
            f"{table}.csv ({count_of(len(frame), 'row')})" for table, frame in own.tables.items()
        )
        first = f"Your own {names} as they stood on {hour_in_words()}: {html.escape(held)}."
    else:
        how = "The form above begins them" if own.lesson in ("01", "08") else f"{_FORM} shows how to begin"
        files = " and ".join(f"{table}.csv" for table in own.tables)
        first = (
            f"These are Kettle Hollow's {names} (an invented woodlot)"
            '<span class="woodcalc-still">, as printed with the book. '  # out of sight once the lesson has run
            f"Run this lesson to see your own from {files}</span>. {how}."
        )
    lines = "".join(f"<br>{html.escape(line)}" for line in dict.fromkeys([*own.missing, *said]))
    told, listed, many, room = f'<div class="woodcalc-note">{first}{lines}</div>', "", 0, SHOWN
    told = _missing_rows(own) + told
    asked = [q for q in questions(own) if q.file.lower().removesuffix(".csv") in own.tables]
    if asked and own.lesson == "01":  # whose form has the question and its answers
        told += note(
            "The form above asks something of all your logs. Your answer may change what stands here."
        )
        opened = []
    else:
        opened = [f"{q.file}: {q.asks}" for q in asked]
    for title, found in (
        ("Open as a whole, and asked on the doctor page", opened),
        ("Set aside, and left in the file as it was", left_to_tell(own.problems, asked)),
        ("Looks wrong: check it", [f"{sentence(doubt)} {becomes_of(own, doubt)}" for doubt in own.doubts]),
    ):
        if found:
            listed += _listed(title, found, room, own.lesson)
            many, room = many + len(found), max(room - len(found), 0)
    if own.whose == MINE and own.remarks:
        few = "".join(f"<li>{html.escape(said)}</li>" for said in own.remarks[:SHOWN])
        listed += f'<div class="woodcalc-note"><b>Good to know</b>:<ul>{few}</ul></div>'
        many += len(own.remarks)
    if listed and listed_under and own.whose == MINE:
        what = "One thing" if many == 1 else f"{many:,} things"
        head = f"{what} in your files to look at, as listed under <i>{listed_under}</i>"
        listed = f"<details><summary>{head}</summary>{listed}</details>"
    return told + listed


def _missing_rows(own):
    """What another program took out of the tables that a box works with, in a note."""
    over = [outside(own.folder / f"{table}.csv") for table in own.tables]
    told = "<br>".join(html.escape(str(each)) for each in over if each and each.asks)
    where = "Above it can be put right" if own.lesson == "00" else f"On {_DOCTOR} it can be put right"
    return f'<div class="woodcalc-note woodcalc-warn">{told}<br>{where}.</div>' if told else ""


def sentence(problem: Problem) -> str:
    """A problem as a sentence with its end.

    Examples
    --------
    >>> from woodcalc.records import Problem
    >>> sentence(Problem("logs.csv", 3, "species", "'oka'", "a wood"))
    "logs.csv, row 3, column species: found 'oka'; expected a wood."
    """
    told = str(problem)
    return told if told.endswith(("?", ".")) else f"{told}."


def becomes_of(found: OwnTables, problem: Problem) -> str:
    """Say what becomes of the row that a problem speaks of.

    Examples
    --------
    >>> from woodcalc.records import Problem
    >>> doubt = Problem("logs.csv", 5, "nominal", "'4'", "a thickness in quarters")
    >>> becomes_of(OwnTables(Path("my-wood"), {}, doubts=(doubt,)), doubt)
    'Used, but doubtful.'
    """
    return found.becomes(problem)


def waits(reason: str) -> str:
    """Say what to do about a reading that waits, from `OwnTables.waiting`.

    Examples
    --------
    >>> waits("stack Oak1")
    'Stack Oak1 is not in your stacks yet: add it in the table stacks.'
    """
    if reason == DRY_WEIGHT:
        return "It can't be turned into moisture until you add this board's oven-dry weight (lesson 4)."
    if reason == WHICH_BOARD:
        return "Write into its row which board was weighed."
    if not reason.casefold().startswith("stack "):
        return "Correct that row in the table stacks first."
    return f"{capital(reason)} is not in your stacks yet: add it in the table stacks."


def mend_of(problem: Problem) -> str:
    """Say what the mend of a problem would change.

    Examples
    --------
    >>> from woodcalc.records import Problem
    >>> mend_of(Problem("readings.csv", 5, "unit", "'kg'", "lb", mend="lb", cell="kg"))
    'row 5, unit: kg becomes lb'
    """
    before = problem.cell if problem.cell is not None else problem.found
    return f"row {problem.row}, {problem.column}: {before or 'nothing'} becomes {problem.mend}"


def mended(problem: Problem) -> str:
    """Say what a mend has changed.

    Examples
    --------
    >>> from woodcalc.records import Problem
    >>> mended(Problem("readings.csv", 5, "unit", "'kg'", "lb", mend="lb", cell="kg"))
    'Mended in readings.csv, row 5, unit: kg becomes lb. If that is not what you meant, undo it.'
    """
    return f"Mended in {problem.file}, {mend_of(problem)}. If that is not what you meant, undo it."


_FOLLOWS: dict[str, Callable[[], Any] | None] = {}  # what looks at the records or choices again, by name


def follow(name: str, look: Callable[[], Any] | None) -> None:
    """Let `look` be called whenever something in the lesson has saved; of one name, the one made last.

    Parameters
    ----------
    name : str
    look : callable or None
        Called with nothing; None ends it.
    """
    _FOLLOWS[name] = look


def saved(by: str = "") -> None:
    """Let everything that follows look again, but for the one that has saved.

    Parameters
    ----------
    by : str
        The name under which that one follows.
    """
    for name, look in _FOLLOWS.items():
        if look and name != by:
            look()


def look_again(begins: str) -> None:
    """Let those look again that follow under a name that begins so: nothing has been saved.

    Parameters
    ----------
    begins : str
    """
    for name, look in _FOLLOWS.items():
        if look and name.startswith(begins):
            look()


def _has_chosen():
    """True if the learner starts from something else than the book does."""
    return kept_choices() != choices.Choices()


def hour_in_words() -> str:
    """Return the day and hour that a still is of.

    Examples
    --------
    >>> hour_in_words().count(":")
    1
    """
    now = datetime.now()
    return f"{now.day} {now:%B, %H:%M}"


def _listed(title, found, room, lesson):
    """A list of problems, the first `room` of them one by one."""
    items = "".join(f"<li>{html.escape(str(problem))}</li>" for problem in found[:room])
    more = len(found) - room
    if more > 0:
        items += f"<li>{'and ' if room else ''}{more:,} {'more' if room else 'of them'}: see {_DOCTOR}</li>"
    mend = "" if lesson == "00" or more > 0 else f" ({_DOCTOR} can help)"
    return f'<div class="woodcalc-note woodcalc-warn"><b>{title}</b>{mend}:<ul>{items}</ul></div>'


def folder_trouble(folder: Path | None = None) -> str:
    """Say what keeps the learner's folder from being written, and what to do; "" if it can be.

    Parameters
    ----------
    folder : Path, optional
        The learner's own if left out.

    Examples
    --------
    >>> folder_trouble()
    ''
    """
    folder = folder or choices.folder()
    above = folder
    try:
        above = next(p for p in (folder, *folder.parents) if p.exists())
        if not above.is_dir():
            return f"{above} is a file, and your folder cannot be made in it. Rename the file."
        with tempfile.NamedTemporaryFile(dir=above, prefix=".woodcalc-") as file:
            file.write(b"can this folder be written?")
            file.flush()
    except OSError as error:
        return (
            f"{above} cannot be written ({error.strerror or error}). If the disk is full, make room. "
            "If not: Copy the lessons to a folder of your own, such as Documents, and open them there."
        )
    return ""


def read_only_tables(folder: Path) -> list[str]:
    """Say of each table that can be read and not written, and what to do.

    Parameters
    ----------
    folder : Path

    Examples
    --------
    >>> read_only_tables(KETTLE_HOLLOW)
    []
    """
    return [
        f"{table}.csv can be read, but not written: it is marked read-only, so nothing new can be saved in it. Take "
        "that mark away in the file's properties."
        for table in TABLES
        if read_only(folder / f"{table}.csv")
    ]


def sorry(error: BaseException, tables: Sequence[str]) -> str:
    """Return HTML that stands where a box could not be built: of which table, why, and where to look.

    Parameters
    ----------
    error : Exception
    tables : sequence of str
        What it was built from; empty for the choices of lesson 00.

    Examples
    --------
    >>> from woodcalc.lesson.box import plain
    >>> print(plain(sorry(ValueError("length_ft = 900: expected 1 to 60 ft."), ["logs"])))
    This could not be worked out from logs.csv: length_ft = 900: expected 1 to 60 ft.
    Nothing in your files was changed. The doctor page in Start here looks through them with you.
    """
    what = " and ".join(f"{table}.csv" for table in tables) or "the choices that you made in Start here"
    lines = "<br>".join(html.escape(line) for line in in_words(error).split("\n"))
    return (
        f'<div class="woodcalc-note woodcalc-warn">This could not be worked out from {html.escape(what)}: {lines}<br>'
        'Nothing in your files was changed. The doctor page in <a href="00-start-here.ipynb">Start here</a> looks '
        "through them with you.</div>"
    )


def show(
    work: Callable[[Any, list[str]], Any],
    *needed: str,
    also: Sequence[str] = (),
    lesson: str = "",
    listed_under: str = "",
) -> Box | Shown:
    """Return what `work` makes of the learner's own wood, under a note that says whose it is.

    Parameters
    ----------
    work : callable
        Called with an `OwnWood` and a list to which it may add sentences for the note; returns HTML or a box.
    *needed, also, lesson :
        As in `own_wood`; with no table needed, `work` uses the learner's choices only, and there is no note.
    listed_under : str
        As in `own_note`.

    Returns
    -------
    Shown or Box
        A sentence that names the tables, if anything went wrong.

    Examples
    --------
    >>> print(show(lambda wood, say: f"<p>{len(wood.tables['logs'])} logs</p>", "logs"))
    These are Kettle Hollow's logs (an invented woodlot), as printed with the book.
    Run this lesson to see your own from logs.csv. Lesson 8 shows how to begin.
    18 logs
    """
    said: list[str] = []
    told = ""
    try:
        wood: Any = own_wood(*needed, also=also, lesson=lesson) if needed else None
        told = own_note(wood, (), listed_under) if needed else ""
        with warnings.catch_warnings(record=True) as doubts:
            warnings.simplefilter("always", RangeWarning)
            made = work(wood, said)
        said += [plainly(str(d.message)) for d in doubts if issubclass(d.category, RangeWarning)]
        told = own_note(wood, said, listed_under) if needed else note("\n".join(dict.fromkeys(said)), "warn")
        if not isinstance(made, Box):
            return Shown(told + made)
        if told:
            made.tell_above(told)
        if wood.whose == MINE if needed else _has_chosen():
            made.invitation = (
                f"As it stood on {hour_in_words()}. Press <b>Run this lesson</b> in the toolbar for today."
            )
    except Exception as error:  # whatever lies in the files, a learner reads a sentence
        return Shown(told + sorry(error, (*needed, *also)))
    return made


def by_parts(frame: pd.DataFrame, work: Callable[..., Any], refused: Callable[..., Any]) -> list[Any]:
    """Return what `work` makes of a table, in parts where it refuses some rows.

    Parameters
    ----------
    frame : DataFrame
    work : callable
        Of a table; raises if it can do nothing with it.
    refused : callable
        Called with each row that `work` refuses, and the error.

    Returns
    -------
    list

    Examples
    --------
    >>> import pandas as pd
    >>> def total(part):
    ...     if (part["bf"] < 0).any():
    ...         raise ValueError("under nothing")
    ...     return int(part["bf"].sum())
    >>> by_parts(pd.DataFrame({"bf": [1, 2, -3, 4]}), total, lambda row, error: print(row.bf, error))
    -3 under nothing
    [3, 4]
    """
    try:
        return [work(frame)]
    except Exception as error:  # whatever it is, the other rows count
        if len(frame) <= 1:
            for row in frame.itertuples():
                refused(row, error)
            return []
    half = len(frame) // 2
    return by_parts(frame.iloc[:half], work, refused) + by_parts(frame.iloc[half:], work, refused)


def left_out(say: list[str], what: str, mark: str) -> Callable[..., None]:
    """Return a function of a row and an error that adds a sentence to `say`: that log, board or stack is left out.

    Examples
    --------
    >>> import pandas as pd
    >>> said = []
    >>> left_out(said, "Log", "log")(next(pd.DataFrame({"log": ["7"]}).itertuples()), ValueError("too long."))
    >>> said
    ['Log 7 is left out: too long.']
    """

    def tell(row, error):
        say.append(f"{what} {getattr(row, mark)} is left out: {in_words(error)}")

    return tell


def told_by_readings(wood: OwnWood, stack: str, say: list[str]) -> pd.DataFrame:
    """Return the moisture contents that the readings of a stack tell; what they still wait for is added to `say`.

    Parameters
    ----------
    wood : OwnWood
        With the readings among its tables, or without.
    stack : str
    say : list of str

    Returns
    -------
    DataFrame
        As from `OwnTables.moistures`.

    Examples
    --------
    >>> len(told_by_readings(own_wood("readings"), "A", []))
    8
    """
    say += wood.waits_for_weights.get(stack, ())  # what is left out stands among the doubts already
    return wood.moistures(stack)


def chosen(say: list[str], thicknesses: Sequence[str] = ()) -> choices.Choices:
    """Return the learner's choices, and add to `say` what in them could not be used.

    Parameters
    ----------
    say : list of str
        Gets a sentence for each choice that another stands in for.
    thicknesses : sequence of str
        What the lesson knows, thinnest first; left out, it takes any.

    Returns
    -------
    Choices

    Examples
    --------
    >>> chosen([], ["6/4", "8/4"]).thickness
    '6/4'
    """
    from dataclasses import replace

    with warnings.catch_warnings(record=True) as doubts:
        warnings.simplefilter("always", RangeWarning)
        mine = choices.read()
    say += [f"{d.message}. Choose again in Start here." for d in doubts]
    if thicknesses and mine.thickness not in thicknesses:
        near = min(thicknesses, key=lambda name: abs(nominal_in(name) - mine.thickness_in))
        say.append(
            f"This lesson has no numbers for {mine.thickness}, which you chose in Start here: it shows {near}."
        )
        mine = replace(mine, thickness=near)
    return mine
