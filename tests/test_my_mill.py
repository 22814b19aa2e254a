"""The learner's own mill: typed once, kept, and used by sheets, panels and dials; rules as switches; the ladder."""

import json
import re
from dataclasses import replace
from importlib.resources import files
from math import ceil, sqrt

import numpy as np
import pytest
from test_sawyer import LOGS, random_log
from test_settings_sheet import inches, words

from woodcalc import records
from woodcalc.checks import InputError
from woodcalc.figures import ladder
from woodcalc.figures.plan import mill_pages
from woodcalc.figures.settings_sheet import page_of, printed
from woodcalc.lesson import mine
from woodcalc.lesson import sawing as panels
from woodcalc.lesson.box import plain
from woodcalc.lesson.mill import my_mill
from woodcalc.logs import BARK_SHARE, Log, bark_left_in, logs_of
from woodcalc.plan import ASSUMPTIONS, make_plan
from woodcalc.records import choices
from woodcalc.records.own_mill import keep_mill, kept_mill
from woodcalc.sawing import TooThin, rules, saw, saw_tally, settings_sheet
from woodcalc.sawing.limits import limits
from woodcalc.sawing.mill import Mill
from woodcalc.sawing.settings_sheet import room_in, set_ups, widest_cut_in, with_bark
from woodcalc.shrinkage import usual_green_in
from woodcalc.sizes import sixteenths

OAK = Log(18.5, 21, 12, species="northern red oak", label="1")


@pytest.fixture
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path))
    return tmp_path


def test_a_mill_is_kept_beside_the_choices_and_loses_none_of_them(own_folder):
    choices.keep(month=7)
    box = my_mill()
    assert kept_mill() is None and "Until you write yours: kerf 1/8 in" in plain(box.told.value)
    box.dials["kerf"].value = "0.1"
    box.dials["lowest_in"].value = "1 1/2"
    box.dials["turner"].value = "cant hook"
    assert kept_mill() == Mill(kerf_in=0.1, lowest_in=1.5, turner="cant hook")
    assert "Kept for all lessons: kerf 0.1 in" in plain(box.told.value)
    choices.keep(month=8)
    assert kept_mill().lowest_in == 1.5 and choices.read().month == 8
    again = my_mill()
    assert (again.dials["kerf"].value, again.dials["lowest_in"].value) == ("0.1", "1 1/2")


def test_the_kerf_of_a_stack_goes_before_the_field(own_folder):
    box = my_mill()
    box.dials["boards"].value = "8"
    assert "fill in all three fields, or none" in plain(box.told.value) and kept_mill() is None
    box.dials["drop"].value, box.dials["together"].value = "9-1/2", "8.7"
    assert "a kerf of 0.100 in" in plain(box.told.value)
    assert kept_mill().kerf_in == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("kerf", "thin", "Kerf: found 'thin'"),
        ("largest_in", "2", "Largest log with its bark: found '2'; expected a number from 6 to 90 in"),
        ("lowest_in", "9", "Lowest safe cut, blade over the bed: found '9'"),
    ],
)
def test_what_no_mill_has_is_said_stays_and_is_not_kept(own_folder, name, text, says):
    box = my_mill()
    box.dials[name].value = text
    assert says in plain(box.told.value)
    assert box.dials[name].value == text and kept_mill() is None


@pytest.mark.parametrize("kept", ['{"mill": "wide"}', '{"mill": {"kerf_in": 9}}', "{", "[1]", '{"month": 5}'])
def test_a_mill_that_makes_no_sense_is_as_none(own_folder, kept):
    (own_folder / choices.FILE).write_text(kept)
    assert kept_mill() is None
    keep_mill(Mill(edger=True))
    assert kept_mill().edger
    if "month" in kept:
        assert json.loads((own_folder / choices.FILE).read_text())["month"] == 5


def test_the_sheet_and_the_dials_follow_the_mill(own_folder):
    sheet, panel = panels.own_sheet(), panels.sheet_panel()
    assert "Kerf 1/8 in" in words(sheet.told.value) and len(panel.whose.options) == 1
    box = my_mill()
    box.dials["kerf"].value, box.dials["lowest_in"].value = "3/32", "2"
    said = words(sheet.told.value)
    assert "Kerf 3/32 in" in said and "Your blade goes no lower than 2 in" in said
    assert "Stop here. The thick piece that is left, 2-1/4 in," in said
    (_, found) = panel.whose.options[-1]
    panel.whose.value = found
    assert panel.dials["kerf_in"].value == pytest.approx(0.09375)
    assert panels.own_sawing().dials["kerf_in"].value == pytest.approx(0.09375)
    assert mine.offers({"kerf_in": "Kerf (in)"})[0][0] == "my mill: kerf 0.09375 in"


