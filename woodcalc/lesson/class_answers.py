"""Answers that learners keep for the class, and what a leader reads from a folder of them."""

import csv
import io
from datetime import datetime
from pathlib import Path

from woodcalc import choices
from woodcalc.keep import HISTORY, locked, save

COLUMNS = ("when", "lesson", "exercise", "group", "answer", "right", "slip")


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
    path.parent.mkdir(parents=True, exist_ok=True)
    with locked(path):
        old = path.read_text(encoding="utf-8") if path.exists() else ",".join(COLUMNS) + "\n"
        line = io.StringIO()
        row = (
            datetime.now().isoformat(timespec="minutes"),
            exercise.lesson,
            exercise.key,
            group,
            f"{answer:g}",
        )
        csv.writer(line, lineterminator="\n").writerow(
            (*row, "yes" if right else "no", slip.name if slip else "")
        )
        save(path, (old + line.getvalue()).encode("utf-8"))


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
        slips (how many learners made that slip). Empty if nobody has answered.

    Raises
    ------
    FileNotFoundError
        No such folder.
    """
    import pandas as pd

    folder = Path(folder)
    if not folder.is_dir():
        raise FileNotFoundError(f"no folder {folder}")
    frames = []
    # earlier versions that `save` keeps are not other learners
    files = [
        p
        for p in sorted(folder.rglob("*.csv"))
        if p.is_file() and p.parent.name != HISTORY and not p.stem.endswith(".last")
    ]
    for n, path in enumerate(files):
        try:
            text = path.read_text(encoding="utf-8-sig")  # a spreadsheet may have put a byte-order mark and semicolons
            sep = ";" if ";" in text.partition("\n")[0] else ","
            frame = pd.read_csv(io.StringIO(text), sep=sep, dtype=str, keep_default_na=False)
        except (pd.errors.ParserError, pd.errors.EmptyDataError, UnicodeDecodeError):
            continue  # some other file of the learner's
        if set(COLUMNS) <= set(frame.columns):
            frames.append(frame.assign(learner=n))
    table = ["lesson", "exercise", "learners", "right_at_first", "right_in_the_end", "usual_slip", "slips"]
    if not frames:
        return pd.DataFrame(columns=table)
    every = pd.concat(frames)
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
    return found.iloc[share.argsort(kind="stable")].reset_index(drop=True)
