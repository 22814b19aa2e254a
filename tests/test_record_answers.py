"""Whatever a table was spoiled by: no answer and no mend that is offered loses a row or puts a size far off."""

import io
import random

import pandas as pd
import pytest

from woodcalc import records
from woodcalc.records.questions import questions, settle
from woodcalc.records.usable import mends_well, read_usable

TODAY = pd.Timestamp(2026, 11, 28).date()
CLEAN = {
    "logs": "log,species,small_in,large_in,length_ft,trim_in\n"
    "1,red oak,14.5,17,12,4\n2,red oak,13.5,16,12,4\n3,white ash,16,18.5,10,4\n4,white ash,18,21,14,4\n",
    "boards": "board,log,species,nominal,thickness_in,width_in,length_ft\n"
    "1-1,1,red oak,4/4,1.125,7.5,12\n1-2,1,red oak,4/4,1.1,8.5,12\n3-1,3,white ash,4/4,1.125,6.5,10\n"
    "4-1,4,white ash,4/4,1.15,9,14\n",
    "stacks": "stack,species,nominal,place,stacked,start_mc_pct,board_feet,width_ft\n"
    'A,red oak,4/4,"Madison, WI",2026-05-10,75,430,4\nB,white ash,4/4,"Madison, WI",2026-05-24,42,390,5\n',
    "readings": "date,stack,board,kind,value,unit,temp_f\n2026-05-10,A,1-1,oven-dry,9.3,lb,\n"
    "2026-05-10,A,1-1,weight,16.3,lb,65\n2026-06-10,A,1-1,weight,13.6,lb,70\n2026-07-10,A,1-1,weight,11.9,lb,75\n",
}
FAR = 2.0  # a column's largest over its smallest: so many times the clean one's, with both ends a FAR of `likely` off


def cells_of(table):
    return [
        list(row)
        for row in pd.read_csv(io.StringIO(CLEAN[table]), header=None, dtype=str).fillna("").to_numpy()
    ]


def joined(rows, by=","):
    def shown(cell):
        return f'"{cell}"' if by in cell else cell

    return "".join(by.join(map(shown, row)) + "\n" for row in rows)


def no_header(rows, draw):
    return joined(rows[1:])


def renamed(rows, draw):
    """A column by another name, or by another column's."""
    names = "what thick far girth circumference dbh size diam end1 Wood? tally mark 14 Länge".split()
    rows[0][draw.randrange(len(rows[0]))] = draw.choice(names)
    return joined(rows)


def dropped(rows, draw):
    i = draw.randrange(len(rows[0]))
    return joined([row[:i] + row[i + 1 :] for row in rows])


def moved(rows, draw):
    """Columns in another order, the header not with them."""
    order = draw.sample(range(len(rows[0])), len(rows[0]))
    return joined([rows[0], *([row[i] for i in order] for row in rows[1:])])


def no_point(rows, draw):
    i, k = draw.randrange(len(rows[0])), draw.randrange(1, len(rows))
    rows[k][i] = rows[k][i].replace(".", "") if "." in rows[k][i] else f"{rows[k][i]}0"
    return joined(rows)


def other_sign(rows, draw):
    i, k = draw.randrange(len(rows[0])), draw.randrange(1, len(rows))
    rows[k][i] = rows[k][i].replace(".", draw.choice(["'", "..", ",", "-"])).replace("1", draw.choice("lI1"))
    return joined(rows)


def in_metric(rows, draw):
    """One row, or all, measured in cm and m, or weighed in g."""
    some = rows[1:] if draw.random() < 0.5 else [draw.choice(rows[1:])]
    factors = {"in": 2.54, "ft": 0.3048}
    for i, name in enumerate(rows[0]):
        factor = factors.get(name.rpartition("_")[2])
        for row in some if factor else ():
            row[i] = f"{float(row[i]) * factor * draw.choice([1, 1, 10]):.4g}"
    return joined(rows)


def set_apart(rows, draw):
    by = draw.choice(["|", " | ", ";", "\t", "   ", "\t\t", ":"])
    return joined(rows, by)


def with_odd_row(rows, draw):
    """A header again, units, marks for the same as above, sums."""
    width = len(rows[0])
    odd = draw.choice(
        [
            rows[0],
            ["in" if name.endswith("in") else "ft" if name.endswith("ft") else "" for name in rows[0]],
            ["cm" if name.endswith("in") else "m" if name.endswith("ft") else "" for name in rows[0]],
            ["Total", *[""] * (width - 2), "99"],
            ["---"] * width,
        ]
    )
    rows.insert(draw.randrange(1, len(rows) + 1), list(odd))
    return joined(rows)


def as_above(rows, draw):
    mark = draw.choice(["ditto", '"', '""""', "do.", "''"])
    i = draw.randrange(len(rows[0]))
    for row in rows[2:]:
        row[i] = mark
    return "".join(",".join(f'"{c}"' if "," in c and c != mark else c for c in row) + "\n" for row in rows)


def other_days(rows, draw):
    how = draw.choice(["%m/%d/%y", "%d-%b", "%y-%m-%d", "%d.%m.%Y", "%m/%d"])
    for row in rows[1:]:
        row[:] = [f"{pd.Timestamp(c):{how}}" if c.startswith("2026-") else c for c in row]
    return joined(rows)


def no_unit(rows, draw):
    return joined([["" if c in ("lb", "weight") and draw.random() < 0.8 else c for c in row] for row in rows])