def test_a_rule_that_is_off_stays_off_and_its_cost_is_shown(own_folder):
    sheet = panels.own_sheet()
    with_it = words(sheet.told.value)
    sheet.dials["wide_cant"].value = False
    assert words(sheet.told.value) != with_it
    again = panels.own_sheet()  # the lesson has run again
    assert again.dials["wide_cant"].value is False and again.dials["foot"].value is True
    cost = rules.costs(OAK, 1 / 8, {"4/4": 1.0625})
    text = words(sheet.told.value)
    assert all(c.rule.says in text for c in cost) and re.search(r"given up \d+ bf, saved -?\d+ passes", text)


def test_what_a_rule_costs_is_the_difference_of_two_sawings():
    on = saw(OAK, 0.1, {"4/4": 1.0625}, drop_step_in=1 / 16)
    narrow = saw(OAK, 0.1, {"4/4": 1.0625}, drop_step_in=1 / 16, least_cant_in=4)
    uneven = saw(OAK, 0.1, {"4/4": 1.0625})
    found = {c.rule.name: c for c in rules.costs(OAK, 0.1, {"4/4": 1.0625})}
    assert found["wide_cant"].board_feet == pytest.approx(narrow.board_feet - on.board_feet)
    assert found["wide_cant"].passes == len(narrow.passes) - len(on.passes)
    assert (
        found["steady"].board_feet == pytest.approx(uneven.board_feet - on.board_feet)
        and uneven.board_feet > on.board_feet
    )
    with pytest.raises(InputError, match="expected one of"):
        rules.sawn_by(OAK, 0.1, {"4/4": 1.0625}, ["neat"])


@pytest.mark.parametrize(("a_side", "set_ups"), [(0, 4), (1, 8), (2, 6), (3, 4), (9, 4)])
def test_turns_after_some_boards_a_side_cost_no_wood_and_follow_the_bed(a_side, set_ups):
    plan = saw(OAK, 1 / 8, {"4/4": 1.0625}, drop_step_in=1 / 16, a_side=a_side, steady_cant=False)
    usual = saw(OAK, 1 / 8, {"4/4": 1.0625}, drop_step_in=1 / 16, steady_cant=False)
    assert plan.board_feet == pytest.approx(usual.board_feet) and plan.passes[-1].setup == set_ups
    assert sum(plan.shares.values()) == pytest.approx(1, abs=1e-9)
    sides = [p for p in plan.passes if p.piece == "log"]
    for setup in {p.setup for p in sides}:
        assert sum(p.board_above > 0 for p in sides if p.setup == setup) <= (a_side + 1 if a_side else 99)
    for s in settings_sheet.set_ups(plan):  # a top that is sawn already has no slab on it
        slab = s.cuts["takes"].iloc[0].startswith("slab")
        assert slab or s.slab_in == pytest.approx(1.0625 + plan.kerf_in, abs=1 / 8)
    for stage, p in zip(
        settings_sheet.stages(plan), plan.passes, strict=True
    ):  # the blade is where the board ends
        if p.board_above and not plan.cut_boards[p.board_above - 1].turned:
            b = plan.cut_boards[p.board_above - 1]
            low = b.y1 if p.up == 1 else -b.y2
            assert stage.bed_in + p.height_in == pytest.approx(low - plan.kerf_in)


def test_a_cant_has_a_greatest_width():
    for most in (6, 8, 10):
        plan = saw(OAK, 1 / 8, {"4/4": 1.0625}, most_cant_in=most)
        assert (plan.cant_wide_in or plan.cant_in) <= most


