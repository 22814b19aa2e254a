"""One slip of the pen in clean records: that row is asked about, the right ones are not, and a mend puts it right."""

import functools
import random
import re
from collections import Counter
from datetime import date

import pandas as pd
import pytest

from woodcalc import drying, records
from woodcalc.records import usable
from woodcalc.records.usable import mends_well, read_usable

HEAD = "date,stack,board,kind,value,unit\n"
TODAY = date(2026, 11, 1)
SLIPS = ("point", "unit", "swapped", "doubled", "turned", "year", "lost")
SEEN = {"value": 0.15, "date": 20}  # a slip of so much shows: a share of the weight, days


@functools.cache
def as_forecast(wood, thickness, start):
    return list(drying.air_dry(wood, thickness, "Madison, WI", start.date()).daily["likely"])


def clean(draw):
    """Rows of [day, board, kind, text, unit]: two or three boards that dry as forecast, weighed now and then."""
    wood = draw.choice(
        ["northern red oak", "white oak", "black cherry", "black walnut", "eastern white pine"]
    )
    month, thickness = draw.choice((3, 4, 5)), draw.choice(("4/4", "6/4"))
    start = pd.Timestamp(2026, month, 3 * month)
    likely = as_forecast(wood, thickness, start)
    unit, digits = draw.choice((("lb", 1), ("lb", 2), ("lb", 2), ("kg", 2)))
    rows = []
    for board in range(draw.choice((2, 3))):
        dry = draw.uniform(3, 14) * (1 if unit == "lb" else 0.45)
        days = sorted(
            {
                0,
                *(
                    min(7 * k + draw.randrange(4), 140)
                    for k in draw.sample(range(1, 20), draw.randrange(3, 7))
                ),
            }
        )
        pace = draw.uniform(0.8, 1.2)
        rows.append([start, f"b{board}", "oven-dry", f"{dry:.{digits}f}", unit])
        for day in days:
            weight = dry * (1 + likely[min(round(day * pace), 700)] / 100)
            rows.append([start + pd.Timedelta(day, "D"), f"b{board}", "weight", f"{weight:.{digits}f}", unit])
    return (wood, thickness), start, rows


def slipped(row, slip, draw):
    """The row with one slip in it, or None if this slip cannot be in it or would not show."""
    day, board, kind, text, unit = row
    new, digits = list(row), [i for i, c in enumerate(text) if c.isdigit()]
    if slip == "point":
        new[3] = f"{float(text) * draw.choice((10, 0.1)):.10g}"
    elif slip == "unit":
        new[4] = {"lb": "kg", "kg": "lb"}[unit]
    elif slip == "swapped":
        i, j = draw.choice(list(zip(digits, digits[1:], strict=False)))
        swapped = list(text)
        swapped[i], swapped[j] = swapped[j], swapped[i]
        new[3] = "".join(swapped)
    elif slip == "doubled":
        i = draw.choice(digits)
        new[3] = text[:i] + text[i] + text[i:]
    elif slip == "lost":
        new[3] = text[1:].lstrip("0") if digits[1:] and text[1] != "." else "0"
    elif kind == "oven-dry":
        return None
    elif slip == "turned":
        new[0] = day.replace(month=day.day, day=day.month) if day.day <= 12 else day
    else:
        new[0] = day.replace(year=draw.choice((1926, 2126, 2062)))
    if slip in ("turned", "year"):
        return new if abs((new[0] - day).days) >= SEEN["date"] else None
    pounds = {"lb": 1, "kg": 2.2046}
    ratio = float(new[3]) * pounds[new[4]] / (float(text) * pounds[unit])
    return new if float(new[3]) >= 0.1 and abs(ratio - 1) >= SEEN["value"] else None


def text_of(rows):
    return HEAD + "".join(f"{day:%Y-%m-%d},A,{','.join(rest)}\n" for day, *rest in rows)


def put(folder, wood, start, text):
    (folder / "stacks.csv").write_text(
        f'stack,species,nominal,place,stacked\nA,{",".join(wood)},"Madison, WI",{start:%Y-%m-%d}\n',
        encoding="utf-8",
    )
    (folder / "readings.csv").write_text(text, encoding="utf-8")


def asked(folder):
    """(everything that the doctor asks of the records, of it what has a mend that is offered)."""
    found = read_usable(folder, today=TODAY)
    about = [*found.problems, *found.doubts]
    return about, [p for p in about if p.mend and mends_well(found, p)]


def same(cell, text, column):
    return cell == text if column in ("date", "unit") else abs(float(cell) - float(text)) < 1e-9


def one_slip_at_a_time(draw, folder, times):
    """(counts, the slips that were not found in their own row alone)."""
    counts, wrong = Counter(), []
    while counts["all"] < times:
        slip = SLIPS[counts["all"] % len(SLIPS)]
        wood, start, rows = clean(draw)
        k = draw.randrange(len(rows))
        if draw.random() < 0.25:  # the weight that all others hang on
            k = next(i for i, r in enumerate(rows) if r[2] == "oven-dry")
        if (bad := slipped(rows[k], slip, draw)) is None:
            continue
        if counts["all"] % 3 == 0:
            put(folder, wood, start, text_of(rows))
            about, _ = asked(folder)
            counts.update(["clean tables"])
            assert not about, [str(p) for p in about]
        put(folder, wood, start, text_of([*rows[:k], bad, *rows[k + 1 :]]))
        about, mends = asked(folder)
        named = {(p.file, (p.row, *p.rivals)) for p in about}
        found = len(named) == 1 and all(file == "readings.csv" and k + 2 in rows for file, rows in named)
        counts.update([f"one of {len(rows)} rows" for _, rows in named if found])
        counts.update(
            ["all", f"{slip}: all", *["the row", f"{slip}: the row"] * found, *["nothing"] * (not about)]
        )
        if not found:
            wrong.append(f"{slip} {rows[k]} -> {bad}: {[str(p) for p in about]}")
        for p in mends:
            assert (p.file, p.row) == ("readings.csv", k + 2), (slip, rows[k], bad, text_of(rows), str(p))
            true = {"value": rows[k][3], "unit": rows[k][4], "date": f"{rows[k][0]:%Y-%m-%d}"}[p.column]
            assert same(p.mend, true, p.column), (slip, rows[k], bad, p.mend, str(p))
            counts.update(["mended", f"{slip}: mended"])
    return counts, wrong


