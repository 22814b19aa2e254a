"""What a table leaves open as a whole, or has lost, with a button for each answer: on the doctor page, in the form."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc.lesson.box import button, note
from woodcalc.lesson.row_words import short
from woodcalc.records.keep import content, fingerprint
from woodcalc.records.outside import meant, outside, put_back
from woodcalc.records.questions import Question, settle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from woodcalc.records.outside import Outside
    from woodcalc.records.questions import Answer


PUT_BACK, MEANT, AFTER_ALL = "Put them back", "They are meant to be gone", "Put them back after all"
_SHOWN = 5  # rows that are gone, told one by one


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


class MissingRows(w.VBox):
    """Rows of one table that the book saved and that another program took out, with the two answers; else empty.

    Parameters
    ----------
    path : Path
        The table.
    done : callable
        Called with what to say once an answer is given, and with the rows if that was that they are meant to be gone.
    safely : callable
        As in `Asks`.
    given : Outside, optional
        Rows of which it was just said that they are meant to be gone.
    """

    def __init__(
        self,
        path: Path,
        done: Callable[[str, Outside | None], Any],
        safely: Callable[[Callable[[], Any]], Any],
        given: Outside | None = None,
    ) -> None:
        self._path, self._done, self._safely = path, done, safely
        self.told = outside(path)
        parts: list[w.Widget] = []
        if self.told and self.told.gone:
            parts = [
                w.HTML(note("\n".join([str(self.told), *_quoted(self.told)]), "warn")),
                self._answers(
                    (PUT_BACK, partial(self._put_back, self.told)), (MEANT, partial(self._meant, self.told))
                ),
            ]
        elif given:
            parts = [self._answers((AFTER_ALL, partial(self._after_all, given)))]
        super().__init__(parts)

    def _answers(self, *answers):
        presses = []
        for says, do in answers:
            press = button(says)
            press.on_click(lambda _, do=do: self._safely(do))
            presses.append(press)
        return w.Box(presses, layout=w.Layout(flex_flow="row wrap"))

    def _put_back(self, told):
        put_back(self._path, told)
        said = f"{_many(told)} of {self._path.name} put back. If that is not what you meant, undo it."
        self._done(said, None)

    def _meant(self, told):
        meant(self._path, told)
        kept = "The versions that held them stay among the earlier ones."
        self._done(f"Noted: {_many(told)} of {self._path.name} meant to be gone. {kept}", told)

    def _after_all(self, given):
        self._put_back(replace(given, shown=fingerprint(content(self._path))))


def _many(told):
    return f"{told.many:,} rows" if told.many > 1 else "One row"


def _quoted(told):
    """The first of the rows that are gone."""
    cells = [held for each in told.gone for held in each.cells]
    more = [f"and {len(cells) - _SHOWN:,} more"] if len(cells) > _SHOWN else []
    return [*(short(held) for held in cells[:_SHOWN]), *more]
