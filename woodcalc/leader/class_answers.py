"""Answers that learners keep for the class, and what a leader reads from a folder of them."""

import csv
import io
import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from woodcalc.checks import in_words
from woodcalc.records import choices
from woodcalc.records.columns import TABLES
from woodcalc.records.keep import HISTORY, SaveError, locked, save
from woodcalc.records.sheet import decoded

COLUMNS = ("when", "lesson", "exercise", "group", "answer", "right", "slip")
_OTHERS = set(TABLES)  # a learner's own records
_TABLES = (".csv", ".xlsx", ".xls", ".ods")  # a workbook is told to be saved as CSV


def keep(exercise, group, answer, right, slip):
    """Append one answer to `answers.csv` in the learner's folder.

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
class _Sheet:
    """A file of answers taken apart: its text, how it is written, its header, and the rows under it."""

    text: str
    codec: str
    delimiter: str
    newline: str
    heads: list
    rows: list

    @classmethod
    def read(cls, data, name):
        text, (_, codec) = decoded(data, name)
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

    def answers(self):
        """Return the rows that are answers, and how many are not."""
        filled = [row for row in self.rows if any(cell.strip() for cell in row)]
        good = [row for row in filled if len(row) == len(self.heads)]
        return [dict(zip(self.heads, row, strict=True)) for row in good], len(filled) - len(good)


def _split(line):
    delimiter = max(",;\t", key=line.count)
    return delimiter, [head.strip() for head in next(csv.reader([line], delimiter=delimiter), [])]


def _one_more(old, words):
    """Return the bytes that add a row to a file, written as the file is."""
    if not old.strip():
        return _line(COLUMNS, ",", "\n").encode() + _line(words.values(), ",", "\n").encode()
    sheet = _Sheet.read(old, "answers.csv")
    row = [words.get(head, "") for head in sheet.heads]
    glue = "" if sheet.text.endswith(("\n", "\r")) else sheet.newline
    added = (glue + _line(row, sheet.delimiter, sheet.newline)).encode(sheet.codec, "replace")
    if _Sheet.read(old + added, "answers.csv").rows[-1:] != [
        [cell.encode(sheet.codec, "replace").decode(sheet.codec) for cell in row]
    ]:
        raise SaveError(
            "A quotation mark in answers.csv is not closed, so nothing can be added. It stays as it is."
        )
    return added


def _line(cells, delimiter, newline):
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator=newline).writerow(cells)
    return out.getvalue()


def gather(folder):
    """Return what a class answered, exercise by exercise, the one to talk about first.

    Parameters
    ----------
    folder : str or Path
        Holds the learners' `answers.csv` files, under any names and in any folders below it.

    Returns
    -------
    DataFrame
        For each exercise: lesson, exercise, learners (who tried it), right_at_first, right_in_the_end, usual_slip,
        slips (how many learners made that slip). Empty if nobody has answered. In ``.attrs["unread"]`` a sentence for
        each file, folder or row that was left out, and why.

    Raises
    ------
    FileNotFoundError
        No such folder.
    """
    import pandas as pd

    folder = Path(folder)
    if not folder.is_dir():
        raise FileNotFoundError(f"no folder {folder}")
    frames, unread = [], []
    for n, path in enumerate(_files(folder, unread)):
        name = path.relative_to(folder).as_posix()
        try:
            given, left_out = _Sheet.read(path.read_bytes(), name).answers()
        except Exception as error:  # whatever lies there, the others count
            unread.append(f"{name}: {in_words(error)}")
            continue
        frames.append(pd.DataFrame(given, columns=COLUMNS).assign(learner=n))
        if left_out:
            unread.append(
                f"{name}: {left_out} of its rows have too many or too few cells. They are not counted."
            )
    table = ["lesson", "exercise", "learners", "right_at_first", "right_in_the_end", "usual_slip", "slips"]
    every = pd.concat(frames) if frames else pd.DataFrame(columns=[*COLUMNS, "learner"])
    if every.empty:
        found = pd.DataFrame(columns=table)
        found.attrs["unread"] = tuple(unread)
        return found
    rows = []
    for (lesson, key), given in every.groupby(["lesson", "exercise"]):
        learners = given.groupby("learner")
        slips = given[given.slip != ""].drop_duplicates(["learner", "slip"]).slip.value_counts()
        rows.append(
            {
                "lesson": lesson,
                "exercise": key,
                "learners": learners.ngroups,
                "right_at_first": int((learners.right.first() == "yes").sum()),
                "right_in_the_end": int(learners.right.apply(lambda r: (r == "yes").any()).sum()),
                "usual_slip": slips.index[0] if len(slips) else "",
                "slips": int(slips.iloc[0]) if len(slips) else 0,
            }
        )
    found = pd.DataFrame(rows, columns=table)
    share = found.right_at_first / found.learners
    found = found.iloc[share.argsort(kind="stable")].reset_index(drop=True)
    found.attrs["unread"] = tuple(unread)
    return found


def _files(folder, unread):
    """Return the files that may hold answers; earlier versions and the learners' other tables are not looked at."""
    found = []
    for place, folders, names in os.walk(folder, onerror=lambda error: unread.append(in_words(error))):
        folders[:] = sorted(name for name in folders if name != HISTORY and not name.startswith("."))
        for name in sorted(names):
            stem, end = os.path.splitext(name.lower())
            if name.startswith(".") or end not in _TABLES or stem in _OTHERS or stem.endswith(".last"):
                continue
            found.append(Path(place, name))
    return found
