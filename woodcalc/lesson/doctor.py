"""The doctor page of lesson 00: every table looked through, what was set aside, what looks wrong, and its mending."""

from __future__ import annotations

import html
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc import records
from woodcalc.checks import count_of
from woodcalc.dates import month_name
from woodcalc.disk import in_words
from woodcalc.lesson import history, kept, own
from woodcalc.lesson.asks import Asks, MissingRows
from woodcalc.lesson.box import Box, button, note, plain
from woodcalc.records import choices
from woodcalc.records.files import lost, near_names, take_as
from woodcalc.records.keep import content, damaged_versions, restore_version, set_aside, versions
from woodcalc.records.questions import left_to_tell, questions
from woodcalc.records.sheet import cells_of, taken_apart
from woodcalc.records.usable import mends_well

if TYPE_CHECKING:
    from woodcalc.lesson.box import Shown


_DOUBT = "Looks wrong"
_GONE = "None of your four tables holds anything now. Was the folder moved or emptied?"
SHOWN = 12  # things of one table told one by one
_FORM = '<a href="08-keep-the-records.ipynb">the form in lesson 8</a>'


def doctor_panel() -> Doctor:
    """Return the box that looks through the learner's records with them.

    Returns
    -------
    Doctor
    """
    return Doctor()


class Doctor(Box):
    """What of the learner's tables is used and how it was read, with a button for each mend that is known."""

    def __init__(self) -> None:
        self._said, self._verdict = w.HTML(), w.HTML()
        self._missing, self._tables = w.VBox(), w.VBox()
        self._meant: dict[Any, Any] = {}  # rows that were just said to be meant to be gone, by file
        self._judged: dict[Any, bool] = {}
        self.again = button("Look again")
        super().__init__(
            [self._missing, self._verdict, self._said, self.again, self._tables],
            "box: the doctor page",
            "Your records, looked through",
        )
        self.add_class("woodcalc-told")
        self.again.on_click(lambda _: self._look_again())
        self._safely(self.look)

    @property
    def said(self) -> str:
        """All that it says, as HTML: the verdict, what was done last, each table."""
        told = [each.value for each in _inside(self._missing, w.HTML)]
        told += [self._verdict.value, self._said.value]
        told += [each.value for each in _inside(self._tables, w.HTML)]
        return "".join(told)

    @property
    def buttons(self) -> dict[str, w.Button]:
        """The buttons by what they say, for tests."""
        return {b.description: b for part in (self._missing, self._tables) for b in _inside(part, w.Button)}

    def _safely(self, do):
        try:
            do()
        except Exception as error:
            self._said.value = note(f"{in_words(error)}\nNothing else was changed.", "warn")

    def _look_again(self):
        self._said.value = ""
        self._safely(self.look)

    def look(self) -> None:
        """Read the tables, and show them."""
        found = records.read_usable()
        trouble = [own.folder_trouble(found.folder), *_of_choices(), kept.trouble()]
        parts = choices.lost_parts()
        trouble += map(str, parts)
        files = {p.file for p in (*found.problems, *found.doubts)}
        names = [f"{table}.csv" for table in records.TABLES]
        names = [n for n in names if n.removesuffix(".csv") in found.tables or n in files]
        elsewhere = [str(p) for p in found.problems if p.file not in names]
        asked = questions(found)
        missing = [self._missing_of(found.folder / f"{table}.csv") for table in records.TABLES]
        self._missing.children = missing
        missing = [each.told.file for each in missing if each.told and each.told.asks]
        trouble = [t for t in (*trouble, *elsewhere, *own.read_only_tables(found.folder)) if t]
        self._verdict.value = _verdict(found, trouble, asked, missing)
        absent = [f"{t}.csv" for t in records.TABLES if f"{t}.csv" not in names]
        offers = [offer for name in absent for offer in self._under_other_names(found.folder / name)]
        begun = {offer.path.name for offer in offers}
        offers += [press for name in (choices.FILE, kept.FILE) for press in self._broken(found.folder / name)]
        offers += self._lost_parts(parts)
        gone = [was for name in absent if (was := lost(found.folder / name))]
        offers += [w.VBox(self._lost(found.folder / was.file, was)) for was in gone]
        begun |= {was.file for was in gone}
        if gone and not names:  # not even one table is left: no beginner
            self._verdict.value = note("\n".join([_GONE, *trouble]), "warn")
        if absent := [name for name in absent if names and name not in begun]:
            self._verdict.value += note(f"Not begun yet: {', '.join(absent)}.")
        self._judged = {}
        self._tables.children = [*offers, *(self._part(found, name, asked) for name in names)]

    def _missing_of(self, path):
        """Rows of a table that another program took out, with their two answers."""

        def done(said, meant):
            self._meant[path] = meant
            self._done(said)

        return MissingRows(path, done, self._safely, self._meant.get(path))

    def _under_other_names(self, path):
        """A button for each file that reads as a table that is missing."""
        for near in near_names(path)[:3]:
            if taken_apart(content(near), path.stem) is None:
                continue
            press = button(f"Take {near.name} as {path.name}")
            press.path = path
            press.on_click(lambda _, near=near: self._safely(lambda: self._take(path, near)))
            yield press

    def _lost_parts(self, parts):
        """The two answers for woods, places or the mill that an older file of choices took away."""
        if not parts:
            return []
        one = len(parts) == 1
        back = button("Put it back in your choices" if one else "Put them back in your choices")
        back.on_click(
            lambda _: self._safely(lambda: self._answer(lambda: choices.bring_back(parts), "put back"))
        )
        meant = button("It is meant to be gone" if one else "They are meant to be gone")
        meant.on_click(
            lambda _: self._safely(lambda: self._answer(choices.lost_parts_meant, "meant to be gone"))
        )
        return [back, meant]

    def _answer(self, do, said):
        do()
        self._done(f"{choices.FILE}: {said}.")

    def _broken(self, path):
        """Buttons for a file of the book's own that cannot be read: an earlier version, or a new beginning."""
        if not path.is_file() or _sound(path):
            return
        if version := next((v for v in versions(path) if _sound(v.path)), None):
            back = button(f"Go back to {path.name} as it was on {version}")
            back.on_click(lambda _: self._safely(lambda: self._restore(path, version)))
            yield back
        aside = button(f"Set {path.name} aside, and begin a new one")
        aside.on_click(lambda _: self._safely(lambda: self._set_aside(path)))
        yield aside

    def _restore(self, path, version):
        restore_version(path, version)
        self._done(f"{path.name} is as it was on {version}. Run this lesson again to use it.")

    def _set_aside(self, path):
        self._done(
            f"{path.name} is called {set_aside(path)!r} now. A new one begins when you choose or write again."
        )

    def _take(self, path, near):
        left = take_as(path, near)
        told = f"{near.name} is {path.name} now."
        self._done(f"{told} The file under the old name could not be removed ({left})." if left else told)

    def _part(self, found, name, asked=()):
        """One table: how it was read, and what is to be done about it."""
        table, path = found.tables.get(name.removesuffix(".csv")), found.folder / name
        bad = [p for p in found.problems if p.file == name and not own.is_begun(found, p)]
        doubts = [p for p in found.doubts if p.file == name]
        aside = len({p.row for p in bad if p.row})
        waiting = found.waiting if name == "readings.csv" else {}
        if table is None:
            used = "It cannot be used as it is."
        elif not len(table) and not bad:
            used = "It has a header and no row yet."
        else:
            out = len(found.left_out) if name == "readings.csv" else 0
            used = f"{count_of(len(table) - len(waiting) - out, 'row')} used, {aside} set aside"
            used += f", {out} left out. " if out else ". "
            used = f"{used}{_waiting(waiting)}".strip()
        parts = [w.HTML(f"<h3>{html.escape(name)}</h3><p>{used}</p>{_how(found, name)}")]
        parts.append(Asks(path, asked, lambda said: self._done(said), self._safely))
        for title, some in (("Set aside", left_to_tell(bad, asked)), (_DOUBT, left_to_tell(doubts, asked))):
            alike = _alike(some, lambda *these: self._mends_well(found, *these))
            for problem, *same in alike[:SHOWN]:
                parts += self._thing(title, path, problem, found)
                parts += self._all_like(path, [problem, *same], found) if same else []
            if left := sum(map(len, alike[SHOWN:])):
                more = f"{title}: {left:,} more in {name}. Mend these first, then look again."
                parts.append(w.HTML(note(more, "warn")))
        if bad_copies := damaged_versions(path):
            parts.append(w.HTML(note(_damaged(name, bad_copies), "warn")))
        was = lost(path)
        if was:
            parts += self._lost(path, was)
        if not was and (told := history.undoes(path)):
            label = told.label
            undo = f"The version before is of {label}. Undo: {'; '.join(told.says) or 'nothing'}"
            what = f"Undo the last change of {name}"
            if table is None:
                undo = f"The last version that was saved is of {label}. What is there now is kept, too."
                what = f"Go back to {name} as it was on {label}"
            back = button(what)
            back.on_click(lambda _: self._safely(lambda: self._done(history.undo(path, told))))
            parts += [w.HTML(note(undo)), back]
        return w.VBox(parts)

    def _lost(self, path, was):
        """What a table held that is gone or empty, and a button that goes back to it."""
        back = button(f"Go back to {was.file} as it was on {was.version}: {count_of(was.rows, 'row')}")
        back.on_click(lambda _: self._safely(lambda: self._go_back(path, was)))
        return [w.HTML(note(str(was), "warn")), back]

    def _go_back(self, path, was):
        restore_version(path, was.version)
        self._done(f"{was.file} is as it was on {was.version}.")

    def _thing(self, title, path, problem, found):
        """One problem: the sentence, and a button if its mend is known."""
        told = f"<b>{title}.</b> {html.escape(own.sentence(problem))}"
        if title == _DOUBT:
            told += f" {html.escape(own.becomes_of(found, problem))}"
        can = [replace(problem, mend=mend) for mend in (problem.mend, *problem.mends) if mend]
        can = [each for each in can if self._mends_well(found, each)]
        if not can:
            return [w.HTML(_warning(f"{told} Correct it in {_FORM}." if problem.row else told))]
        holds = cells_of(
            found.sheets.get(path.stem.lower()), problem.row
        )  # the number may be another row's by then
        presses = []
        for each in can:
            press = button(f"Mend {own.mend_of(each)}")
            press.on_click(lambda _, each=each: self._safely(lambda: self._mend(path, each, holds)))
            presses.append(press)
        return [w.HTML(_warning(told)), *presses]

    def _mends_well(self, found, *problems):
        """`mends_well`, judged once."""
        key = tuple((p.file, p.row, p.column, p.mend) for p in problems)
        if key not in self._judged:
            self._judged[key] = mends_well(found, *problems)
        return self._judged[key]

    def _all_like(self, path, problems, found):
        """Problems that have the same slip in them: which rows, and a button for all of them."""
        first = problems[0]
        rows = [
            f"{p.row} ({p.cell} becomes {p.mend})" if p.mend else f"{p.row}" for p in problems[1 : SHOWN + 1]
        ]
        more = len(problems) - 1 - len(rows)
        rows += [f"{more:,} more"] if more else []
        told = f"The same in row{'s' if len(rows) > 1 else ''} {', '.join(rows)}."
        cells = [cells_of(found.sheets.get(path.stem.lower()), p.row) for p in problems]
        presses = []
        for mend in (first.mend,) if first.mend else first.mends:
            held = [(replace(p, mend=p.mend or mend), cell) for p, cell in zip(problems, cells, strict=True)]
            if not first.mend and not self._mends_well(found, *(p for p, _ in held)):
                continue
            press = button(f"Mend all {len(problems)} {'like this' if first.mend else f'as {mend}'}")
            press.on_click(lambda _, held=held: self._safely(lambda: self._mend_all(path, held)))
            presses.append(press)
        return [w.HTML(_warning(html.escape(told))), *presses]

    def _mend_all(self, path, held):
        (problem, holds), *also = held
        records.mend(path, problem, holds=holds, also=also)
        done = f"Mended in {path.name}, column {problem.column}: {count_of(len(held), 'row')}."
        self._done(f"{done} If that is not what you meant, undo it.")

    def _mend(self, path, problem, holds):
        records.mend(path, problem, holds=holds)
        self._done(own.mended(problem))

    def _done(self, said):
        self.look()
        self._said.value = note(said, "good")
        self.again.focus()

    def still(self) -> str:
        """What the page is for."""
        return (
            "<p><b>Your records, looked through.</b> Each table, how its columns and dates were read, what was set "
            "aside, and what looks wrong.</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to look through yours.</i></p>"
        )


