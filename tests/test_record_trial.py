"""Each kind of slip in each row of Kettle Hollow's readings: no button is wrong, no right row loses what it tells."""

import re
import shutil
from collections import Counter
from datetime import date

import pandas as pd
import pytest

from woodcalc import records
from woodcalc.records import usable
from woodcalc.records.usable import mends_well, read_usable

TODAY = date(2026, 11, 1)
COLUMNS = ("date", "stack", "board", "kind", "value", "unit", "temp_f", "note")


def spliced(text, i, new):
    return text[:i] + new + text[i + 1 :]


def lost(cells, first):
    text = cells["value"]
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    new = spliced(text, digits[0 if first else -1], "").lstrip("0") if len(digits) > 1 else ""
    yield {"value": f"0{new}" if new.startswith(".") else new}


def moved(cells, factor):
    yield {"value": f"{float(cells['value']) * factor:.10g}"}


def doubled(cells):
    text = cells["value"]
    for i, c in enumerate(text):
        if c.isdigit():
            yield {"value": spliced(text, i, c + c)}


def swapped(cells):
    text = cells["value"]
    digits = [i for i, c in enumerate(text) if c.isdigit()]
    for i, j in zip(digits, digits[1:], strict=False):
        yield {"value": spliced(spliced(text, i, text[j]), j, text[i])}


def kilograms(cells):
    if cells["unit"] == "lb":
        yield {"value": f"{float(cells['value']) * 0.45359237:.2f}"}
        yield {"unit": "kg"}


def another_day(cells):
    day = pd.Timestamp(cells["date"])
    if day.day <= 12:
        yield {"date": f"{day.replace(month=day.day, day=day.month):%Y-%m-%d}"}


def another_year(cells):
    for years in (-10, -1, 1, 10):
        yield {"date": f"{int(cells['date'][:4]) + years}{cells['date'][4:]}"}


def another_stack(cells):
    for stack in "ABC":
        yield {"stack": stack}


def no_board(cells):
    yield {"board": ""}


def another_board(cells):
    for board in ("1-3", "2-4", "16-5", "8-2"):
        yield {"board": board}


def another_kind(cells):
    for kind, unit in (("weight", "lb"), ("oven-dry", "lb"), ("meter", "%")):
        yield {"kind": kind, "unit": unit}


SLIPS = {
    "first digit lost": lambda cells: lost(cells, True),
    "last digit lost": lambda cells: lost(cells, False),
    "point to the right": lambda cells: moved(cells, 10),
    "point to the left": lambda cells: moved(cells, 0.1),
    "digit doubled": doubled,
    "digits swapped": swapped,
    "kilograms": kilograms,
    "day and month": another_day,
    "year": another_year,
    "stack": another_stack,
    "no board": no_board,
    "board": another_board,
    "kind": another_kind,
}


@pytest.fixture
def hollow(tmp_path, monkeypatch):
    monkeypatch.setattr(usable, "stack_taught", lambda *_: (None, ""))  # the forecast accuses no row alone
    for name in ("stacks", "boards", "logs"):
        shutil.copy(records.KETTLE_HOLLOW / f"{name}.csv", tmp_path)
    return tmp_path


def put(folder, rows):
    pd.DataFrame(rows, columns=COLUMNS).to_csv(folder / "readings.csv", index=False)
    return read_usable(folder, today=TODAY)


def same(column, text, true):
    return float(text) == float(true) if column == "value" else text == true


def is_true(name, slip, cells):
    """What each cell should hold: kilograms are right once the unit says so."""
    return {**cells, "unit": "kg"} if name == "kilograms" and "value" in slip else cells


def speaks_of(problem, row):
    return row in (problem.row, *problem.rivals) or str(row) in re.findall(r"\brow (\d+)", str(problem))


def test_no_button_is_wrong_and_no_right_row_is_accused_alone(hollow, report):
    true = pd.read_csv(records.KETTLE_HOLLOW / "readings.csv", dtype=str, skiprows=1, keep_default_na=False)
    true = true.to_dict("records")
    clean = put(hollow, true)
    assert len(true) == 12 and not clean.problems and not clean.doubts
    counts, wrong = {name: Counter() for name in SLIPS}, []
    for name, k, cells, slip in (
        (n, k, c, s) for n in SLIPS for k, c in enumerate(true) for s in SLIPS[n](c)
    ):
        bad, row = {**cells, **slip}, k + 2
        if bad == cells or not bad["value"]:
            continue
        found = put(hollow, [*true[:k], bad, *true[k + 1 :]])
        about = [p for p in (*found.problems, *found.doubts) if p.row]
        others = [p for p in about if not speaks_of(p, row)]
        right = is_true(name, slip, cells)
        presses = {(p.file, p.row, p.column): p.mend for p in about if mends_well(found, p)}
        good = {at for at, mend in presses.items() if at[1] == row and same(at[2], mend, right[at[2]])}
        counts[name].update(
            slips=1,
            found=len(about) > len(others),
            accused=len(others),
            true=len(good),
            false=len(presses) - len(good),
        )
        wrong += [f"{name}, row {row}, {slip}: {p}" for p in others]
        wrong += [f"{name}, row {row}, {slip}: {at} {presses[at]}" for at in presses if at not in good]
        # a button for each value that is asked about: one of them is true
        offers = [p for p in about if p.mends]
        wrong += [
            f"{name}, row {row}, {slip}: {p.mends}"
            for p in offers
            if p.row != row or not any(same(p.column, mend, right[p.column]) for mend in p.mends)
        ]
    table = pd.DataFrame(counts).T.fillna(0).astype(int)
    table.columns = ["slips", "row found", "right rows accused alone", "true buttons", "wrong buttons"]
    report("Each kind of slip in each of Kettle Hollow's readings", table)
    assert not wrong, "\n".join(wrong)
    assert table.loc["first digit lost", "row found"] == 12 and table["true buttons"].sum() >= 75
