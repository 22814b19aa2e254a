"""What the forms of a weighing day and of a new sample board share: the list of stacks, what is typed, the question."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import ipywidgets as w

from woodcalc import records
from woodcalc.lesson import drafts
from woodcalc.lesson.box import Ask, Form


class StackForm(Form):
    """A form for readings of one stack: what is typed stays until it is saved, and is there again another day.

    Parameters
    ----------
    folder : Path
        The learner's own.
    draft : str
        The name under which what is typed is kept.
    day : str
        The label of the day: it is filled in, and begins nothing by itself.
    """

    stack: w.Dropdown

    def __init__(self, folder: Path, draft: str, day: str) -> None:
        self._path = folder / "readings.csv"
        self._drafts, self._draft_name, self._day_label = drafts.Drafts(), draft, day
        self._filling = True  # what the form itself puts into its fields is nobody's typing
        self._found: Any = None
        self.stack = w.Dropdown(options=[], layout=w.Layout(width="170px"))
        self.question = Ask()

    def show(
        self, parts: Sequence[w.Widget], kind: str, title: str, choosers: Mapping[str, w.Dropdown]
    ) -> None:
        """Show the parts and the question below them, and fill in what was typed earlier."""
        super().__init__([*parts, self.question], [], kind, title)
        page = self.children[-1]
        page.when_typed = self._typing
        page.choosers = list(choosers)
        page.filled_by = lambda: {label: field.label or "" for label, field in choosers.items()}
        self.safely(self._open)

    def _all_fields(self) -> dict[str, Any]:
        """The text fields and lists by their labels."""
        raise NotImplementedError

    def _newest(self, names):
        """The stack that the form begins with."""
        return names[-1] if names else None

    def _open(self):
        self._drafts.take_over(self._draft_name)
        typed = self._drafts.of(self._draft_name, {})
        self.look()
        for kind in (w.Dropdown, w.Text):  # a list may lay out other fields
            fields = self._all_fields()
            for label, text in typed.items():
                field = fields.get(label)
                if isinstance(field, kind) and (kind is w.Text or text in field.options):
                    field.value = text
        self._filling = False
        if typed:
            self.tell("This was typed earlier and was not saved yet.", "warn")

    def look(self) -> None:
        """Read the records anew; what is typed stays."""
        self._found = records.read_usable(self._path.parent)
        stacks = self._found.tables.get("stacks")
        names = [] if stacks is None else [str(name) for name in stacks["stack"]]
        if names != list(self.stack.options):
            was, filling, self._filling = self.stack.value, self._filling, True
            self.stack.options = names
            self.stack.value = was if was in names else self._newest(names)
            self._filling = filling

    def _typing(self, shown):
        """Keep what is being typed, before its field is left."""
        self._draft(shown)

    def _draft(self, shown=()):
        """Keep what is typed; forget it if no more than the day and the lists is filled in."""
        if self._filling:
            return
        if not shown:  # what comes late from the page takes no question back
            self.question.hide()
        fields = self._all_fields()
        now = {label: field.value or "" for label, field in fields.items()}
        now |= {label: text for label, text in dict(shown).items() if label in now}
        typed = {label: text for label, text in now.items() if text.strip()}
        begun = any(isinstance(fields[label], w.Text) and label != self._day_label for label in typed)
        self._drafts.keep(self._draft_name, {}, typed if begun else {})