def _alike(problems, well):
    """Lists of problems that have the same slip in them and can be mended together; each of the others by itself."""
    lists: dict[Any, list[Any]] = {}
    for i, p in enumerate(problems):
        slip = p.expected.replace(f"Is {p.mend} meant", "").replace(repr(p.cell), "")
        key: Any = (p.column, slip) if p.mend and p.row and not p.says else i
        if (
            p.column == "species" and p.mends and p.row
        ):  # a name of several woods: all of the rows that have it
            key = (p.column, (p.cell or "").lower(), p.mends)
        lists.setdefault(key, []).append(p)
    out = []
    for some in lists.values():
        whole = len(some) == 1 or bool(some[0].mends) or well(*some)
        out += [some] if whole else [[p] for p in some]
    return out


def _warning(told):
    return f'<div class="woodcalc-note woodcalc-warn">{told}</div>'


def _inside(widget, kind):
    for child in widget.children:
        if isinstance(child, kind):
            yield child
        elif hasattr(child, "children"):
            yield from _inside(child, kind)


def _sound(path):
    """True if a file of choices, or of what was written, can be read."""
    try:
        choices.values_in(path)
    except (OSError, ValueError):
        return False
    return True


def _of_choices():
    """What in the learner's choices could not be used."""
    said: list[str] = []
    own.chosen(said)
    return said


