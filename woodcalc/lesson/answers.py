"""Boxes that ask: an exercise with its numbers, and the guess that a lesson begins with."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc.checks import InputError, count_of
from woodcalc.disk import in_words
from woodcalc.lesson import answer_file, kept
from woodcalc.lesson import exercise as _exercise
from woodcalc.lesson.box import Ask, Box, Form, Shown, note
from woodcalc.lesson.saved import question
from woodcalc.records.amounts import read_amount
from woodcalc.records.choices import kept_choices
from woodcalc.records.keep import fingerprint

if TYPE_CHECKING:
    from woodcalc.lesson.panel import Panel


class QuestionBox(Box):
    """A box that asks something; before the lesson runs, a reader sees the question as text."""

    def __init__(self, children: Sequence[w.Widget], still: str) -> None:
        super().__init__(children, "answer box")
        self._still = still

    def still(self) -> str:
        """The question, in HTML."""
        return self._still


# the boxes of this lesson whose words are kept, by name; one that is run again takes its old place
on_page: dict[str, Any] = {}
told_once: set[str] = set()  # why words could not be kept: said once


def remember(name: str, box: Any) -> None:
    """Let the button that starts the lesson over wipe this box, too: it has a `start_over`."""
    on_page[name] = box


class WrittenBox(QuestionBox):
    """A box whose words are kept and come back on the next run.

    Parameters
    ----------
    name : str
        The name that the words are kept under.
    lesson : str
        Two digits, or "" if the box does not know.
    children, still
        As in `QuestionBox`.
    """

    def __init__(self, name: str, lesson: str, children: Sequence[w.Widget], still: str) -> None:
        super().__init__(children, still)
        self.name, self.lesson = name, lesson
        remember(name, self)

    def keep(self, asked: str, typed: str, **more: Any) -> str:
        """Keep what was typed; return HTML that says why it could not be kept, the first time that it could not."""
        try:
            kept.keep(self.name, self.lesson, asked, typed, **more)
        except Exception as error:  # whatever it is, the box goes on
            reason = in_words(error)
            if reason not in told_once:
                told_once.add(reason)
                return note(
                    f"This box works, but what you type can't be kept for the next time. {reason}", "warn"
                )
        return ""


def _field(label):
    """Return a text field under its label, and the row that holds both."""
    name = w.Label(label)
    name.add_class("woodcalc-name")
    field = w.Text(continuous_update=False, layout=w.Layout(width="180px"))
    row = w.HBox([name, field])
    row.add_class("woodcalc-dial")
    return field, row


def ask(key: str, group: str | None = None) -> AnswerBox | Shown:
    """Return the answer box of an exercise: type a number, press Enter or Check; new numbers on demand.

    Parameters
    ----------
    key : str
        The exercise's key.
    group : str, optional
        Seeds the numbers: a class, a table or a name. Without it everybody starts with the same numbers.

    Returns
    -------
    ipywidgets.VBox or Shown
        With ``.exercise``, ``.numbers``, ``.field`` and ``.feedback`` for tests. A sentence, if its words can't be
        read.

    Raises
    ------
    ValueError
        No such exercise.
    """
    box, trouble = _box(key, group or "first")
    return box or trouble


def _box(key, group):
    """Return (the answer box, None), or (None, what stands in its place: its words are not as they should be)."""
    where = ""
    try:
        exercise = _find(key)
        where = f" (the words of {key} begin at line {exercise.line})"
        return AnswerBox(exercise, group), None
    except InputError as error:
        mend = (
            "It is in the folder woodcalc/lesson/exercises. Mend it, then start the lesson again and run it."
        )
        told = f"This question can't be asked: {error}{where}\n{mend} The rest of the lesson works."
        return None, Shown(note(told, "warn"))


def _find(key):
    trouble = None
    for topic in _exercise.TOPICS:
        try:
            found = {each.key: each for each in _exercise.of_topic(topic)}
        except InputError as error:  # the words of another topic need not stop this one
            trouble = trouble or error
        else:
            if key in found:
                return found[key]
    if trouble:
        raise trouble
    raise ValueError(f"no exercise {key!r}; there are: {', '.join(_exercise.every())}")


class AnswerBox(WrittenBox):
    """The box that `ask` makes."""

    def __init__(self, exercise: _exercise.Exercise, group: str) -> None:
        self.exercise, self._named = exercise, group
        self.when_dealt = self.when_over = lambda: None  # a panel that shows the numbers follows here
        self.question_line = w.HTML()
        self.field, row = _field(f"Your answer ({exercise.wanted})")
        self.feedback = w.HTML()
        check = w.Button(description="Check", layout=w.Layout(width="auto"))
        again = w.Button(description="New numbers", layout=w.Layout(width="auto"))
        steps = w.Button(description="Show the steps", layout=w.Layout(width="auto"))
        self._bring_back(kept.written().get(exercise.key, {}))
        super().__init__(
            exercise.key,
            exercise.lesson,
            [
                self.question_line,
                w.HBox([row, check, again, steps], layout=w.Layout(flex_flow="row wrap")),
                self.feedback,
            ],
            question("Question", self._asked, self.field.value),
        )
        check.on_click(lambda _: self.check())
        again.on_click(lambda _: self.new_numbers())
        steps.on_click(lambda _: self.show_steps())
        self.field.observe(lambda change: self.check() if change["new"] else self._emptied(), "value")

    def _deal(self, group, turn=0):
        self._group, self.turn = group, turn
        self.numbers = self.exercise.draw(_exercise.seeded(self.exercise.key, group, turn))
        self._asked = self.exercise.text(self.numbers)
        self.question_line.value = f'<div class="woodcalc-note woodcalc-ask">{html.escape(self._asked)}</div>'
        self.when_dealt()

    def _bring_back(self, words):
        """Deal the numbers that were answered last and show the answer again, if they are still the same numbers."""
        group, turn = words.get("group"), words.get("turn")
        if isinstance(group, str) and isinstance(turn, int) and self._named in ("first", group):
            self._deal(group, turn)
            if (self._asked, self._numbers_told()) == (words["asked"], words.get("numbers")):
                self.field.value = words["typed"]
                if words["typed"]:
                    self.mark()
                return
        self._deal(self._named)

    def _numbers_told(self):
        """The numbers in short: a hidden one is not for reading."""
        return fingerprint(json.dumps(self.numbers, sort_keys=True, default=str).encode())

    @property
    def group(self) -> str:
        """Whose numbers these are; "" for everybody's."""
        return "" if self._group == "first" else self._group

    def new_numbers(self, group: str | None = None) -> None:
        """Deal the next set of numbers, or the first set of another `group`."""
        if group:
            self._deal(group)
        else:
            self._deal(self._group, self.turn + 1)
        self.field.value = ""
        self.feedback.value = self._keep()

    def start_over(self) -> None:
        """Deal the first numbers again and empty the field."""
        self._deal(self._named)
        self.field.value = self.feedback.value = ""
        self.when_over()

    def check(self) -> None:
        """Mark what stands in the field, say so, and keep it."""
        if not self.field.value.strip():
            self.feedback.value = note("Type a number first.", "warn")
            return
        marked = self.mark()  # first of all, whatever happens to the files
        self.feedback.value += self._keep() + (self._keep_for_class(*marked) if marked else "")

    def mark(self) -> tuple[float, bool] | None:
        """Say whether the answer is right; return it with its mark, or None if it is no number."""
        try:
            answer = read_amount(self.field.value, self.exercise.unit)
        except InputError as why:
            self.feedback.value = note(_unread(self.field.value, why), "warn")
            return None
        try:
            right, say = self.exercise.mark(answer, self.numbers, self.field.value)
        except InputError as error:
            self.feedback.value = note(f"This answer can't be marked: {error}", "warn")
            return None
        self.feedback.value = note(say, "good" if right else "warn")
        return answer, right

    def _emptied(self):
        """What was said was of an answer that is gone."""
        self.feedback.value = self._keep()

    def _keep(self):
        more = {"group": self._group, "turn": self.turn, "numbers": self._numbers_told()}
        return self.keep(self._asked, self.field.value, **more)

    def _keep_for_class(self, answer, right):
        try:
            if kept_choices().keep_answers:
                slip = self.exercise.slip(answer, self.numbers)
                answer_file.keep(self.exercise, self._group, answer, right, slip)
        except Exception as error:  # the answer still counts, only the file is missing
            return note(
                f"Your answer counts, but it could not be kept for the class. {in_words(error)}", "warn"
            )
        return ""

    def show_steps(self) -> None:
        """Show how these numbers are worked."""
        try:
            steps = "".join(f"<li>{html.escape(s)}</li>" for s in self.exercise.steps(**self.numbers))
        except InputError as error:
            self.feedback.value = note(f"The steps can't be shown: {error}", "warn")
            return
        self.feedback.value = f'<div class="woodcalc-note" role="status"><ol>{steps}</ol></div>'


