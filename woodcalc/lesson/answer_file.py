"""The file that a learner's answers for the class are kept in."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from woodcalc.checks import InputError
from woodcalc.disk import SaveError, locked
from woodcalc.records import choices
from woodcalc.records.keep import save
from woodcalc.records.letters import NoTextError, decoded

if TYPE_CHECKING:
    from woodcalc.lesson.exercise import Exercise, Slip


COLUMNS = ("when", "lesson", "exercise", "group", "answer", "right", "slip")


def keep(exercise: Exercise, group: str, answer: float, right: bool, slip: Slip | None) -> None:
    """Append one answer to `answers.csv` in the learner's folder.

    An answer that was the last one to that exercise already, sent twice by Enter and a button, is kept once.

    Parameters
    ----------
    exercise : Exercise
    group : str
        What seeded the numbers.
    answer : float
        As typed, in the exercise's unit.
    right : bool
    slip : Slip or None

    Raises
    ------
    OSError
        The file could not be written; what it held is still there.
    """
    path = choices.folder() / "answers.csv"
    words = (
        datetime.now().isoformat(timespec="minutes"),
        exercise.lesson,
        exercise.key,
        group,
        f"{answer:g}",
        "yes" if right else "no",
        slip.name if slip else "",
    )
    with locked(path):
        old = path.read_bytes() if path.exists() else b""
        save(path, old + _one_more(old, dict(zip(COLUMNS, words, strict=True))), history=False)


@dataclass(frozen=True)
class AnswerSheet:
    """A file of answers taken apart: its text, how it is written, its header, and the rows under it."""

    text: str
    codec: str
    delimiter: str
    newline: str
    heads: list[str]
    rows: list[list[str]]

    @classmethod
    def read(cls, data: bytes, name: str) -> AnswerSheet:
        """Take a file apart; `name` is what to call it in a message."""
        try:
            text, (_, codec) = decoded(data)
        except NoTextError as error:
            raise InputError(f"{name}: {error}") from None
        # some spreadsheets write a line of their own above the header
        found = [(at, *_split(line)) for at, line in enumerate(text.splitlines()[:5])]
        try:
            at, delimiter, heads = next(each for each in found if set(COLUMNS) <= set(each[2]))
        except StopIteration:
            raise SaveError(f"It is no file of answers: it has no columns {', '.join(COLUMNS)}.") from None
        newline = next((end for end in ("\r\n", "\n", "\r") if end in text), "\n")
        try:
            rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))[at + 1 :]
        except csv.Error as error:
            raise SaveError(f"It cannot be read: {error}.") from error
        return cls(text, codec, delimiter, newline, heads, rows)

    def answers(self) -> tuple[list[dict[str, str]], int]:
        """Return the rows that are answers, and how many are not."""
        filled = [row for row in self.rows if any(cell.strip() for cell in row)]
        good = [row for row in filled if len(row) == len(self.heads)]
        return [dict(zip(self.heads, row, strict=True)) for row in good], len(filled) - len(good)

    def spelled(self, cell: str) -> str:
        """Return a cell as the file can hold it."""
        return cell.encode(self.codec, "replace").decode(self.codec)


def _split(line):
    delimiter = max(",;\t", key=line.count)
    return delimiter, [head.strip() for head in next(csv.reader([line], delimiter=delimiter), [])]


def _one_more(old, words):
    """Return the bytes that add a row to a file, written as the file is; none if that was the last answer already."""
    if not old.strip():
        return _line(COLUMNS, ",", "\n").encode() + _line(words.values(), ",", "\n").encode()
    sheet = AnswerSheet.read(old, "answers.csv")
    if _told_already(sheet, words):
        return b""
    row = [words.get(head, "") for head in sheet.heads]
    glue = "" if sheet.text.endswith(("\n", "\r")) else sheet.newline
    added = (glue + _line(row, sheet.delimiter, sheet.newline)).encode(sheet.codec, "replace")
    if AnswerSheet.read(old + added, "answers.csv").rows[-1:] != [[sheet.spelled(cell) for cell in row]]:
        raise SaveError(
            "A quotation mark in answers.csv is not closed, so nothing can be added. It stays as it is."
        )
    return added


def _told_already(sheet, words):
    """True if the last answer in the file to the same exercise, of the same group, says the same."""
    given = [{name: row[name] for name in COLUMNS if name != "when"} for row in sheet.answers()[0]]
    now = {name: sheet.spelled(words[name]) for name in COLUMNS if name != "when"}
    same = [row for row in given if all(row[name] == now[name] for name in ("exercise", "group"))]
    return same[-1:] == [now]


def _line(cells, delimiter, newline):
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=newline).writerow(cells)
    return out.getvalue()
