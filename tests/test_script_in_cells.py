"""What a cell, a choice or a file name holds is shown as it was typed, and never becomes a part of the page."""

import csv
import html
import io
import json
import re
import warnings
from datetime import date

import ipywidgets as w
import pytest
from test_matrix import KEPT, everything, press

from woodcalc.figures import plan as pages
from woodcalc.leader import desk, worksheets
from woodcalc.lesson import (
    air,
    answer_file,
    doctor,
    drying,
    kiln,
    logs,
    moisture,
    movement,
    plan,
    sawing,
    shrinkage,
    stack,
    start,
)
from woodcalc.lesson import records as lesson_records
from woodcalc.lesson.form import records_form
from woodcalc.lesson.sections import sections_form
from woodcalc.lesson.this_week import this_week
from woodcalc.lesson.weigh_day import weigh_day
from woodcalc.plan.job import make_plan
from woodcalc.records import TABLES, choices

BAD = "\"'><img src=x onerror=alert(1)>"
BOXES = {
    "air.own_months": air.own_months, "drying.my_stack_panel": drying.my_stack_panel,
    "drying.own_stacks": drying.own_stacks, "kiln.own_three_ways": kiln.own_three_ways,
    "kiln.own_loading": kiln.own_loading,
    "logs.own_tally": logs.own_tally, "moisture.own_readings": moisture.own_readings,
    "moisture.own_sample_board": moisture.own_sample_board, "moisture.own_weights": moisture.own_weights,
    "movement.own_panel": movement.own_panel, "records.own_stack_panel": lesson_records.own_stack_panel,
    **{f"records form, {table}": lambda table=table: records_form(table) for table in TABLES},
    "records.own_sample_boards_panel": lesson_records.own_sample_boards_panel, "this_week": this_week,
    "sections form": sections_form, "weigh day": weigh_day,
    "sawing.own_sawing": sawing.own_sawing, "sawing.own_order": sawing.own_order,
    "sawing.own_sheet": sawing.own_sheet, "shrinkage.own_spread": shrinkage.own_spread,
    "stack.own_panel": stack.own_panel, "start.choices_panel": start.choices_panel,
    "doctor.doctor_panel": doctor.doctor_panel, "doctor.choices_line": doctor.choices_line,
    "plan.plan_desk": lambda: plan.plan_desk(start="2026-05-15"), "desk.evening": desk.evening,
    "desk.sheets": desk.sheets, "desk.gathered": desk.gathered, "desk.larger_print": desk.larger_print,
}  # fmt: skip


def markup(shown):
    """All HTML that a browser sets of what a cell shows; a page inside the page as a page."""
    if hasattr(shown, "children"):
        parts = [each.value for each in everything(shown) if isinstance(each, w.HTML | w.HTMLMath)]
        parts.append(shown.still() if hasattr(shown, "still") else "")
    else:
        parts = [shown._repr_html_()] if hasattr(shown, "_repr_html_") else [shown]
    told = "\n".join(parts)
    return told + "".join(html.unescape(inner) for inner in re.findall(r'srcdoc="([^"]*)"', told))


def raw(told):
    """Where in HTML a cell's text has become a part of the page."""
    return [told[max(0, m.start() - 150) : m.end() + 60] for m in re.finditer(r"<img src=x", told)]


def tables(usable):
    """The tables with something bad in each cell that holds text; `usable`: the other rows and cells stay good."""
    for table, text in KEPT.items():
        rows = list(csv.reader(io.StringIO(text)))
        heads = rows[0] + (["note"] if "note" not in rows[0] else [])
        rows = [dict(zip(heads, [*row, ""][: len(heads)], strict=True)) for row in rows[1:]]
        for row in rows:
            for column in TABLES[table]:
                if column.kind == "text" and (row.get(column.name) or column.name == "note"):
                    row[column.name] = f"{row[column.name]}{BAD}"
        if not usable:
            rows += [{**row, name: BAD} for row in rows[:1] for name in heads]
            heads = [*heads, BAD]
        out = io.StringIO()
        csv.DictWriter(out, heads, restval=BAD, lineterminator="\n").writeheader()
        csv.DictWriter(out, heads, restval=BAD, lineterminator="\n").writerows(rows)
        yield f"{table}.csv", out.getvalue()


STATES = {
    "marks and notes": dict(tables(usable=True)),
    "every cell": dict(tables(usable=False)),
    "choices": {f"{table}.csv": text for table, text in KEPT.items()}
    | {"choices.json": json.dumps({"place": BAD, "species": BAD, "thickness": BAD, "month": BAD, BAD: BAD})},
    "names of files": {f"logs {n}.csv": "x" for n in "ab"} | {f"{BAD}.txt": "x", f"{BAD}.csv": "x"},
}


@pytest.fixture
def my_wood(tmp_path, monkeypatch):
    folder = tmp_path / "my-wood"
    folder.mkdir()
    monkeypatch.setenv(choices.VARIABLE, str(folder))
    monkeypatch.chdir(tmp_path)
    return folder


@pytest.mark.parametrize("state", STATES)
def test_no_box_sets_what_a_cell_holds(state, my_wood):
    for name, text in STATES[state].items():
        (my_wood / name).write_text(text, encoding="utf-8")
    found, shown = {}, ""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for name, make in BOXES.items():
            told = markup(make())
            shown += told
            if bad := raw(told):
                found[name] = bad[:2]
    assert not found
    assert state == "names of files" or "&lt;img src=x" in shown  # it is shown, as it was typed


def test_no_page_of_a_plan_sets_what_a_cell_holds(my_wood):
    for name, text in STATES["every cell"].items():
        (my_wood / name).write_text(text, encoding="utf-8")
    made = make_plan(my_wood, place="Madison", thickness="4/4", start=date(2026, 5, 15))
    for page in (pages.plan_page(made), pages.mill_pages(made)):
        assert "&lt;img src=x" in page and not raw(page)


def test_the_leaders_pages_set_nothing_that_somebody_typed(my_wood):
    folder = my_wood / "class-answers"
    folder.mkdir()
    row = dict.fromkeys(answer_file.COLUMNS, BAD) | {"right": "no"}
    with open(folder / "a.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, answer_file.COLUMNS)
        writer.writeheader()
        writer.writerow(row)
    (folder / f"{BAD.replace('/', '')}.csv").write_text("no answers")
    gathered = desk.gathered()
    press(gathered, "Read the answers")
    told = markup(gathered)
    assert told.count("&lt;img src=x") >= 3 and not raw(told)
    keys = [each.key for each in worksheets.on_paper(["01"])][:2]
    written = worksheets.write(my_wood / "class", BAD, worksheets.make(BAD, keys, 2))
    for path in [path for path in written if path.suffix == ".html"]:
        text = path.read_text(encoding="utf-8")
        assert "img src=x" in text and not raw(text)