def hidden_truth(key: str, show: Callable[..., Panel]) -> QuestionBox | Shown:
    """Return an exercise whose truth must be measured on a panel: a group's name picks the truth.

    Parameters
    ----------
    key : str
        An exercise with `hidden` numbers.
    show : callable
        Called with the exercise's numbers as keywords, returns the panel on which to measure.

    Returns
    -------
    ipywidgets.VBox
    """
    box, trouble = _box(key, "first")
    if trouble:
        return trouble
    field, row = _field("Name of your table or group")
    field.value = box.group

    def shown():
        made = show(**box.numbers)
        if hasattr(made, "stays_line"):
            made.stays_line.layout.display = "none"  # a question is about nobody's own
        return made

    place = w.VBox([shown()])

    def follow():
        place.children = [shown()]

    box.when_dealt = follow  # also when the question reads the same, because all that changed is hidden
    box.when_over = lambda: setattr(field, "value", "")
    field.observe(lambda change: box.new_numbers(change["new"].strip().lower() or "first"), "value")
    whole = QuestionBox([row, place, box], place.children[0].still() + box.still())
    whole.box, whole.place = box, place
    return whole


def _unread(typed, why):
    return f"Found {typed.strip()!r}; expected a number like 12, 7.5 or 1 1/8. {why}"


