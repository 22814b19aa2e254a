"""The form of a new sample board: its two oven sections make its oven-dry weight, shown with the sum."""

from __future__ import annotations

import html
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as w

from woodcalc import moisture, records
from woodcalc.checks import InputError
from woodcalc.disk import in_words
from woodcalc.figures.sample_boards import HEIGHTS, SIDES
from woodcalc.lesson import own, row_words
from woodcalc.lesson.before_saving import CORRECT, SAVE_ANYWAY, looks_wrong, of_the_file, unlike_its_sections
from woodcalc.lesson.box import button, labelled, note, plain
from woodcalc.lesson.stack_form import StackForm
from woodcalc.lesson.this_week import what_next
from woodcalc.lesson.worked import one_number
from woodcalc.records import choices

_GRAMS = tuple(
    f"{which} section, {state} (g)" for which in ("First", "Second") for state in ("green", "oven-dry")
)
_STACK, _BOARD, _DAY = "Stack *", "Board: its number *", "Day the sections were cut *"
_WEIGHT, _UNIT = "The board, right after cutting", "Weighed in"
_SIDE, _HEIGHT = "Where it lies: side", "Where it lies: height"
_ME, _DRAFT = "sections", "sample board sections"
_A_ROW = {"oven-dry": "an oven-dry weight", "weight": "a weighing of that day"}
_OVEN = (
    "The sections dry in an oven that you watch, at 215 to 217 F (lesson 4), never in a microwave: they can smolder "
    "inside. They may stay until tomorrow: what you typed waits here."
)


