"""Lesson 2: panels say what the calculators say, exercises against arithmetic written out here."""

import re
from math import floor, sqrt

import pytest
from second_answers import agree
from svg_text import words

from woodcalc import logs
from woodcalc.figures import sawing as figures
from woodcalc.figures import style
from woodcalc.figures.settings_sheet import printed
from woodcalc.lesson import logs as log_boxes
from woodcalc.lesson import sawing as panels
from woodcalc.lesson.box import plain
from woodcalc.lesson.exercises.sawing import EXERCISES
from woodcalc.logs import Log
from woodcalc.plan import make_plan
from woodcalc.records import choices
from woodcalc.sawing import PATTERNS, saw
from woodcalc.sawing.settings_sheet import WITH_SHEET, stages
from woodcalc.shrinkage import usual_green_in


def test_patterns_say_what_the_saw_gives():
    panel = panels.patterns_panel()
    panel.dials["small_in"].value = 20.0
    panel.dials["kerf_in"].value = 0.09375
    panel.dials["length_ft"].value = 16
    log = Log(small_in=20, length_ft=16)
    bf = [saw(log, 3 / 32, [1.125], p).board_feet for p in PATTERNS]
    found = [float(n) for n in re.findall(r"\d+", panel.reading)]
    assert found[:3] == [round(b) for b in bf]
    assert found[-1] == round(logs.international_bf(20, 16))
    assert f"{100 * (bf[1] / logs.doyle_bf(20, 16) - 1):+.0f} %" in panel.below.value


def test_first_cut_by_hand_never_beats_the_best_and_can_reach_it():
    best = saw(Log(small_in=14, length_ft=12), 1 / 8, [1.125], "through-and-through")
    given = [figures.opened(14.0, s / 16, 0.125, 1.125).board_feet for s in range(4, 65)]
    assert max(given) == pytest.approx(best.board_feet)
    says = figures.first_cut((4 + given.index(max(given))) / 16, 14, 0.125, 1.125, True)[1]
    assert "That is the best there is." in says


def test_kerf_panel_counts_the_gain():
    thin, thick = (saw(Log(small_in=14, length_ft=12), k, [1.125]) for k in (1 / 16, 1 / 4))
    says = figures.kerfs(14, 1 / 16, 1 / 4, 1.125)[1]
    assert f"gives {thin.board_feet:.0f} bf, with one of 1/4 in {thick.board_feet:.0f}" in says
    assert f"({100 * (thin.board_feet / thick.board_feet - 1):+.0f} %)" in says
    assert f"{thin.volumes_ft3['sawdust']:.1f} and {thick.volumes_ft3['sawdust']:.1f} ft3" in says


@pytest.mark.parametrize("pattern", WITH_SHEET)
def test_stages_lead_from_the_round_log_to_the_boards(pattern):
    """What the blade leaves at each pass holds the boards that the sheet lists there, to the thickness."""
    plan = saw(Log(small_in=15, length_ft=12, oval_ratio=1.1), 1 / 8, [1.125], pattern)
    for row, stage in zip(plan.cuts.itertuples(), stages(plan), strict=True):
        for number, box in ((row.board_above, stage.above), (row.board_below, stage.below)):
            if number:
                b = plan.cut_boards[number - 1]
                low, high = (0, 1) if b.turned else (2, 3)
                faces = (b.x1, b.x2) if b.turned else (b.y1, b.y2)
                assert (box[low], box[high]) == pytest.approx(faces)


def test_sheet_panel_reads_like_the_sheet():
    panel = panels.sheet_panel()
    plan = saw(Log(small_in=14, length_ft=12), 1 / 8, {"4/4": 1.0625}, "cant")
    for at in (1, 8, len(plan.cuts), 40):
        panel.dials["pass_number"].value = at
        row = plan.cuts.iloc[min(at, len(plan.cuts)) - 1]
        assert f"blade at {row['blade']} in above the bed: {row['takes']}." in panel.reading
        assert panel.reading.startswith(f"Pass {row['pass']} of {len(plan.cuts)}")
    assert panel.below.value.count("<tr") == 9 + 1 and f">{len(plan.cuts)}</td>" in panel.below.value
    assert panel.reading.endswith(f"makes {len(plan.boards)} boards of 1-1/16 in, {plan.board_feet:.0f} bf.")
    html = printed(plan)
    assert html.count("&#9744;") == len(plan.cuts) and "Blocks: 3/4 in</span> under the small end" in html
    panel.dials["pass_number"].value = 1
    at = {w.text for w in words(style.to_svg(panel.draw(**{n: d.value for n, d in panel.dials.items()})[0]))}
    # half of the large end, 15.5 in, and half of what it has more than the small end
    assert {"center at 7-3/4 in", "blocks 3/4 in, small end"} <= at


def test_the_unknown_mill_keeps_its_kerf_to_itself():
    for kerf in (0.0625, 0.1875):
        page, says = figures.unknown_mill(4, 1.0, kerf)
        words = re.findall(r">([^<]*)</text>", page.svg()) + [says]
        assert not any(re.search(r"(?<![-\d/])(1/16|3/16) in", w) for w in words)
    assert says.endswith("stands at 9-1/4 in.")  # 14 - 4 x 1-3/16


def test_a_log_too_thin_for_boards_still_draws():
    page, says, table = figures.patterns(8, 0.0, 8, 0.375, 2.5)
    assert "gives" in says and "<table>" in table and page.svg().count("<text") > 8


def _parts(text):
    whole, _, part = text.rpartition("-")
    top, _, bottom = part.partition("/")
    return float(whole or 0) + (float(top) / float(bottom) if bottom else float(top))


