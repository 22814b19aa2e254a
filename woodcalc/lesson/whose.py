"""One switch at the top of a lesson: all its dials as printed, or at the learner's own log, stack, wood and place."""

from __future__ import annotations

import ipywidgets as w

from woodcalc.disk import in_words
from woodcalc.lesson import mine, own
from woodcalc.lesson.answers import QuestionBox
from woodcalc.lesson.box import labelled, note

AS_PRINTED, TO_MINE = "Set all dials as printed", "Set all dials of this lesson to mine"
_NOTHING = (
    "All dials show the book's examples. Once you have a log or a stack in your records, or a wood and a place chosen "
    "in Start here, a button here sets them to yours."
)
_STILL = (
    "<p><i>Run this lesson, and a button here sets all its dials to your own log, stack, wood and place, once you "
    "have some.</i></p>"
)


class Whose(QuestionBox):
    """The box that `whose_wood` makes."""

    def __init__(self) -> None:
        self.line, self.unkept_line = w.HTML(), w.HTML()
        self.which_log, self.which_stack = (w.Dropdown(layout=w.Layout(width="auto")) for _ in range(2))
        self.button = w.Button(layout=w.Layout(width="auto"))  # on the line of the lists
        self._rows = [labelled("My log", self.which_log), labelled("My stack", self.which_stack)]
        self._filling = False
        both = w.HBox([*self._rows, self.button], layout=w.Layout(flex_flow="row wrap"))
        super().__init__([self.line, both, self.unkept_line], _STILL)
        self.add_class("woodcalc-form")
        self.look()
        self.button.on_click(lambda _: self._keep(not mine.wanted().on))
        for menu in (self.which_log, self.which_stack):
            menu.observe(self._picked, "value")
        own.follow("whose wood", self.look)

    def look(self) -> None:
        """Offer what is the learner's own by now, and say how the dials stand."""
        now = mine.wanted()
        self._filling = True
        for row, menu, offered, chosen in zip(
            self._rows,
            (self.which_log, self.which_stack),
            mine.to_choose(),
            (now.log, now.stack),
            strict=True,
        ):
            menu.options = offered
            menu.value = chosen if chosen in [says for _, says in offered] else None
            row.layout.display = "" if len(offered) > 1 else "none"
        self._filling = False
        told = mine.in_short()
        self.button.layout.display = "" if told else "none"
        self.button.description = AS_PRINTED if now.on else f"{TO_MINE}: {told}"
        if not told:
            self.line.value = note(_NOTHING)
        elif now.on:
            self.line.value = note(
                f"All dials are set to yours, in every lesson: {told}. The tasks and their answers speak of the book's "
                "examples. What a dial can't show is said under it.",
                "good",
            )
        else:
            self.line.value = note("All dials show the book's examples, as the tasks ask.")

    def _picked(self, _):
        if not self._filling:
            self._keep(mine.wanted().on)

    def _keep(self, on):
        try:
            mine.want(mine.Wanted(on, self.which_log.value or "", self.which_stack.value or ""))
            self.unkept_line.value = ""
        except Exception as error:  # whatever it is, the dials follow
            self.unkept_line.value = note(
                f"The dials of this lesson follow, but this can't be kept for the others. {in_words(error)}",
                "warn",
            )
        self.look()
        own.look_again("mine: ")


def whose_wood() -> Whose:
    """Return the switch that sets all dials of a lesson to the learner's own, and back; it is kept for all lessons.

    Examples
    --------
    >>> "All dials show" in whose_wood().line.value
    True
    """
    return Whose()