class Sections(StackForm):
    """Fields for the weights of one sample board; the sum below them follows. Made by `sections_form`."""

    def __init__(self, folder: Path) -> None:
        super().__init__(folder, _DRAFT, _DAY)
        self.unit = w.Dropdown(options=["lb", "oz", "kg", "g"], layout=_wide())
        self.side = w.Dropdown(options=["", *SIDES], layout=_wide())
        self.height = w.Dropdown(options=["", *HEIGHTS], layout=_wide())
        self.fields = {
            _BOARD: _text("e.g. A1"),
            _DAY: _text("", date.today().isoformat()),
            **{name: _text(f"e.g. {n}") for name, n in zip(_GRAMS, ("98.55", "59.20", "86.92", "55.02"), strict=True)},
            _WEIGHT: _text("e.g. 4.46"),
        }  # fmt: skip
        self.sum_line = w.HTML()
        lists = {_STACK: self.stack, _UNIT: self.unit, _SIDE: self.side, _HEIGHT: self.height}
        self._all = {**self.fields, **lists}
        order = (_STACK, _BOARD, _DAY, *_GRAMS, _WEIGHT, _UNIT, _SIDE, _HEIGHT)
        rows = w.Box(
            [labelled(name, self._all[name]) for name in order], layout=w.Layout(flex_flow="row wrap")
        )
        keep, empty = button("Save the weight and the oven-dry weight"), button("Empty the fields")
        buttons = w.HBox([keep, empty], layout=w.Layout(flex_flow="row wrap"))
        for field in self._all.values():
            field.observe(lambda _: self.safely(self._changed), "value")
        keep.on_click(lambda _: self.safely(self.save))
        empty.on_click(lambda _: self.safely(self.empty))
        parts = [w.HTML(note(_OVEN)), rows, self.sum_line, buttons]
        choosers = {_STACK: self.stack, _UNIT: self.unit}
        self.show(parts, "form: a new sample board", "A new sample board", choosers)

    def _all_fields(self):
        return self._all

    def _open(self):
        super()._open()
        self._changed()

    def _changed(self):
        if self._filling:
            return
        self._draft()
        try:
            self.sum_line.value = self._sum()
        except InputError as error:
            self.sum_line.value = note(in_words(error), "warn")

    def _grams(self, label):
        return one_number(self.fields[label].value, label, 0.1, 100_000, "g")

    def _sections(self):
        """The sections whose two weights are there: (name, green, oven-dry)."""
        found = []
        for k, name in ((0, "First"), (2, "Second")):
            pair = _GRAMS[k : k + 2]
            if all(self.fields[label].value.strip() for label in pair):
                green, dry = map(self._grams, pair)
                if dry >= green:
                    raise InputError(
                        f"{name} section: oven-dry {dry:g} g is not less than green {green:g} g. Are the two swapped?"
                    )
                found.append((name, green, dry))
        return found

    def board(self) -> moisture.SampleBoard:
        """The sample board that the fields describe.

        Raises
        ------
        InputError
            A weight is missing, or cannot be.
        """
        pairs = [(green, dry) for _, green, dry in self._sections()]
        if not pairs:
            raise InputError(
                "Sections: expected the green and the oven-dry weight of one section at least, in grams."
            )
        half = [
            label
            for k in (0, 2)
            for label, other in (_GRAMS[k : k + 2], _GRAMS[k : k + 2][::-1])
            if not self.fields[label].value.strip() and self.fields[other].value.strip()
        ]
        if half:
            raise InputError(f"{half[0]}: expected a weight, as the other one of this section is there.")
        weight = one_number(self.fields[_WEIGHT].value, _WEIGHT, 0.01, 100_000, self.unit.value)
        return moisture.SampleBoard(tuple(pairs), weight, self.unit.value, self.fields[_BOARD].value.strip())

    def _sum(self):
        """The sum, as far as the weights are there, as HTML."""
        sections = self._sections()
        if not sections:
            return ""
        lines = [
            f"{name} section: ({green:g} - {dry:g}) / {dry:g} = {moisture.mc_pct(green, dry):.1f} %"
            for name, green, dry in sections
        ]
        mcs = [float(moisture.mc_pct(green, dry)) for _, green, dry in sections]
        doubts = moisture.sections_doubted(mcs, self._wood())
        mean = sum(mcs) / len(mcs)
        of = (
            f"Mean of the two: {mean:.1f} %."
            if len(mcs) == 2
            else "One section only: a second makes it surer."
        )
        lines.append(of)
        if self.fields[_WEIGHT].value.strip():
            board = self.board()
            lines.append(
                f"Oven-dry weight of the board: {board.weight:g} {board.unit} / (1 + {mean / 100:.3f}) = "
                f"{_shown(board.oven_dry)} {board.unit}"
            )
        return note("\n".join(lines)) + note("\n".join(doubts), "warn")

    def _wood(self):
        stacks = self._found.tables.get("stacks")
        mine = [] if stacks is None else list(stacks.loc[stacks["stack"] == self.stack.value, "species"])
        return mine[0] if mine else ""

    def empty(self) -> None:
        """Empty the fields of this board; stack, day and unit stay."""
        self._filling = True
        for label, field in self._all.items():
            if label not in (_STACK, _DAY, _UNIT):
                field.value = ""
        self._filling = False
        self._changed()
        self.tell("")

    def rows(self) -> list[tuple[str, dict[str, str]]]:
        """The weighing and the oven-dry weight as rows of the readings: (what to call it, its cells)."""
        board = self.board()
        sums = " and ".join(f"{green:g} to {dry:g}" for _, green, dry in self._sections())
        place = ", ".join(filter(None, (self.side.value, self.height.value)))
        common = {
            "date": self.fields[_DAY].value,
            "stack": self.stack.value or "",
            "board": board.label,
            "unit": board.unit,
        }
        weight = {**common, "kind": "weight", "value": self.fields[_WEIGHT].value, "note": place}
        told = "; ".join(filter(None, (f"sections {sums} g", place)))
        dry = {**common, "kind": "oven-dry", "value": _shown(board.oven_dry), "note": told}
        return [("Oven-dry weight", dry), ("Weight", weight)]

    def save(self, sure: bool = False, replace: bool = False) -> None:
        """Check the weights and save both rows; if something is refused, neither is saved.

        Parameters
        ----------
        sure : bool
            What looks wrong was asked, and is to be saved all the same.
        replace : bool
            The weights that the board has already are to give way to these.
        """
        self.question.hide()
        if not self.stack.value:
            self.tell("Add a stack first: in the form for your records, table stacks.", "warn")
            return
        if not self.fields[_BOARD].value.strip():
            self.tell(
                f"Not saved yet:\n{_BOARD.removesuffix(' *')}: expected the number that is written on it.",
                "warn",
            )
            return
        try:
            rows = self.rows()
        except InputError as error:
            self.tell(f"Not saved yet:\n{error}", "warn")
            return
        before = records.read_usable(self._path.parent)
        frame: Any = before.tables.get("readings")
        new, there = self._against(frame, rows)
        if not new and not there:
            self.tell("Not saved yet:\nThe records say just this already.", "warn")
            return
        refused = [
            f"{name}: {row_words.told(p, self._path.name)}"
            for name, row in new
            for p in records.problems_in(row, "readings")[1]
        ]
        if refused:
            self.tell("\n".join(["Not saved yet:", *refused]), "warn")
            return
        if not sure and (asked := self._asked(before, new, there)):
            self.ask_first(asked, SAVE_ANYWAY, CORRECT, partial(self.save, sure=True))
            return
        if there and not replace:
            asked = [
                f"Board {row['board']} has {_A_ROW[row['kind']]} already: {row_words.cell(frame.loc[at], 'value')} in "
                f"row {at}. Replace it with {row['value']} {row['unit']}?"
                for at, row in there.items()
            ]
            self.ask_first(asked, "Replace it", "Keep it", partial(self.save, sure=True, replace=True))
            return
        known = {(p.file, p.row, p.column) for p in (*before.problems, *before.doubts) if p.row}
        for at, row in there.items():
            cells = {column: text for column, text in row.items() if text}  # a note of old stays
            records.correct(self._path, at, frame.loc[at], {**frame.loc[at], **cells})
        done, refused = row_words.add_rows(self._path, new)
        done = [*there, *done]
        if refused:
            self.tell(
                "\n".join(["Not saved yet:" if not done else "Only a part is saved:", *refused]), "warn"
            )
        else:
            board = self.fields[_BOARD].value.strip()
            sums = plain(self.sum_line.value)
            self.empty()
            self.look()
            doubts = [
                p for row in done for p in row_words.doubts(self._found, self._path.name, row, known)[0]
            ]
            after, too_fast = what_next(self._found, self.stack.value)
            said = [
                f"Saved for board {board}: {' and '.join(name.lower() for name, _ in rows)}.",
                sums,
                *(f"Look at it again: {row_words.told(p, self._path.name)}" for p in doubts),
                after,
            ]
            self.tell("\n".join(filter(None, said)), "warn" if doubts or too_fast else "good")
        if done:
            own.saved(_ME)

    def _asked(self, found, new, there):
        """What looks wrong with the weights as a whole, each a sentence that asks."""
        board = self.board()
        mcs = [float(moisture.mc_pct(*pair)) for pair in board.sections]
        rows = [*new, *((f"Board {board.label}", row) for row in there.values())]
        at = [*(0 for _ in new), *there]
        asked = moisture.sections_doubted(mcs, self._wood()) + looks_wrong(found, rows, at)
        asked = of_the_file(self._path) + asked
        return asked or unlike_its_sections(board.weight, board.unit, [green for green, _ in board.sections])

    def _against(self, frame, rows):
        """(The rows that are to be added, {row in the file: what would stand in its place})."""
        new, there = [], {}
        for name, row in rows:
            values, problems = records.problems_in(row, "readings")
            if problems or frame is None:
                new.append((name, row))
                continue
            mine = frame[
                (frame["stack"] == row["stack"])
                & (frame["board"].str.casefold() == row["board"].casefold())
                & (frame["kind"] == row["kind"])
            ]
            if row["kind"] == "weight":  # of that day: a board has one oven-dry weight, and many weighings
                mine = mine[mine["date"] == values["date"]]
            if mine.empty:
                new.append((name, row))
            elif not ((mine["value"] == values["value"]) & (mine["unit"] == values["unit"])).any():
                there[int(mine.index[0])] = row
        return new, there

    def still(self) -> str:
        """What the form asks for."""
        return (
            f"<p><b>A new sample board</b></p><p>One field for each of: {html.escape(', '.join(self._all))}.</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to fill in the form.</i></p>"
        )


def _wide():
    return w.Layout(width="170px")


def _text(example, value=""):
    return w.Text(value, placeholder=example, continuous_update=False, layout=_wide())


def _shown(weight):
    """A weight as finely as the two scales tell it: four figures."""
    return f"{float(f'{weight:.4g}'):.10g}"


def sections_form(folder: str | Path | None = None) -> Sections:
    """Return a form that takes the section weights of a new sample board and saves its oven-dry weight.

    Parameters
    ----------
    folder : path, optional
        The learner's own folder if left out.

    Returns
    -------
    Sections
    """
    form = Sections(Path(folder) if folder else choices.folder())
    own.follow(_ME, lambda: form.safely(form.look))
    return form
