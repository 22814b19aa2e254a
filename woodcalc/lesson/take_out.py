"""Takes a place or a wood of one's own out again: asks first, says what goes by it, and puts it back."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import ipywidgets as w

from woodcalc.lesson import own
from woodcalc.lesson.box import Ask, Form, button, labelled
from woodcalc.records import choices
from woodcalc.records.usable import rows_of

_TABLES = ("logs", "boards", "stacks")
_MOST = 8  # marks that are told


class TakeOut(w.VBox):
    """A list of what is one's own, and a button that takes out what stands in it; shown where there is some.

    Parameters
    ----------
    form : Form
        That says how it went.
    what : str
        `choices.OWN_PLACES` or `choices.OWN_WOODS`.
    """

    def __init__(self, form: Form, what: str) -> None:
        self._form, self._what = form, what
        self._one = "place" if what == choices.OWN_PLACES else "wood"
        self.which = w.Dropdown(layout=w.Layout(width="min(420px, 100%)"))
        self.out, self.back, self.question = button("Take it out"), button("Put it back"), Ask()
        self._row = w.VBox([labelled(f"A {self._one} of my own to take out", self.which), self.out])
        super().__init__([self._row, self.question, self.back])
        self._was: dict[str, Any] = {}
        self.out.on_click(lambda _: form.safely(self._ask))
        self.back.on_click(lambda _: form.safely(self._put_back))
        self.which.observe(lambda _: self.question.hide(), "value")
        own.follow(f"take out a {self._one}", self.show)
        self.show()

    def show(self) -> None:
        """List what is there now."""
        kept = choices.kept_places() if self._what == choices.OWN_PLACES else choices.kept_woods()
        names = sorted((str(each.get("name")) for each in kept), key=str.casefold)
        if list(self.which.options) != names:
            before = self.which.value
            self.which.options = names
            self.which.value = before if before in names else next(iter(names), None)
        self._row.layout.display = "" if names else "none"
        self.back.layout.display = "" if self._was else "none"

    def _ask(self):
        name = self.which.value
        if not name:
            return
        lines = [f"Take {name} out of your own {self._one}s?", *self._uses(name)]
        if getattr(choices.kept_choices(), choices.CHOSEN_AS[self._what]).casefold() == name.casefold():
            usual = getattr(choices.Choices(), choices.CHOSEN_AS[self._what])
            lines.append(f"It is the one that all lessons start from: they would start from {usual} then.")
        lines.append("You can put it back.")
        do: Callable[[], None] = partial(self._form.safely, partial(self._take_out, name))
        self._form.tell("Not taken out yet. Look at the question.", "warn")
        self.question.ask("\n".join(lines), "Take it out", "Leave it", do, self._left)

    def _left(self):
        self._form.tell("Nothing was taken out.")

    def _uses(self, name):
        """What of the learner's records goes by it, in sentences."""
        column, told = choices.CHOSEN_AS[self._what], []
        for table, rows in rows_of(*_TABLES).items():
            if column in rows:
                mark = rows.columns[0]
                marks = (
                    rows[mark][rows[column].astype(str).str.casefold() == name.casefold()]
                    .astype(str)
                    .unique()
                )
                if len(marks):
                    more = f" and {len(marks) - _MOST} more" if len(marks) > _MOST else ""
                    told.append(f"In your {table}: {', '.join(marks[:_MOST])}{more}.")
        if told:
            told.append(
                f"Those rows stay as they are, and are set aside until they name a {self._one} that is known."
            )
        return told or ["None of your records names it."]

    def _take_out(self, name):
        self._was = choices.take_out(self._what, name)
        self._form.tell(f"{name} is taken out. Put it back brings it back as it was.", "good")
        own.saved()
        self.show()

    def _put_back(self):
        if not self._was:
            return
        (name,) = self._was[self._what]
        choices.put_back(self._was)
        self._was = {}
        self._form.tell(f"{name} is back, as it was.", "good")
        own.saved()
        self.show()