def _boards(cant_in, kerf, thick):
    n = 0
    while (n + 1) * _parts(thick) + n * _parts(kerf) <= cant_in + 1e-9:  # n + 1 boards need n kerfs
        n += 1
    return n


INDEPENDENT = {  # each exercise worked a second time, without the calculators
    "boards-from-a-cant": _boards,
    "width-at-the-small-end": lambda small_in, outer_in: sqrt(small_in**2 - 4 * outer_in**2),
    "blade-height": lambda start_in, boards, kerf, thick: (
        start_in - boards * _parts(thick) - boards * _parts(kerf)
    ),
    "over-the-scale": lambda small_in, length_ft, tally_bf, **_: (
        100 * tally_bf / ((small_in - 4) ** 2 * length_ft / 16) - 100
    ),
    "kerf-of-an-unknown-mill": lambda kerf_in: kerf_in,
}


@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda e: e.key)
def test_answers_worked_a_second_time(exercise):
    agree(exercise, INDEPENDENT[exercise.key], within=1e-9, turns=60)


def test_steps_of_the_cant_end_in_the_answer():
    cant = next(e for e in EXERCISES if e.key == "boards-from-a-cant")
    steps = cant.steps(cant_in=11, kerf="1/4", thick="1")
    assert steps[-1] == f"Whole boards only: {floor(11.25 / 1.25)}."


HEAD = "log,species,small_in,large_in,length_ft,sweep_in,defect_pct,note\n"
ROTTEN = HEAD + "gone,white oak,16,,12,0,100,\nhalf,white oak,16,,12,0,60,\ngood,white oak,16,,12,0,0,\n"


@pytest.fixture
def tally(tmp_path, monkeypatch):
    """A folder of the learner's own, and what writes its tally."""
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "mine"))
    (tmp_path / "mine").mkdir()

    def put(text):
        (tmp_path / "mine" / "logs.csv").write_text(text, encoding="utf-8")
        return tmp_path / "mine"

    return put


def read(box):
    """All that a reader reads in a box."""
    return plain(re.sub(r"<img[^>]*>", "", box.still() if hasattr(box, "still") else box._repr_html_()))


def test_every_page_judges_a_rotten_log_alike(tally):
    """All defect: not sawn, no sheet. Over half: said on each page, its boards counted by what is sound."""
    folder = tally(ROTTEN)
    none, half = (
        "all of it is rotten, split or missing. It is not sawn",
        "The tally says that 60 % of it is rotten",
    )
    first = read(log_boxes.own_tally())
    assert none in first and half in first
    second = read(panels.own_sawing())
    thick_in = usual_green_in("white oak", "4/4")
    good = saw(Log(16, length_ft=12), 1 / 8, {"4/4": thick_in}, drop_step_in=1 / 16).board_feet
    assert f"{2 * good:,.0f} bf at the very best if every log were sound, {1.4 * good:,.0f} bf with" in second
    assert (
        "nothing of it is sound: not sawn" in second and "more than half is gone: cut it back first" in second
    )
    box = panels.own_sheet()
    box.dials["log"].value = "gone"
    assert none in read(box) and "Set-up" not in read(box)
    box.dials["log"].value = "half"
    assert half in read(box) and "Set-up 1" in read(box)
    plan = make_plan(folder, start="2026-05-15")
    assert set(plan.sawings) == set(plan.settings) == {"half", "good"}
    told = " ".join(plan.remarks)
    assert (
        f"Log gone is not sawn in this plan: the tally says that {none}" in told
        and f"Log half: {half}" in told
    )
    rows = plan.step("saw").table.set_index("log")
    assert rows["expected_bf"]["half"] == pytest.approx(0.4 * rows["expected_bf"]["good"])
    order = panels.own_order()
    order.dials["width_in"].value = 6
    assert "from log good" in read(order) and "half" not in read(order)


@pytest.mark.parametrize(
    "row",
    [
        "1,white oak,3,,2,0,0,", "1,white oak,12,,12,24,0,", "1,white oak,12,,12,0,100,",
    ],
)  # fmt: skip
def test_no_page_of_a_log_that_cannot_be_sawn_names_a_parameter(tally, row):
    folder = tally(HEAD + row + "\n")
    said = [
        read(make()) for make in (log_boxes.own_tally, panels.own_sawing, panels.own_order, panels.own_sheet)
    ]
    with pytest.raises(ValueError, match="no log of the tally") as refused:
        make_plan(folder, start="2026-05-15")
    for text in [*said, str(refused.value)]:
        assert not re.search(r"\b\w+_(in|ft|ft3|bf|pct)\b|Error\b|Traceback", text), text


def test_a_bad_log_does_not_stop_the_others(tally):
    tally(HEAD + "big,white oak,80,120,60,0,0,\n2,white oak,14,,10,0,0,\n")
    for make in (panels.own_sawing, panels.own_order):
        said = read(make())
        assert "80 to 120 in by 60 ft (log big)" in said and "cubic feet" in said
    assert "bf at the very best; International" in read(panels.own_sawing())


def test_each_log_of_the_tally_is_sawn_for_its_own_wood_as_the_plan_has_it(tmp_path, monkeypatch):
    """White oak and hickory shrink more than red oak, and are sawn a sixteenth thicker."""
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path / "mine"))
    said = plain(panels.own_sawing().told.value)
    assert "green 1.0625 to 1.1250 in by each log's wood" in said
    best = sum(cut.board_feet for cut in make_plan(start="2026-05-15").sawings.values())
    assert f"{best:,.0f} bf at the very best" in said