def _waiting(waiting):
    """Say which readings tell nothing yet, what they wait for, and what to do; "" if none does."""
    for_what: dict[tuple[str, ...], list[int]] = {}
    for row, reasons in waiting.items():
        for_what.setdefault(reasons, []).append(row)
    told = []
    for reasons, rows in for_what.items():
        shown = ", ".join(str(row) for row in rows[:SHOWN])
        more = f" and {len(rows) - SHOWN:,} more" if len(rows) > SHOWN else ""
        who = f"Row {shown} waits" if len(rows) == 1 else f"Rows {shown}{more}: each waits"
        told += [f"{who} for {' and '.join(reasons)}.", *map(own.waits, reasons)]
    return html.escape(" ".join(dict.fromkeys(told)), quote=False)


def _verdict(found, trouble, asked=(), missing=()):
    """Whether all is well, in one note; what is wrong with no single table before it.

    `missing` names the tables of which rows are gone.
    """
    told = note("\n".join(trouble), "warn") if trouble else ""
    if not found.tables and not found.problems:
        return told + (
            f'<div class="woodcalc-note">You keep no records yet: {_FORM} begins them, in the folder '
            f"{html.escape(str(found.folder))}. Until then the lessons use those of Kettle Hollow (invented).</div>"
        )
    if told and not found.sheets and all(p.file == found.folder.name for p in found.problems):
        return told  # the folder itself cannot be read: nothing is known of what is in it
    count = sum(len(table) for table in found.tables.values())
    rows = count_of(count, "row")
    aside = len({(p.file, p.row) for p in found.problems if not own.is_begun(found, p)})
    held = sum(len(table) > 0 for table in found.tables.values())
    if not aside and not found.doubts and (beside := _beside(found)):
        lie = "lies" if len(beside) == 1 else "lie"
        said = f"All that is read can be used: {rows} in {held} of the four tables. But {' and '.join(beside)} {lie} "
        return told + note(f"{said}beside them, not read. More rows of yours in there?", "warn")
    if not aside and not found.doubts and asked:
        files = " and ".join(dict.fromkeys(q.file for q in asked))
        said = f"{rows} in {held} of the four tables can be used, but {files} leaves a question open. Answer it below."
        return told + note(said, "warn")
    if not aside and not found.doubts and found.waiting:
        waits = f"In readings.csv: {_waiting(found.waiting).replace('R', 'r', 1)}"
        waits += " All other rows are used." if count > len(found.waiting) else ""
        if missing:
            return told + note(f"Nothing else looks wrong: {rows} in {held} of the four tables. {waits}")
        return told + note(f"Nothing looks wrong: {rows} in {held} of the four tables. {waits}", "good")
    if not aside and not found.doubts and missing:
        said = f"Nothing looks wrong in what is there: {rows} in {held} of the four tables."
        return told + note(f"{said} But another program changed {' and '.join(missing)}: see above.", "warn")
    if not aside and not found.doubts and trouble:
        return told + note(f"All that is there can be used: {rows} in {held} of the four tables.")
    if not aside and not found.doubts:
        return told + note(f"All is well: {rows} in {held} of the four tables, all of them used.", "good")
    many = [
        f"{aside} set aside" if aside else "",
        f"{len(found.doubts)} that may be wrong" if found.doubts else "",
    ]
    can = count_of(count - len(found.waiting) - len(found.left_out), "row")
    return told + note(f"{can} can be used. Look below at {' and '.join(filter(None, many))}.", "warn")