def _as_written(typed, unit):
    """The number of a guess; a fraction as it was typed."""
    value = read_amount(typed, unit)
    part = re.match(r"[-\d\s./]+", typed.strip())
    return part[0].strip() if "/" in typed and part and "/" in part[0] else f"{value:.10g}"


class Guess(WrittenBox):
    """The number written down before touching anything; made by `guess`."""

    def __init__(self, prompt: str, unit: str) -> None:
        self._prompt, self._unit = prompt, unit
        name = f"guess: {prompt}"
        self.field, row = _field(f"My guess ({unit})")
        self.said_line = w.HTML()
        self.field.value = kept.written().get(name, {}).get("typed", "")
        self._note()
        super().__init__(
            name,
            "",
            [
                w.HTML(f'<div class="woodcalc-note woodcalc-ask">{html.escape(prompt)}</div>'),
                row,
                self.said_line,
            ],
            question("Guess", prompt, self.field.value),
        )
        self.field.observe(lambda _: self._keep(), "value")

    def _note(self):
        typed = self.field.value
        try:
            said = f"Noted: {_as_written(typed, self._unit)} {self._unit}. You will see it again at the end."
        except InputError as why:
            self.said_line.value = note(_unread(typed, why), "warn") if typed.strip() else ""
        else:
            self.said_line.value = note(said)

    def _keep(self):
        self._note()
        self.said_line.value += self.keep(self._prompt, self.field.value)

    def start_over(self) -> None:
        """Empty the field."""
        self.field.value = ""

    def again(self, truth: float, sentence: str) -> QuestionBox:
        """Return a line for the end of the lesson that sets the guess beside the answer.

        Parameters
        ----------
        truth : float
            The answer, computed in the lesson.
        sentence : str
            What the answer means, with the number in it.
        """
        line = w.HTML()

        def tell(change=None):
            try:
                mine = _as_written(self.field.value, self._unit)
            except InputError:
                start = "You wrote no guess down this time."
            else:
                start = f"Your guess was {mine} {self._unit}; the answer is {truth:g} {self._unit}."
            line.value = note(f"{start} {sentence}", "ask")

        self.field.observe(tell, "value")
        tell()
        return QuestionBox([line], f"<p>{html.escape(sentence)}</p>")


def guess(prompt: str, unit: str) -> Guess:
    """Return a box for one prediction; keep it in a name, and call ``.again(...)`` at the end of the lesson.

    Parameters
    ----------
    prompt : str
        The question, e.g. ``"How many days will 4/4 red oak take?"``.
    unit : str
        Unit of the guess.

    Returns
    -------
    Guess

    Examples
    --------
    >>> mine = guess("How many board feet?", "bf")
    >>> "A 16-inch log." in mine.again(144, "A 16-inch log.").children[1].value
    True
    """
    return Guess(prompt, unit)


class StartOver(Form):
    """The box that `start_over` makes."""

    def __init__(self, lesson: str) -> None:
        self._lesson = lesson
        self.button = w.Button(description="Start this lesson over", layout=w.Layout(width="auto"))
        self.sure = Ask()
        super().__init__([w.HBox([self.button]), self.sure], [], "button: start this lesson over", "")
        self.add_class("woodcalc-start-over")  # the bar above the lesson finds its button by this
        self.button.on_click(lambda _: self._ask())

    def _written(self):
        """The names of the boxes with words in them, and whether one of them is the guess."""
        ours = [
            n for n, words in kept.written().items() if words.get("lesson") == self._lesson or n in on_page
        ]
        return [name for name in ours if kept.written()[name]["typed"].strip()]

    def _ask(self):
        guesses = [name for name in self._written() if name.startswith("guess: ")]
        answers = len(self._written()) - len(guesses)
        what = " and ".join(["your guess"] * bool(guesses) + [count_of(answers, "answer")] * bool(answers))
        self.tell("")
        self.sure.ask(
            f"This wipes {what or 'what you typed'} in this lesson. Your records, your choices and your other "
            "lessons stay.",
            "Start over",
            "Leave it as it is",
            self.wipe,
        )

    def wipe(self) -> None:
        """Wipe the words of this lesson, in the boxes and in the file."""
        for box in on_page.values():
            box.start_over()
        try:
            kept.forget({*self._written(), *on_page})
        except OSError as error:
            self.tell(f"The boxes are empty. In the file it stands as before: {error}", "warn")
        else:
            self.tell("This lesson starts over: the boxes are empty, and the first numbers are back.", "good")

    def still(self) -> str:
        """What the button is for."""
        return (
            "<p><i>After a run, a button here wipes your guess and your answers, so that you can start this lesson "
            "over.</i></p>"
        )


def start_over(lesson: str) -> StartOver:
    """Return a button that wipes the guess and the answers of a lesson, after a question.

    Parameters
    ----------
    lesson : str
        Two digits.

    Returns
    -------
    StartOver
    """
    return StartOver(lesson)
