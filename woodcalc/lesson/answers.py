"""Boxes that ask: an exercise with its numbers, and the guess that a lesson begins with."""

import html
import re
from fractions import Fraction

import ipywidgets as w

from woodcalc.lesson import class_answers
from woodcalc.lesson import exercise as _exercise
from woodcalc.lesson.box import Box, kept_choices

_NUMBER = re.compile(r"^(?:(-?(?:\d+\.?\d*|\.\d+))(?:[ -]+(\d+)/(\d+))?|(\d+)/(\d+))$")


def number(text):
    """Return the number that a person wrote: ``12``, ``1,250``, ``7.5 bf``, ``1 1/8``, ``1-1/8"``, ``12 %``.

    Parameters
    ----------
    text : str

    Returns
    -------
    float

    Raises
    ------
    ValueError
        No number can be read.

    Examples
    --------
    >>> number("1-1/8 in")
    1.125
    >>> number("1,250 bf")
    1250.0
    """
    bare = re.sub(r"(?<=\d),(?=\d{3}\b)", "", text.strip())
    bare = re.sub(r"[^\d./ -]+.*$", "", bare).strip().rstrip("-").strip()
    match = _NUMBER.match(bare)
    try:
        whole, top, bottom, top_alone, bottom_alone = match.groups()
        part = Fraction(int(top or top_alone or 0), int(bottom or bottom_alone or 1))
    except (AttributeError, ZeroDivisionError):
        raise ValueError(f"could not read a number in {text!r}: write it like 12, 7.5 or 1 1/8") from None
    return float(whole or 0) + float(-part if (whole or "").startswith("-") else part)


class QuestionBox(Box):
    """A box that asks something; before the lesson runs, a reader sees the question as text."""

    def __init__(self, children, still):
        super().__init__(children, "answer box")
        self._still = still

    def still(self):
        """The question, in HTML."""
        return self._still


def _say(text, kind=""):
    return (
        f'<div class="woodcalc-note {kind}" role="status" aria-live="polite">{html.escape(text)}</div>'
        if text
        else ""
    )


def _field(label):
    """Return a text field under its label, and the row that holds both."""
    name = w.Label(label)
    name.add_class("woodcalc-name")
    field = w.Text(continuous_update=False, layout=w.Layout(width="180px"))
    row = w.HBox([name, field])
    row.add_class("woodcalc-dial")
    return field, row


def ask(key, group=None):
    """Return the answer box of an exercise: type a number, press Enter or Check; new numbers on demand.

    Parameters
    ----------
    key : str
        The exercise's key.
    group : str, optional
        Seeds the numbers: a class, a table or a name. Without it everybody starts with the same numbers.

    Returns
    -------
    ipywidgets.VBox
        With ``.exercise``, ``.numbers``, ``.field`` and ``.feedback`` for tests.

    Raises
    ------
    ValueError
        No such exercise.
    """
    return AnswerBox(_find(key), group or "first")


def _find(key):
    found = _exercise.every()
    if key not in found:
        raise ValueError(f"no exercise {key!r}; there are: {', '.join(found)}")
    return found[key]


