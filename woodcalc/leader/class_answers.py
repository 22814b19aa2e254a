"""What a leader reads from a folder of the answers that learners kept for the class."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from woodcalc.disk import in_words
from woodcalc.lesson.answer_file import COLUMNS, AnswerSheet
from woodcalc.records.columns import TABLES
from woodcalc.records.keep import HISTORY

if TYPE_CHECKING:
    import pandas as pd


_OTHERS = set(TABLES)  # a learner's own records
_TABLES = (".csv", ".xlsx", ".xls", ".ods")  # a workbook is told to be saved as CSV


def gather(folder: str | Path) -> pd.DataFrame:
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
    frames: list[pd.DataFrame] = []
    unread: list[str] = []
    for n, path in enumerate(_files(folder, unread)):
        name = path.relative_to(folder).as_posix()
        try:
            given, left_out = AnswerSheet.read(path.read_bytes(), name).answers()
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
            path = Path(place, name)
            if os.path.isfile(path):  # a pipe would be waited for
                found.append(path)
            else:
                unread.append(f"{path.relative_to(folder).as_posix()}: It is no file.")
    return found