def test_the_ladder_is_printed_at_its_true_size_with_every_height_of_its_set_ups():
    plan = saw(OAK, 0.1, {"4/4": 1.0625}, drop_step_in=1 / 16)
    page = page_of(plan)
    svg = page[page.index("<svg", page.index("The ladder")) :]
    width, height = re.search(r'width="([\d.]+)in" height="([\d.]+)in"', svg).groups()
    box = [float(n) for n in re.search(r'viewBox="0 0 (\d+) (\d+)"', svg).groups()]
    assert box == [100 * float(width), 100 * float(height)]  # a hundred units to the inch
    rungs = ladder.rungs_of(plan)
    marks = dict(re.findall(r">(\d+): ([\d/-]+)<", svg))
    for number, (high, low) in ladder.on_the_ladder(plan).items():
        assert f"On the ladder: rungs {high} down to {low}." in words(printed(plan))
        for blade in plan.cuts.loc[plan.cuts["setup"] == number, "blade_in"]:
            assert inches(marks[str(rungs.number(blade))]) == blade
    strip = ladder.strip(rungs, 2)
    strokes = re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", strip)
    tall = max(abs(float(y2) - float(y1)) for x1, y1, x2, y2 in strokes if x1 == x2)
    assert tall == pytest.approx(600)  # the bar to measure: 6 in


def test_boards_that_would_not_plane_flat_are_named_with_those_to_edge():
    plan = saw(Log(20.5, 24, 12, species="northern red oak"), 1 / 8, {"4/4": 1.0625}, drop_step_in=1 / 16)
    marked = settings_sheet.too_cupped(plan)
    page = words(printed(plan))
    listed = re.search(r"Rip before planing: ([\d, ]+)\. Day", page)[1]
    assert marked and [int(n) for n in listed.split(", ")] == list(marked)
    assert f"Rip before planing: {len(marked)} boards." in page and "plane flat to 13/16 in" in page
    wide = plan.boards.set_index("board")["width_in"]
    assert wide[list(marked)].min() > 8
    assert not settings_sheet.too_cupped(saw(Log(20.5, 24, 12), 1 / 8, {"4/4": 1.0625}))  # of no wood
    thicker = saw(Log(20.5, 24, 12, species="northern red oak"), 1 / 8, {"4/4": 1.25})
    assert len(settings_sheet.too_cupped(thicker)) < len(marked)


@pytest.mark.parametrize("pattern", settings_sheet.WITH_SHEET)
def test_no_timber_has_the_pith_at_its_face(pattern):
    rng, told = np.random.default_rng(3), set()
    for _ in range(30):
        log = Log(float(rng.integers(18, 50)) / 2, length_ft=12)
        want = [(int(rng.integers(1, 3)), float(t := rng.choice([4, 6])), float(t), 12)]
        plan = saw(log, 1 / 8, {"4/4": 1.0625}, pattern, wanted=want)
        for board, says in settings_sheet.timbers(plan).items():
            assert not says.startswith("the pith lies at its face"), (log, want, board)
            told.add(says.split(":")[0])
    assert {"free of heart", "heart boxed in"} <= told


def test_the_plan_goes_by_the_mill_and_says_what_it_cannot_take(tmp_path):
    mill = Mill(kerf_in=0.1, lowest_in=1.5, largest_in=22)
    plan = make_plan(start="2026-05-15", mill=mill)
    usual = make_plan(start="2026-05-15")
    assert plan.assumptions["kerf_in"] == 0.1 and usual.assumptions["kerf_in"] == 0.125
    assert all(cut.kerf_in == 0.1 for cut in plan.sawings.values())
    too_large = {log for log, cut in plan.sawings.items() if cut.log.large_end_in * np.sqrt(1.1) > 22}
    assert too_large and set(plan.settings) == set(plan.sawings) - too_large
    for log in too_large:
        assert any(r.startswith(f"Log {log}: It takes about") for r in plan.remarks)
    assert all((rows["blade_in"] >= 1.5).all() for rows in plan.settings.values())
    page = words(mill_pages(plan))
    assert page.count("No passes are printed") == len(too_large)
    assert "goes no lower than 1-1/2 in" in page and "Not on your mill" not in words(mill_pages(usual))
    plan.to_csv(tmp_path)
    rows = (tmp_path / "plan-mill-settings.csv").read_text()
    assert "leave one thick piece" in rows
    assert (
        make_plan(start="2026-05-15", mill=mill, assumptions={"kerf_in": 0.2}).assumptions["kerf_in"] == 0.2
    )