class AnswerBox(QuestionBox):
    """The box that `ask` makes."""

    def __init__(self, exercise, group):
        self.exercise, self._group, self._turn = exercise, group, 0
        self.when_dealt = lambda: None  # a panel that shows the numbers follows here
        self._question = w.HTML()
        self.field, row = _field(f"Your answer ({exercise.unit})" if exercise.unit else "Your answer")
        self.feedback = w.HTML()
        check = w.Button(description="Check", layout=w.Layout(width="auto"))
        again = w.Button(description="New numbers", layout=w.Layout(width="auto"))
        steps = w.Button(description="Show the steps", layout=w.Layout(width="auto"))
        self._deal()
        super().__init__(
            [
                self._question,
                w.HBox([row, check, again, steps], layout=w.Layout(flex_flow="row wrap")),
                self.feedback,
            ],
            f"<p><b>Question.</b> {html.escape(exercise.text(self.numbers))}</p>"
            "<p><i>Run this lesson to type an answer here.</i></p>",
        )
        check.on_click(lambda _: self._check())
        again.on_click(lambda _: self.new_numbers())
        steps.on_click(lambda _: self._show_steps())
        self.field.observe(lambda change: self._check() if change["new"] else None, "value")

    def _deal(self):
        rng = _exercise.seeded(self.exercise.key, self._group, self._turn)
        self.numbers = self.exercise.draw(rng)
        text = html.escape(self.exercise.text(self.numbers))
        self._question.value = f'<div class="woodcalc-note woodcalc-ask">{text}</div>'
        self.when_dealt()

    def new_numbers(self, group=None):
        """Deal the next set of numbers, or the first set of another `group`."""
        self._group, self._turn = (group, 0) if group else (self._group, self._turn + 1)
        self._deal()
        self.field.value = self.feedback.value = ""

    def _check(self):
        if not self.field.value.strip():
            self.feedback.value = _say("Type a number first.", "woodcalc-warn")
            return
        try:
            answer = number(self.field.value)
            right, say = self.exercise.mark(answer, self.numbers)
            if kept_choices().keep_answers:
                class_answers.keep(
                    self.exercise, self._group, answer, right, self.exercise.slip(answer, self.numbers)
                )
        except OSError as error:  # the answer still counts, only the file is missing
            say = f"{say} (It could not be kept for the class: {error})"
        except ValueError as error:
            right, say = False, str(error)
        self.feedback.value = _say(say, "woodcalc-good" if right else "woodcalc-warn")

    def _show_steps(self):
        steps = "".join(f"<li>{html.escape(s)}</li>" for s in self.exercise.steps(**self.numbers))
        self.feedback.value = f'<div class="woodcalc-note" role="status"><ol>{steps}</ol></div>'


def hidden_truth(key, show):
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
    exercise = _find(key)
    box = AnswerBox(exercise, "first")
    field, row = _field("Name of your table or group")
    place = w.VBox([show(**box.numbers)])

    def follow():
        place.children = [show(**box.numbers)]

    box.when_dealt = follow  # also when the question reads the same, because all that changed is hidden
    field.observe(lambda change: box.new_numbers(change["new"].strip().lower() or "first"), "value")
    whole = QuestionBox([row, place, box], place.children[0].still() + box.still())
    whole.box, whole.place = box, place
    return whole


class Guess(QuestionBox):
    """The number written down before touching anything; made by `guess`."""

    def __init__(self, prompt, unit):
        self._unit = unit
        self.field, row = _field(f"My guess ({unit})")
        self._said = w.HTML()
        super().__init__(
            [w.HTML(f'<div class="woodcalc-note woodcalc-ask">{html.escape(prompt)}</div>'), row, self._said],
            f"<p><b>Guess.</b> {html.escape(prompt)}</p><p><i>Run this lesson to write your guess down here.</i></p>",
        )
        self.field.observe(self._keep, "value")

    def _keep(self, change):
        try:
            value = number(change["new"])
        except ValueError as error:
            self._said.value = _say(str(error), "woodcalc-warn") if change["new"].strip() else ""
        else:
            self._said.value = _say(f"Noted: {value:g} {self._unit}. You will see it again at the end.")

    def again(self, truth, sentence):
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
                mine = number(self.field.value)
            except ValueError:
                start = "You wrote no guess down this time."
            else:
                start = f"Your guess was {mine:g} {self._unit}; the answer is {truth:g} {self._unit}."
            line.value = _say(f"{start} {sentence}", "woodcalc-ask")

        self.field.observe(tell, "value")
        tell()
        return QuestionBox([line], f"<p>{html.escape(sentence)}</p>")


def guess(prompt, unit):
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
    >>> mine.field.value = "150"
    >>> "150 bf; the answer is 144 bf." in mine.again(144, "A 16-inch log.").children[1].value
    True
    """
    return Guess(prompt, unit)
