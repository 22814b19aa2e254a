"""The form of a weighing day: every sample board of a stack in one go, each with its last weight beside it."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as w

from woodcalc import records
from woodcalc.checks import blank, count_of, in_a_list
from woodcalc.dates import calendar_day
from woodcalc.lesson import own, row_words
from woodcalc.lesson.before_saving import (
    CORRECT,
    REPLACE,
    SAVE_ANYWAY,
    SAVE_BOTH,
    in_its_place,
    looks_wrong,
    of_the_file,
)
from woodcalc.lesson.box import button, labelled
from woodcalc.lesson.mine import picked
from woodcalc.lesson.stack_form import StackForm
from woodcalc.lesson.this_week import what_next
from woodcalc.records import choices
from woodcalc.records.amounts import weight_and_scale
from woodcalc.records.cells import same_row
from woodcalc.weighings import DRY_WEIGHT

SCALES = {
    **{f"a scale, {unit}": ("weight", unit) for unit in ("lb", "oz", "kg", "g")},
    "a meter, %": ("meter", "%"),
}
_STACK, _DAY, _SCALE, _TEMP = "Stack", "Date *", "Read with", "Temperature of the wood (F), meter only"
_NEW, _NEW_VALUE = "Another board: its number", "Another board: what the scale or meter says"
_MOST = 24  # boards of a stack, those that were read last
_ME, _DRAFT = "weigh day", "weighing day"
_NO_STACKS = "Add a stack first: in the form for your records, table stacks."


class WeighDay(StackForm):
    """A line for each board of one stack; all are saved at once, or none is. Made by `weigh_day`.

    What is typed stays in the fields until it is saved, whatever goes wrong, and until the next day if the page is
    closed.
    """

    def __init__(self, folder: Path) -> None:
        super().__init__(folder, _DRAFT, _DAY)
        self._of: str | None = None  # the stack that the lines are for
        self._typed: dict[tuple[str | None, str], str] = {}  # what was typed, by stack and board
        wide = w.Layout(width="170px")
        self.day = w.Text(date.today().isoformat(), continuous_update=False, layout=wide)
        self.scale = w.Dropdown(options=list(SCALES), layout=wide)
        self.temp = w.Text(placeholder="e.g. 68", continuous_update=False, layout=wide)
        self.new = w.Text(placeholder="e.g. A4", continuous_update=False, layout=wide)
        self.new_value = w.Text(continuous_update=False, layout=wide)
        self.lines: dict[str, w.Text] = {}
        self._rows = w.Box(layout=w.Layout(flex_flow="row wrap"))
        keep, empty = button("Check and save all"), button("Empty all lines")
        top = w.Box(
            [labelled(_STACK, self.stack), labelled(_DAY, self.day), labelled(_SCALE, self.scale),
             labelled(_TEMP, self.temp)],
            layout=w.Layout(flex_flow="row wrap"),
        )  # fmt: skip
        buttons = w.HBox([keep, empty], layout=w.Layout(flex_flow="row wrap"))
        self.stack.observe(lambda _: self.safely(self._lay_out), "value")
        self.scale.observe(lambda _: self.safely(self._lay_out), "value")
        for field in (self.day, self.temp, self.new, self.new_value):
            field.observe(lambda _: self._draft(), "value")
        keep.on_click(lambda _: self.safely(self.save))
        empty.on_click(lambda _: self.safely(self.empty))
        lists = {_STACK: self.stack, _SCALE: self.scale}
        parts = [top, self._rows, buttons]
        self.show(parts, "form: a weighing day", "All boards of a stack at once", lists)

    def look(self) -> None:
        """Read the records anew; what is typed stays."""
        super().look()
        self._lay_out()
        if not self.stack.options:
            self.tell(_NO_STACKS)
        elif self.said == _NO_STACKS:
            self.tell("")

    def _newest(self, names):
        """The stack of the switch; else the one that was read last: it is the most likely to be read again."""
        if name := picked("stack", names):
            return name
        readings = self._found.tables.get("readings")
        known = [] if readings is None or readings.empty else readings.sort_values("date")["stack"]
        return next(
            (str(name) for name in reversed(list(known)) if name in names), names[0] if names else None
        )

    def _lay_out(self):
        """A line for each board of the stack, with what it weighed last."""
        kind = SCALES[self.scale.value][0]
        self._typed |= {(self._of, board): line.value for board, line in self.lines.items()}
        self._of = self.stack.value
        self.lines, labels = {}, []
        for board, last in self._boards().items():
            text = self._typed.get((self._of, board), "")  # two stacks may have boards of one number
            line = w.Text(text, continuous_update=False, layout=w.Layout(width="170px"))
            line.observe(lambda _: self._draft(), "value")
            self.lines[board] = line
            labels.append(
                labelled(_label(board, last[kind] or next(filter(None, last.values()), None)), line)
            )
        self._rows.children = [*labels, labelled(_NEW, self.new), labelled(_NEW_VALUE, self.new_value)]
        self._draft()

    def _boards(self):
        """{board: {kind: (day, what was read) or None}} of the stack, the boards in the order of the records."""
        readings = self._found.tables.get("readings")
        if readings is None or readings.empty:
            return {}
        mine = readings[(readings["stack"] == self.stack.value) & (readings["board"] != "")]
        mine = mine.sort_values("date", kind="stable")
        newest = list(dict.fromkeys(reversed(list(mine["board"]))))[:_MOST]
        boards: dict[str, dict[str, Any]] = {
            str(board): {"weight": None, "meter": None}
            for board in dict.fromkeys(mine["board"])
            if board in newest
        }
        for row in mine.itertuples():
            if (
                row.board in boards
                and row.kind in ("weight", "meter")
                and row.Index not in self._found.left_out
            ):
                read = f"{row_words.seen_as(row.value, 'value')} {records.text(row.unit)}"
                boards[row.board][row.kind] = (row.date.date(), read.strip())
        return boards

    def _all_fields(self):
        found: dict[str, Any] = {_STACK: self.stack, _SCALE: self.scale, _DAY: self.day, _TEMP: self.temp}
        found |= {_NEW: self.new, _NEW_VALUE: self.new_value}
        return found | {f"Board {board}": line for board, line in self.lines.items()}

    def _typing(self, shown):
        """Keep what is being typed; a line goes by its board, whatever its last weight."""
        super()._typing({label.partition(", last ")[0]: text for label, text in shown.items()})

    def empty(self) -> None:
        """Empty the lines of this stack; the day and the stack stay, and what was typed for other stacks."""
        self._filling = True
        for field in (*self.lines.values(), self.temp, self.new, self.new_value):
            field.value = ""
        self._typed = {at: text for at, text in self._typed.items() if at[0] != self._of}
        self._filling = False
        self._draft()
        self.tell("")

    def rows(self) -> list[tuple[str, dict[str, str]]]:
        """What the lines say that are not empty: (what to call it, the row of the readings)."""
        kind, unit = SCALES[self.scale.value]
        temp = {"temp_f": self.temp.value} if kind == "meter" else {}
        common = {"date": self.day.value, "stack": self.stack.value or "", "kind": kind, **temp}
        filled = [(board, line.value) for board, line in self.lines.items() if line.value.strip()]
        if self.new.value.strip() or self.new_value.value.strip():
            filled.append((self.new.value.strip(), self.new_value.value))
        return [
            (f"Board {board}" if board else _NEW, {**common, "board": board, "value": value, "unit": said})
            for board, text in filled
            for value, said in [_of_the_scale(text, kind, unit)]
        ]

    def save(self, sure: bool = False, replace: bool | None = None) -> None:
        """Check all lines and save them; if one of them is refused, none is saved.

        Parameters
        ----------
        sure : bool
            What looks wrong was asked, and is to be saved all the same.
        replace : bool, optional
            Rows of the file that are not used are to give way to those that put them right, or not. Asked if left out.
        """
        self.question.hide()
        rows = self.rows()
        if not self.stack.value:
            self.tell(_NO_STACKS, "warn")
            return
        refused = self._refused(rows)
        if refused:
            self.tell("\n".join(["Not saved yet:", *_once_each(refused, rows)]), "warn")
            return
        before = records.read_usable(self._path.parent)
        good = not any(records.problems_in(row, "readings")[1] for _, row in rows)
        there = [in_its_place(before, name, row) if good else (0, "") for name, row in rows]
        at = [row for row, _ in there]
        if good and not sure and (asked := self._asked(before, rows, at)):
            self.ask_first(asked, SAVE_ANYWAY, CORRECT, partial(self.save, sure=True))
            return
        if any(at) and replace is None:
            again = partial(self.save, sure=True)
            both = partial(again, replace=True), partial(again, replace=False)
            self.ask_first([asks for _, asks in there if asks], REPLACE, SAVE_BOTH, *both)
            return
        known = {(p.file, p.row, p.column) for p in (*before.problems, *before.doubts) if p.row}
        gives_way = {n: each for n, each in zip(at, rows, strict=True) if replace and n}
        for n, (_, row) in gives_way.items():
            held = before.sheets["readings"].rows()[0].loc[n]
            records.correct(self._path, n, held, {**held, **row})
        rest = [each for n, each in zip(at, rows, strict=True) if not (replace and n)]
        added, refused = row_words.add_rows(self._path, rest)
        rows, done = [*gives_way.values(), *rest], [*gives_way, *added]
        if done and not refused:
            self.empty()
        elif done:  # what is in must not be saved a second time
            self._clear(rows[: len(done)])
        self.look()
        head = f"Saved: {count_of(len(done), 'row')} of {self._path.name}." if done else "Not saved yet:"
        back = "Undo in the form for your records takes them back one by one." if len(done) > 1 else ""
        after, too_fast = what_next(self._found, self.stack.value) if done else ("", False)
        told, doubtful = self._told(rows, done, known, bool(after))
        said = [head, *told, *_once_each(refused, rows), back, after]
        self.tell("\n".join(filter(None, said)), "warn" if refused or doubtful or too_fast else "good")
        if done:
            own.saved(_ME)

    def _asked(self, found, rows, at):
        """What would not be used if it were saved, and a board that may be another one; each a sentence that asks."""
        said = of_the_file(self._path) + looks_wrong(found, rows, at)
        if (new := self.new.value.strip()) and (meant := _boards_meant(new, self.lines)):
            said.append(
                f"Stack {self.stack.value} has no board {new} so far. Is {' or '.join(meant)} meant? Then use its line."
            )
        return _once_each(said, rows)

    def _refused(self, rows):
        """What keeps the lines from being saved, besides what the table itself refuses."""
        if not rows:
            return ["No line is filled in."]
        said = []
        if self.new_value.value.strip() and not self.new.value.strip():
            said.append(f"{_NEW}: expected its number, as it is written on the board.")
        if self.new.value.strip() and not self.new_value.value.strip():
            said.append(f"{_NEW_VALUE}: expected a number.")
        if self.new.value.strip().casefold() in {board.casefold() for board in self.lines}:
            said.append(f"Board {self.new.value.strip()} has a line of its own above.")
        frame = records.read_usable(self._path.parent, ["readings"]).tables.get("readings")
        if frame is None:
            return said
        for name, row in rows:
            values, problems = records.problems_in(row, "readings")
            if problems:
                continue
            for there, other in frame.iterrows():
                if same_row(values, {**other, "note": values.get("note", "")}):
                    said.append(f"{name}: row {there} says just this already. Empty its line.")
                    break
        return said

    def _clear(self, rows):
        self._filling = True
        for _, row in rows:
            if row["board"] in self.lines:
                self.lines[row["board"]].value = ""
            else:
                self.new.value = self.new_value.value = ""
        self._filling = False
        self._draft()

    def _told(self, rows, done, known, next_told):
        """What each saved row tells, and what looks wrong with it or because of it.

        What is next for the stack tells of the boards that wait for their oven-dry weight.
        """
        said: list[str] = []
        doubtful = False
        again: dict[Any, str] = {}
        for (name, row), there in zip(rows, done, strict=False):
            reasons = [r for r in self._found.waiting.get(there, ()) if r != DRY_WEIGHT or not next_told]
            waits = " ".join(map(own.waits, reasons))
            said.append(f"{name}: {row_words.tells(self._found, row['stack'], there) or waits}".rstrip(": "))
            mine, new = row_words.doubts(self._found, self._path.name, there, known)
            for problem in (*mine, *new):
                at = (problem.file, problem.row, problem.column)
                told = row_words.told(problem, self._path.name)
                again.setdefault(at, f"Look at it again: {told} {own.becomes_of(self._found, problem)}")
        if again:
            doubtful = True
            said += list(again.values())[:5]
        return said, doubtful

    def still(self) -> str:
        """What the form asks for."""
        return (
            "<p><b>All boards of a stack at once</b></p><p>One line for each board, with its last weight beside it.</p>"
            "<p><i>Press <b>Run this lesson</b> in the toolbar to fill in the form.</i></p>"
        )


def _of_the_scale(text, kind, unit):
    """(the number, its unit) of a line: a weight that names its own unit is in that one, not in that of the list."""
    value, said = weight_and_scale(text.strip()) if kind == "weight" else ("", "")
    return (value, said) if said else (text, unit)


def _once_each(said, rows):
    """The sentences, each once: what is the same of several boards names them all."""
    names = {name for name, _ in rows if name.startswith("Board ")}
    of: dict[str, list[str]] = {}
    for line in said:
        name, _, told = line.partition(": ")
        of.setdefault(told if name in names else line, []).append(name if name in names else "")
    return [_of_all(boards, told) for told, boards in of.items()]


def _of_all(names, told):
    """A sentence under the names of the boards that it holds for; as it is, if it names none."""
    boards = list(dict.fromkeys(name.removeprefix("Board ") for name in names))
    said = f": {told}" if told else ""
    return f"Board{'s' * (len(boards) > 1)} {in_a_list(boards)}{said}" if names[0] else told


def _label(board, last):
    if last is None or blank(last):
        return f"Board {board}"
    return f"Board {board}, last {last[1]} on {calendar_day(last[0])}"


def _boards_meant(new, boards):
    """The boards whose number is one slip of the pen away from a new one; none if the new one goes on in the count."""

    def counted(board):
        start = board.casefold().rstrip("0123456789")
        return start, int(board[len(start) :] or 0)

    start, number = counted(new)
    if number - 1 in {n for s, n in map(counted, boards) if s == start}:
        return []
    return [board for board in boards if _one_slip(new.casefold(), board.casefold())]


def _one_slip(one, other):
    """True if a character too many, too few or a wrong one makes one of the other."""
    if len(one) == len(other):
        return sum(a != b for a, b in zip(one, other, strict=True)) == 1
    short, long = sorted((one, other), key=len)
    return len(long) == len(short) + 1 > 1 and any(
        long[:i] + long[i + 1 :] == short for i in range(len(long))
    )


def weigh_day(folder: str | Path | None = None) -> WeighDay:
    """Return a form that takes the readings of all boards of one stack on one day.

    Parameters
    ----------
    folder : path, optional
        The learner's own folder if left out.

    Returns
    -------
    WeighDay
    """
    form = WeighDay(Path(folder) if folder else choices.folder())
    own.follow(_ME, lambda: form.safely(form.look))
    return form
