"""What a table leaves open as a whole, or has lost, with a button for each answer: on the doctor page, in the form."""

from __future__ import annotations

import html
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as w

from woodcalc.lesson.box import button, note
from woodcalc.lesson.row_words import short
from woodcalc.records.columns import MARKS
from woodcalc.records.keep import content, fingerprint
from woodcalc.records.outside import hour_of, meant, outside, put_back
from woodcalc.records.questions import Question, settle

if TYPE_CHECKING:
    from collections.abc import Sequence

    from woodcalc.records.outside import Outside
    from woodcalc.records.questions import Answer


PUT_BACK, MEANT, AFTER_ALL = "Put them back", "They are meant to be gone", "Put them back after all"
IT_AFTER_ALL = "Put it back after all"
_GONE = ("Put it back", "It is meant to be gone")
_GONE_MANY = (PUT_BACK, MEANT)
_BOTH, _BOTH_MANY = ("Keep both", _GONE[1]), ("Keep them all", MEANT)
_UNDONE = ("Put your correction back", "It is meant to say this")
_UNDONE_MANY = ("Put your corrections back", "They are meant to say this")
_RETURNED = ("Take it out again", "It is meant to be there")
_RETURNED_MANY = ("Take them out again", "They are meant to be there")
_ALL = ("Put it all back as you saved it", "It is meant to be as it is now")
_CHANGED = ("Put the old value back", "The new one is right")
_CHANGED_MANY = ("Put the old values back", "The new ones are right")
_LOOKED = "I looked, and know what is missing"
_SHOWN, _LISTED = 5, 12  # rows told one by one: what is asked about, and what is only listed


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
    """What an older table that came back did to the rows of one table, with the two answers; else empty.

    Parameters
    ----------
    path : Path
        The table.
    done : callable
        Called with what to say once an answer is given, and with what was told if that was that it is meant so.
    safely : callable
        As in `Asks`.
    given : Outside, optional
        What of which it was just said that it is meant so.
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
        for part in self.told.parts if self.told else ():
            parts += self._part(part)
        asked = [_labels(part) for part in self.told.parts] if self.told else []
        if given and _labels(given) and _labels(given) not in asked:
            label = AFTER_ALL if _labels(given) in (_GONE_MANY, _BOTH_MANY) else IT_AFTER_ALL
            parts.append(self._answers((label, partial(self._after_all, given))))
        super().__init__(parts)

    def _part(self, told):
        """What is told, and its answers: what an older table did apart from what is new in some rows."""
        says = (
            note("\n".join([str(told), *_quoted(told)]), "warn")
            if told.asks or told.fewer
            else listed(told.changed)
        )
        if told.fewer:  # another question comes first
            return [w.HTML(says)]
        if not (labels := _labels(told)):
            return [w.HTML(says), self._answers((_LOOKED, partial(self._meant, told)))]
        if told.cut:  # nothing is put back behind a row that is cut off
            next_step = note(f"Answer first whether row {told.cut} is whole. Then these can be put back.")
            return [w.HTML(says + next_step), self._answers((labels[1], partial(self._meant, told)))]
        do = (partial(self._put_back, told), partial(self._meant, told))
        return [w.HTML(says), self._answers(*zip(labels, do, strict=True))]

    def _answers(self, *answers):
        presses = []
        for says, do in answers:
            press = button(says)
            press.on_click(lambda _, do=do: self._safely(do))
            presses.append(press)
        return w.Box(presses, layout=w.Layout(flex_flow="row wrap"))

    def _put_back(self, told):
        marked = put_back(self._path, told)
        if _labels(told) in (_GONE, _GONE_MANY, _BOTH, _BOTH_MANY):
            said = f"{_many(told)} of {self._path.name} put back."
        else:
            said = f"These rows of {self._path.name} are as you saved them."
        self._done(f"{said}{_marked(self._path, marked)} If that is not what you meant, undo it.", None)

    def _meant(self, told):
        meant(self._path, told)
        if _labels(told) in (_GONE, _GONE_MANY, _BOTH, _BOTH_MANY):
            them = "them" if told.many > 1 else "it"
            said = f"{_many(told)} of {self._path.name} meant to be gone. The versions that held {them} stay"
        else:
            what = "says what it is meant to say" if told.new else "is meant to be as it is now"
            said = f"{self._path.name} {what}. The versions before it stay"
        self._done(f"Noted: {said} among the earlier ones.", told)

    def _after_all(self, given):
        self._put_back(replace(given, shown=fingerprint(content(self._path))))


def _many(told):
    return f"{told.many:,} rows" if told.many > 1 else "One row"


def _labels(told):
    """The two answers; none if nothing can be put back."""
    values = sum(len({*each.before.items()} - {*each.now.items()}) for each in told.new)
    kinds = [
        (
            told.gone,
            (_BOTH if told.doubles else _GONE)
            if told.many == 1
            else (_BOTH_MANY if told.doubles else _GONE_MANY),
        ),
        (told.undone, _UNDONE if len(told.undone) == 1 else _UNDONE_MANY),
        (told.returned, _RETURNED if len(told.returned) == 1 else _RETURNED_MANY),
        (told.new, _CHANGED if values == 1 else _CHANGED_MANY),
    ]
    some = [labels for rows, labels in kinds if rows]
    return _ALL if len(some) > 1 else some[0] if some else ()


def _marked(path, marked):
    """Say which of the rows that came back got another mark, as another row has theirs by now."""
    mark = MARKS.get(path.stem.lower(), "")
    told = [
        f" The {mark} {was} that came back is {mark} {is_} now, because another row has become {mark} {was}."
        for was, is_ in marked[:_SHOWN]
    ]
    if len(marked) > _SHOWN:
        told.append(f" So it is with {len(marked) - _SHOWN:,} more.")
    if told:
        told.append(" Mark the wood the same way, or change the marks in the form in lesson 8.")
    return "".join(told)


def _quoted(told):
    """The first of the rows that are gone, that read as before a correction, and that are there again."""
    gone = [short(held) for each in told.gone for held in each.cells]
    back = [
        f"Row {each.row} is there again: {short(each.cells)}. It was taken out on {hour_of(each.out.when)}."
        for each in told.returned
    ]
    out: list[str] = []
    for lines in (gone, [*map(str, told.undone)], back, [_sentence(each) for each in told.changed]):
        out += lines[:_SHOWN]
        out += [f"and {len(lines) - _SHOWN:,} more"] if len(lines) > _SHOWN else []
    return out


def _sentence(told):
    return f"{told[:1].upper()}{told[1:]}."


def listed(rows: Sequence[str]) -> str:
    """Rows in which another program filled what was empty: nothing is lost, so they are told in a list."""
    more = [f"and {len(rows) - _LISTED:,} more"] if len(rows) > _LISTED else []
    items = "".join(f"<li>{html.escape(each)}</li>" for each in (*rows[:_LISTED], *more))
    return f"<p>Changed outside the book since its last save:</p><ul>{items}</ul>"