def test_a_log_too_bent_for_a_board_is_told_what_its_halves_give(own_folder):
    bent = Log(7.5, 8.5, 16, sweep_in=7.5)
    with pytest.raises(TooThin) as none:
        saw(bent, 1 / 8, {"4/4": 1.0625})
    halves = [Log(7.5, 8, 8, sweep_in=1.875), Log(8, 8.5, 8, sweep_in=1.875)]
    assert none.value.in_two_bf == pytest.approx(
        sum(saw(h, 1 / 8, {"4/4": 1.0625}).board_feet for h in halves)
    )
    note = saw_tally([bent, Log(7.5, 8.5, 16)], 1 / 8, {"4/4": 1.0625}).logs["note"].tolist()
    assert note == [
        f"too thin for a board, its bow counted; cut in two at 8 ft: about {none.value.in_two_bf:.0f} bf",
        "",
    ]
    (own_folder / "logs.csv").write_text(
        "log,species,small_in,large_in,length_ft,sweep_in\nB,white oak,7.5,8.5,16,7.5\n"
    )
    said = words(panels.own_sheet().told.value)
    assert "too thin, its bow counted. Cut it in two at 8 ft: about" in said


def test_a_label_cannot_become_a_part_of_the_saved_page():
    bad = "\"'><img src=x onerror=alert(1)>;}"
    page = page_of(rules.sawn_by(replace(OAK, label=bad), 1 / 8, {"4/4": 1.0625}), bad, Mill())
    style = page.partition("<style>")[2].partition("</style>")[0]
    assert "<img src=x" not in page and "onerror" in page and "<img" not in style and "'" not in style
    assert "&lt;img src=x" in page


def test_lessons_and_plan_start_from_one_kerf():
    assert panels.KERF_IN == Mill().kerf_in == ASSUMPTIONS["kerf_in"][0]


def test_each_limit_counts_the_bark_and_stands_to_the_sixteenth():
    """A mill that takes just what the log asks has no limit; a sixteenth less, it has."""
    log = Log(small_in=18, length_ft=12)
    plan = saw(log, 1 / 8, [1.125], "through-and-through", drop_step_in=1 / 16)
    slab = max(s.slab_in for s in set_ups(plan))
    with_bark = sqrt(1 + BARK_SHARE)
    asked = {
        "largest log": ("largest_in", room_in(plan) * with_bark, 1 / 16),
        "longest log": ("longest_ft", log.length_ft + log.trim_in / 12, 0.01),
        "widest cut": ("widest_in", widest_cut_in(plan) * with_bark, 1 / 16),
        "throat": ("throat_in", slab + room_in(plan) * (with_bark - 1) / 2, 1 / 16),
    }
    assert asked["throat"][1] > slab + 0.25
    for what, (has, needs, step) in asked.items():
        enough = ceil(needs / step - 1e-9) * step
        said = [limit.what for limit in limits(plan, Mill(**{has: enough}))]
        short = [limit.what for limit in limits(plan, Mill(**{has: enough - step}))]
        assert what not in said and what in short


def test_the_thickness_goes_by_the_wood_of_the_log_and_the_bark_is_on_until_it_is_peeled(own_folder):
    choices.keep(species="eastern white pine", thickness="8/4")
    (own_folder / "logs.csv").write_text(
        "log,species,small_in,large_in,length_ft,bark_thick_in\n"
        "B,American beech,16,17,10,\nH,shagbark hickory,16,17,10,1/2\n"
    )
    box = panels.own_sheet()
    for log, wood in (("B", "American beech"), ("H", "shagbark hickory")):
        box.dials["log"].value = log
        thick = np.ceil(usual_green_in(wood, "8/4") * 16 - 1e-9) / 16
        assert f"({thick:.7g} in), 8/4, for {wood}" in words(box.told.value)
    assert "with 1/2 in of bark left on" in words(box.told.value)
    box.dials["bark"].value = 0.0
    assert "Heights are for a log without bark" in words(box.told.value)


def test_the_sheets_of_the_plan_count_the_bark_of_the_tally():
    plan = make_plan(records.KETTLE_HOLLOW, start="2026-05-15")
    page = words(mill_pages(plan))
    for cut in plan.sawings.values():
        bark = sixteenths(round(bark_left_in(cut.log) * 16) / 16)
        assert f"with {bark} in of bark left on" in page