def told(counts, wrong):
    return "\n".join([*(f"{name}: {counts[name]}" for name in sorted(counts)), *wrong])


def test_one_slip_is_found_in_its_own_row(tmp_path, report, monkeypatch):
    monkeypatch.setattr(
        usable, "stack_taught", lambda *_: (None, "")
    )  # the forecast has a test of its own below
    counts, wrong = one_slip_at_a_time(random.Random(7), tmp_path, 200)
    report("One slip in clean readings, of 200", told(counts, wrong))
    assert counts["the row"] >= 0.95 * counts["all"] and counts["one of 1 rows"] >= 0.85 * counts["all"]
    by_hand = ("swapped", "doubled", "lost")  # asked about, and never mended by a press
    assert counts["mended"] >= 0.8 * sum(counts[f"{slip}: all"] for slip in SLIPS if slip not in by_hand)
    # a nought swapped over the point is a moved point: 5.0 and 0.5
    assert (
        not any(counts[f"{slip}: mended"] for slip in ("doubled", "lost")) and counts["swapped: mended"] <= 2
    )


def test_one_slip_is_no_reason_to_doubt_the_stack(tmp_path, report):
    counts, wrong = one_slip_at_a_time(random.Random(8), tmp_path, 24)
    report("One slip in clean readings, held against the forecast, of 24", told(counts, wrong))
    assert counts["the row"] >= 21


STEPS_LB = (0.4, 0.7, 1.0, 1.3, 1.6, 1.9, 2.2, 2.5, 2.8, 3.0)


@pytest.fixture
def hollow(tmp_path, monkeypatch):
    """The lines of the readings of Kettle Hollow, and how to write others into a copy of its stack A."""
    monkeypatch.setattr(usable, "stack_taught", lambda *_: (None, ""))
    stacks = (records.KETTLE_HOLLOW / "stacks.csv").read_text(encoding="utf-8")
    (tmp_path / "stacks.csv").write_text(stacks, encoding="utf-8")

    def put_lines(lines):
        (tmp_path / "readings.csv").write_text("\n".join(lines), encoding="utf-8")
        return tmp_path

    return (records.KETTLE_HOLLOW / "readings.csv").read_text(encoding="utf-8").splitlines(), put_lines


def with_value(line, value):
    cells = line.split(",")
    return ",".join([*cells[:4], f"{value:.2f}", *cells[5:]])


def test_a_slip_of_arithmetic_accuses_no_right_row_alone_and_offers_no_button(hollow, report):
    lines, put_lines = hollow
    before, _ = asked(put_lines(lines))
    counts = Counter()
    for k, line in enumerate(lines):
        for step in (s * sign for s in STEPS_LB for sign in (1, -1)) if ",1-3," in line else ():
            value = float(line.split(",")[4]) + step
            about, mends = asked(put_lines([*lines[:k], with_value(line, value), *lines[k + 1 :]]))
            about = [p for p in about if p not in before]
            named = {
                row for p in about for row in (p.row, *p.rivals, *map(int, re.findall(r"row (\d+)", str(p))))
            }
            counts.update(["all", *["accused"] * bool(about), *["the row"] * (k + 1 in named)])
            counts.update("buttons" for p in mends if p not in before)
    report("Slips of arithmetic in the weighings of Kettle Hollow, of 140", told(counts, []))
    assert counts["all"] == 140 and counts["accused"] >= 70 and not counts["buttons"]
    assert counts["the row"] >= 0.95 * counts["accused"]


def test_of_two_rows_that_explain_a_jump_as_well_both_are_named(hollow):
    lines, put_lines = hollow
    folder = put_lines([line.replace("14.90", "12.90") for line in lines])
    (doubt,) = [p for p in asked(folder)[0] if p.row in (5, 6)]
    assert "row 5 (12.9 lb on 2025-05-24) or row 6 (13.7 lb on 2025-06-07)" in str(doubt) and not doubt.mend
    found = read_usable(folder, today=TODAY)
    assert {found.verdict("readings.csv", row) for row in (5, 6)} == {"used, but doubtful"}


def test_weights_of_two_boards_swapped_on_one_day_are_mended_by_no_press(hollow):
    lines, put_lines = hollow
    for share, (k, line) in ((share, each) for share in (0.7, 0.85, 1.2) for each in enumerate(lines)):
        if not line.startswith("2025") or ",1-3,weight" not in line:
            continue
        value = float(line.split(",")[4])
        other = [
            with_value(each.replace("1-3", "2-9"), share * float(each.split(",")[4]))
            for each in lines
            if ",1-3," in each
        ]
        there = next(i for i, each in enumerate(other) if each.startswith(line[:10]) and "weight" in each)
        other[there] = with_value(other[there], value)
        _, mends = asked(put_lines([*lines[:k], with_value(line, share * value), *lines[k + 1 :], *other]))
        assert not [str(p) for p in mends]
