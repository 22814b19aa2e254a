"""What a table leaves open as a whole, with a button for each answer: on the doctor page and in the form."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc.lesson.box import button, note
from woodcalc.records.questions import Question, settle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from woodcalc.records.questions import Answer


class Asks(w.VBox):
    """The questions of one table.

    Parameters
    ----------
    path : Path
        The table.
    asked : sequence of Question
        As from `records.questions.questions`; those of other files are passed over.
    done : callable
        Called with what to say, once an answer is written.
    safely : callable
        Called with what a button does: says what goes wrong in it.
    """

    def __init__(
        self,
        path: Path,
        asked: Sequence[Question],
        done: Callable[[str], Any],
        safely: Callable[[Callable[[], Any]], Any],
    ) -> None:
        self._path, self._done = path, done
        parts: list[w.Widget] = []
        for question in asked:
            if question.file.lower() != path.name.lower():
                continue
            parts.append(w.HTML(note(f"{question.file}: {question.asks}", "warn")))
            presses = []
            for answer in question.answers:
                press = button(answer.says)
                press.on_click(lambda _, q=question, a=answer: safely(partial(self.give, q, a)))
                presses.append(press)
            parts.append(w.Box(presses, layout=w.Layout(flex_flow="row wrap")))
        super().__init__(parts)

    def give(self, question: Question, answer: Answer) -> None:
        """Write an answer into the table."""
        settle(self._path, question, answer)
        self._done(f"{self._path.name}: {answer.says}. If that is not what you meant, undo it.")
