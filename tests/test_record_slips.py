"""One slip of the pen in clean records: that row is asked about, the right ones are not, and a mend puts it right."""

import functools
import random
from collections import Counter
from datetime import date

import pandas as pd

from woodcalc import drying
from woodcalc.records import usable
from woodcalc.records.usable import mends_well, read_usable

HEAD = "date,stack,board,kind,value,unit\n"
TODAY = date(2026, 11, 1)
SLIPS = ("point", "unit", "swapped", "doubled", "turned", "year")
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
        found = {(p.file, p.row) for p in about} == {("readings.csv", k + 2)}
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
    assert counts["the row"] >= 0.95 * counts["all"] and counts["mended"] >= 0.6 * counts["all"]


def test_one_slip_is_no_reason_to_doubt_the_stack(tmp_path, report):
    counts, wrong = one_slip_at_a_time(random.Random(8), tmp_path, 24)
    report("One slip in clean readings, held against the forecast, of 24", told(counts, wrong))
    assert counts["the row"] >= 21