def test_no_cant_stands_on_edge_like_a_plank(own_folder):
    """The rule goes before "cant at most" and says so; with the rule off, no pass is printed."""
    (own_folder / "logs.csv").write_text("log,species,small_in,large_in,length_ft\nW,black walnut,26,29,10\n")
    box = panels.own_sheet()
    box.dials["most_cant"].value = 8
    assert "No cant of 8 in for this log." in words(box.told.value) and "This one is 13-1/2 in" in words(
        box.told.value
    )
    assert 'class="set-up"' in box.told.value
    box.dials["wide_cant"].value = False
    said = words(box.told.value)
    assert (
        "Not for a standing cant. One 7-1/2 in wide would stand" in said and "no mill holds this way" in said
    )
    assert 'class="set-up"' not in box.told.value


def test_every_cant_is_half_as_wide_as_its_log_and_a_narrow_foot_is_told_before_the_first_pass():
    rng = np.random.default_rng(9)
    some = [random_log(rng) for _ in range(LOGS)] + [Log(26, 29, 10, species="black walnut")]
    for log in some + logs_of(records.read(records.KETTLE_HOLLOW / "logs.csv")):
        for name, thick in (("4/4", 1.0625), ("8/4", 2.125)):
            try:
                plan = rules.sawn_by(log, 1 / 8, {name: thick})
            except TooThin:
                continue
            page = words(printed(plan, bark_in=0.5))
            before = page.split("Set-up 1 of")[0]
            turns = with_bark(set_ups(plan), 0.5)
            if plan.cant_in < log.small_in / 2:  # only where no wider one gives a board
                assert "Not for a standing cant" in before and "Pass Blade" not in page
                continue
            tall = [s for s in turns if s.cant and not s.round_side and s.tall_in > 2 * s.foot_in]
            assert bool(tall) == ("The cant stands up to" in before)
            if tall:
                reach = inches(re.search(r"stops and clamps don't reach (\S+) in", before)[1])
                assert reach >= max(s.tall_in for s in turns if s.tippy and (s.cant or not s.round_side)) / 2


@pytest.mark.parametrize("bark_in", [0.0, 0.75])
def test_a_slab_thicker_than_the_mill_has_room_for_has_its_extra_passes_printed(bark_in):
    """One number for the slab on the card and at the set-up; no pass leaves more over the blade than there is room."""
    plan = saw(Log(20, 22, 12), 1 / 8, {"4/4": 1.0625}, "cant", least_slab_in=2, drop_step_in=1 / 16)
    mill = Mill(throat_in=2)
    page = words(printed(plan, "", mill, bark_in))
    turns = with_bark(set_ups(plan), bark_in)
    slab = sixteenths(ceil(max(s.slab_in for s in turns) * 16 - 1e-6) / 16)
    assert f"A first slab is up to {slab} in thick" in page.split("Set-up 1 of")[0]
    assert f"the slab is up to {slab} in thick, and your mill has 2 in of room" in page
    for s in turns:
        at = [s.tall_in, *s.more_passes_in(2), s.cuts["blade_in"].iloc[0]]
        assert max(a - b for a, b in zip(at, at[1:], strict=False)) <= 2 + 1e-6
        assert all(f"{sixteenths(h)} in" in page for h in at[1:-1])
    reach = inches(re.search(r"stops and clamps (?:that|don't) reach (\S+) in", page)[1])
    assert reach >= max(s.tall_in for s in turns if s.tippy and (s.cant or not s.round_side)) / 2


def test_a_ladder_and_each_of_its_strips_name_the_logs_and_the_wood_and_a_blank_side_its_caution():
    def cut(mark, wide):
        log = Log(wide, wide + 1.5, 12, species="white oak", label=mark)
        return saw(log, 1 / 8, {"4/4": 1.0625}, drop_step_in=1 / 16)

    (page,) = ladder.ladders([cut("A", 14)])
    assert "The ladder: log A, white oak</h2>" in page and "For log A, white oak. " in page
    assert (
        page.count(">log A, white oak, boards 1-1/16 in<") == page.count('height="8.1in"') + 1
    )  # two pieces
    (both,) = ladder.ladders([cut("A", 14), cut("<B>", 18)])
    assert "The ladder: 2 logs, white oak" in both and "For logs A and &lt;B&gt;, white oak." in both
    template = files("woodcalc.figures").joinpath("pages/mill.html").read_text()
    assert "stays blank" in template and "Blade still and engine off before you measure" in template