def _beside(found):
    """Files that seem to be one of the tables under another name, and are not read."""
    names = (near.name for table in found.tables for near in near_names(found.folder / f"{table}.csv"))
    return list(dict.fromkeys(names))


def _how(found, name):
    """How the columns and dates of a table were read."""
    if name.removesuffix(".csv") not in found.tables:
        return ""
    notes = [n.removeprefix(f"{name}: ") for n in found.notes if n.startswith(f"{name}: ")]
    good_to_know = [n.removeprefix(f"{name}, ") for n in found.remarks if n.startswith(f"{name}, ")]
    told = ""
    for title, some in (("How it was read:", notes), ("Good to know:", good_to_know)):
        more = [f"and {len(some) - SHOWN:,} more like these"] if len(some) > SHOWN + 1 else []
        shown = [*some[:SHOWN], *more] if more else some
        items = "".join(f"<li>{html.escape(n)}</li>" for n in shown)
        told += f"<p>{title}</p><ul>{items}</ul>" if some else ""
    return told


class ChoicesLine(Box):
    """What the lessons start from, in one line that follows the choices; made by `choices_line`."""

    def __init__(self) -> None:
        self._line = w.HTML()
        super().__init__([self._line], "box: what the lessons start from")
        self.look()
        own.follow("choices", self.look)

    def look(self) -> None:
        """Read the choices again."""
        said: list[str] = []
        try:
            mine = own.chosen(said)
            line = (
                f"Place {mine.place}; {mine.thickness} {mine.species}; stacked in {month_name(mine.month)}."
            )
        except Exception as error:  # whatever lies in the file, a learner reads a sentence
            self._line.value = own.sorry(error, ())
        else:
            self._line.value = note("\n".join(said), "warn") + f"<p>{html.escape(line)}</p>"

    def still(self) -> str:
        """The line as it is now."""
        return self._line.value

    def __repr__(self):
        return plain(self._line.value)


def choices_line() -> Box | Shown:
    """Show what the lessons start from: the learner's choices; they follow a change of the lists above.

    Returns
    -------
    ChoicesLine

    Examples
    --------
    >>> print(choices_line())
    Place Madison, WI; 4/4 northern red oak; stacked in May.
    """
    return ChoicesLine()


def _damaged(name, copies):
    """Say which copies among the earlier versions are damaged."""
    which = ", ".join(map(str, copies[:SHOWN]))
    more = f" and {len(copies) - SHOWN:,} more" if len(copies) > SHOWN else ""
    what = "A kept copy is" if len(copies) == 1 else f"{len(copies):,} kept copies are"
    return f"{what} damaged, of {which}{more}: the book passes over it. {name} itself is not harmed by that."