def comma_slip(rows, draw):
    """A decimal comma or a comma too many in one row, with nothing around the cells."""
    row = draw.choice(rows[1:])
    line = joined([row]).strip()
    line = draw.choice(
        [line.replace(".", ",", 1), line.replace(",", ",,", 1), line.replace(".", ",", 1) + ","]
    )
    return joined(rows).replace(joined([row]), f"{line}\n")


def counted(rows, draw):
    head = draw.choice(["qty", "pcs", "count", "number of"])
    return joined([[*rows[0], head], *([*row, draw.choice(["1", "2", "", "3"])] for row in rows[1:])])


def in_shares(rows, draw):
    return joined(
        [[*rows[0], "defect_pct"], *([*row, draw.choice(["0.15", "1/4", "", "0", "1"])] for row in rows[1:])]
    )


def other_end(rows, draw):
    """A radius for a diameter; of the others no answer is offered."""
    head = draw.choice(["radius", "radius (in)", "dob", "mid diameter"])
    if "small_in" in rows[0]:
        i = rows[0].index("small_in")
        rows[0][i] = head
        for row in rows[1:] if head.startswith("radius") else ():
            row[i] = f"{float(row[i]) / 2:g}"
    return joined(rows)


def as_spoken(rows, draw):
    """4.0 for 4/4, 141/2 for 14-1/2, a month without its day, a weight with its unit."""
    for row in rows[1:]:
        for i, cell in enumerate(row):
            if cell == "4/4":
                row[i] = draw.choice(["4", "4.0", "4/4"])
            elif cell.endswith(".5"):
                row[i] = draw.choice([cell.replace(".5", "1/2"), cell.replace(".5", "-1/2")])
            elif cell == "lb" and draw.random() < 0.5:
                row[i - 1], row[i] = f"{row[i - 1]} lb", draw.choice(["", "lb"])
            elif cell.startswith("2026-") and draw.random() < 0.3:
                row[i] = f"{pd.Timestamp(cell):%B %Y}"
    return joined(rows)


SPOILED_BY = (
    comma_slip, counted, in_shares, other_end, as_spoken,
    no_header, renamed, dropped, moved, no_point, other_sign, in_metric, set_apart, with_odd_row, as_above, other_days,
    no_unit,
)  # fmt: skip


def put(folder, texts):
    for table, text in texts.items():
        (folder / f"{table}.csv").write_text(text, encoding="utf-8", newline="")


def read(folder):
    return read_usable(folder, today=TODAY)


def spread(frame):
    """{column: its largest over its smallest}, of the sizes of logs and boards."""
    out = {}
    for name in ("small_in", "large_in", "length_ft", "trim_in", "thickness_in", "width_in", "width_ft"):
        if name in frame and len(sizes := frame[name][frame[name] > 0].dropna()):
            out[name] = sizes.max() / sizes.min()
    return out


def harm(before, after, table, column=None):
    """What an answer, or a mend of one column, did that it must not; "" if nothing."""
    was, now = (found.tables.get(table) for found in (before, after))
    rows = 0 if now is None else len(now)
    if was is not None and rows < len(was):
        return f"{len(was)} rows were read, and now {rows}"
    clean, was_, now_ = (
        spread(CLEAN_FRAMES[table]),
        {} if was is None else spread(was),
        {} if now is None else spread(now),
    )
    for name, wide in now_.items():
        if column in (None, name) and wide > FAR * max(clean.get(name, 1), was_.get(name, 1)):
            return f"{name} runs {now[name].tolist()}"
    return ""


CLEAN_FRAMES = {}


@pytest.fixture(autouse=True)
def clean_frames(tmp_path):
    folder = tmp_path / "clean"
    folder.mkdir()
    put(folder, CLEAN)
    CLEAN_FRAMES.update(read(folder).tables)
    assert not read(folder).problems and not questions(read(folder), TODAY)


def pressed_all(folder, table, texts):
    """(how many answers and mends were pressed, [harm of each that did any])."""
    pressed, harms = 0, []
    before = read(folder)
    path = folder / f"{table}.csv"
    for question in questions(before, TODAY):
        for answer in question.answers:
            put(folder, texts)
            settle(folder / question.file, question, answer)
            pressed += 1
            if why := harm(before, read(folder), table):
                harms.append(f"{question.asks} {answer.says}: {why}")
    put(folder, texts)
    for p in (*before.problems, *before.doubts):
        for mend in filter(None, (p.mend, *p.mends)):
            each = records.Problem(p.file, p.row, p.column, p.found, p.expected, mend, cell=p.cell)
            if p.row and mends_well(before, each):
                records.mend(folder / p.file, each)
                pressed += 1
                if why := harm(before, read(folder), table, p.column):
                    harms.append(f"{p}: {mend}: {why}")
                put(folder, texts)
    assert path.read_text(encoding="utf-8") == texts[table]
    return pressed, harms


@pytest.mark.parametrize("spoil", SPOILED_BY)
def test_no_answer_and_no_mend_does_harm(tmp_path, spoil, report):
    draw, pressed, harms = random.Random(spoil.__name__), 0, []
    for table in CLEAN:
        for _ in range(12):
            texts = CLEAN | {table: spoil(cells_of(table), draw)}
            put(tmp_path, texts)
            more, bad = pressed_all(tmp_path, table, texts)
            pressed += more
            harms += [f"{texts[table]}{why}" for why in bad]
    report(
        f"Answers and mends pressed in tables spoiled: {spoil.__name__}", f"{pressed}, harmful {len(harms)}"
    )
    assert not harms, "\n\n".join(harms[:6])
