"""The learner's own logs, stacks and choices set the dials of every lesson's panels."""

import html
import shutil

import pytest
from test_panels import HIDDEN, MAKERS

from woodcalc.disk import SaveError
from woodcalc.lesson import mine, own
from woodcalc.lesson import records as records_panels
from woodcalc.lesson import stack as stack_panels
from woodcalc.lesson.mine import EXAMPLE, Wanted, offers, want
from woodcalc.lesson.weigh_day import weigh_day
from woodcalc.lesson.whose import AS_PRINTED, whose_wood
from woodcalc.records import choices
from woodcalc.records.own_mill import keep_mill
from woodcalc.sawing.mill import Mill


@pytest.fixture(autouse=True)
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))
    return tmp_path / "my-wood"


def shown(panel):
    return panel.whose_row.layout.display != "none"


def keep_kettle_hollow(folder):
    shutil.copytree(choices.KETTLE_HOLLOW, folder)


def made(name):
    return MAKERS[name](**HIDDEN.get(name, {}))


@pytest.mark.parametrize("name", MAKERS)
def test_nothing_is_offered_until_something_is_kept(name):
    assert not shown(made(name))


def test_a_log_sets_the_dials_and_the_example_sets_them_back(my_wood):
    keep_kettle_hollow(my_wood)
    panel = made("logs.weight_panel")
    assert shown(panel) and len(panel.whose.options) == 19
    first = {name: dial.value for name, dial in panel.dials.items()}
    panel.whose.index = 3
    assert panel.whose.label == "my log 3: 14-1/2 in, 10 ft, northern red oak"
    assert (panel.dials["small_in"].value, panel.dials["length_ft"].value) == (14.5, 10)
    assert panel.dials["taper_in_per_4ft"].value == pytest.approx(0.6)  # 1-1/2 in on 10 ft
    assert (
        "A northern red oak log of 14-1/2 to 16 in and 10 ft" in panel.reading and not panel.note_line.value
    )
    panel.whose.value = EXAMPLE
    assert {name: dial.value for name, dial in panel.dials.items()} == first


def test_a_stack_sets_wood_thickness_place_and_month(my_wood):
    keep_kettle_hollow(my_wood)
    panel = made("drying.curve_panel")
    panel.whose.index = [says for says, _ in panel.whose.options].index(
        "my stack B: eastern white pine, 4/4, Madison, WI"
    )
    assert [panel.dials[k].value for k in ("wood", "thickness", "place", "month")] == [
        "eastern white pine", "4/4", "Madison, WI", 6,
    ]  # fmt: skip


def test_choices_are_offered_and_follow_a_save(my_wood):
    panel = made("drying.curve_panel")
    choices.keep(species="black cherry", thickness="8/4", place="Burlington, VT", month=10)
    own.saved()
    assert shown(panel) and panel.whose.value == EXAMPLE
    panel.whose.index = 1
    assert panel.whose.label == "my choices: black cherry, 8/4, Burlington, VT"
    assert panel.dials["month"].value == 10 and panel.reading.startswith("Black cherry 8/4")


def test_what_a_dial_cannot_show_is_said(my_wood):
    choices.keep(species="sassafras", thickness="9/4")
    panel = made("plan.calendar_panel")
    panel.whose.index = 1
    assert panel.dials["species"].value == "sassafras"  # every wood is on every dial
    assert "Thickness: 9/4 is not on this dial." in panel.note_line.value
    panel.dials["month"].value = 8
    assert panel.note_line.value == ""


def test_damaged_records_offer_what_can_be_read(my_wood):
    keep_kettle_hollow(my_wood)
    (my_wood / "logs.csv").write_text("nonsense")
    (my_wood / "stacks.csv").write_bytes(b"\xff\x00\xfe")
    assert offers({"small_in": "Small end (in)", "species": "Wood"}) == []
    panel = made("logs.weight_panel")
    assert not shown(panel) and panel.reading


def test_the_panel_that_keeps_the_choices_offers_none(my_wood):
    choices.keep(species="black cherry")
    from woodcalc.lesson.start import choices_panel

    assert [says for says, _ in choices_panel().whose.options] == [EXAMPLE]


def test_a_month_is_set_only_where_it_is_the_month_of_stacking(my_wood):
    keep_kettle_hollow(my_wood)
    choices.keep(species="black cherry", month=4)
    for name in (
        "kiln.solar_weeks_panel",
        "kiln.house_panel",
        "kiln.three_ways_panel",
        "air.shed_today_panel",
    ):
        panel = made(name)
        before = panel.dials["month"].value
        panel.whose.index = len(panel.whose.options) - 1
        assert panel.dials["month"].value == before, name
    for name in ("drying.curve_panel", "drying.side_by_side_panel", "plan.calendar_panel"):
        panel = made(name)
        panel.whose.index = 1
        assert panel.dials["month"].value == 4, name
    assert not shown(made("movement.gauge_panel"))


def test_a_panel_that_starts_from_the_learners_choices_says_so(my_wood):
    choices.keep(species="black cherry", thickness="8/4", place="Burlington, VT", month=10)
    assert made("drying.my_stack_panel").whose.label == "my choices: black cherry, 8/4, Burlington, VT"
    assert made("drying.curve_panel").whose.label == EXAMPLE


def test_an_offer_says_what_it_sets_whatever_the_dials(my_wood):
    keep_kettle_hollow(my_wood)
    choices.keep(species="black cherry", thickness="8/4")
    says = [
        says for says, _ in offers({"nominal_in": "Thickness of the boards", "pile_width_in": "Pile (in)"})
    ]
    assert says[:2] == ["my choices: 8/4", "my stack A: 4/4, pile 48 in wide"]
    for panel in map(made, MAKERS):
        assert not [text for text, _ in panel.whose.options if text.rstrip().endswith(":")]


def switch():
    made = whose_wood()
    return made, lambda: made.button.click()


def test_one_press_sets_every_panel_of_the_lesson_and_one_sets_them_back(my_wood):
    keep_kettle_hollow(my_wood)
    panels = [made(name) for name in MAKERS]
    first = [{name: dial.value for name, dial in panel.dials.items()} for panel in panels]
    box, press = switch()
    assert box.button.description == (
        "Set all dials of this lesson to mine: log 18, stack C, black walnut 8/4, Madison, WI"
    )
    press()
    assert box.button.description == AS_PRINTED
    moved = [panel for panel in panels if panel.whose.value != EXAMPLE]
    assert len(moved) > 25
    for panel in moved:
        assert panel.whose.label.startswith(("my log 18", "my stack C"))
    for panel in panels:
        if panel.whose.value == EXAMPLE and panel.whose_row.layout.display != "none":
            assert "These dials stay as printed: " in panel.stays_line.value
    press()
    assert [{name: dial.value for name, dial in panel.dials.items()} for panel in panels] == first
    assert not any(panel.stays_line.value for panel in panels)


def test_the_switch_is_remembered_with_its_log_and_stack(my_wood):
    keep_kettle_hollow(my_wood)
    box, press = switch()
    press()
    box.which_log.value, box.which_stack.value = "my log 3", "my stack B"
    another_day, _ = switch()
    assert (another_day.button.description, another_day.which_log.value) == (AS_PRINTED, "my log 3")
    panel = made("drying.curve_panel")  # made after the press, as the next day
    assert panel.whose.label.startswith("my stack B") and panel.dials["wood"].value == "eastern white pine"
    assert "Your own, as it stood on" in panel.still()
    assert made("logs.weight_panel").dials["small_in"].value == 14.5
    assert choices.kept_choices() == choices.Choices()  # and nothing else


def test_a_stack_is_told_by_its_own_day_and_year_or_a_line_says_what_the_dial_shows(my_wood):
    my_wood.mkdir()
    rows = "W8,northern red oak,8/4,2026-05-15\nW9,white oak,8/4,2026-08-01\n"
    (my_wood / "stacks.csv").write_text("stack,species,nominal,stacked\n" + rows)
    want(Wanted(True, "", "my stack W9"))
    curve, calendar, weeks = map(
        made, ("drying.curve_panel", "plan.calendar_panel", "stack.first_weeks_panel")
    )
    assert "stacked on 1 August 2026 at" in curve.reading and "2027" in curve.reading
    assert "on sticks on 1 Aug 2026" in calendar.reading
    assert "went up on 1 August 2026. The dial shows mid-August." in weeks.day_line.value
    assert not curve.day_line.value
    curve.dials["month"].value = 6  # another stack than one's own
    assert "stacked on 15 June at" in curve.reading and "2027" not in curve.reading
    weeks.dials["month"].value = 6
    assert not weeks.day_line.value
    want(Wanted(True, "", "my stack W8"))
    own.look_again("mine: ")
    assert weeks.dials["month"].value == 5 and not weeks.day_line.value


def test_what_has_no_dial_and_stays_as_printed_is_said_where_ones_own_differs(my_wood):
    my_wood.mkdir()
    (my_wood / "logs.csv").write_text(
        "log,species,small_in,length_ft\n1,white oak,16,10.5\n2,white oak,16,12\n"
    )
    (my_wood / "stacks.csv").write_text("stack,species,nominal,stacked\nW8,white oak,8/4,2026-05-15\n")
    want(Wanted(True, "my log 1", "my stack W8"))
    sheet = made("sawing.sheet_panel")
    assert "A 12 ft log, as printed: your log is 10 ft 6 in." in sheet.day_line.value
    assert "4/4 boards, as printed: your stack is 8/4." in sheet.day_line.value
    assert [text for text, _ in sheet.whose.options] == [EXAMPLE, "my log 1: 16 in", "my log 2: 16 in"]
    assert "4/4 boards, as printed" in made("moisture.board_panel").day_line.value
    want(Wanted(True, "my log 2", "my stack W8"))
    assert not made("sawing.dried_panel").day_line.value  # 12 ft is what it shows


def test_a_panel_that_cannot_take_it_says_why(my_wood):
    choices.keep(species="black cherry", thickness="8/4")
    _, press = switch()
    press()
    assert "no log in your records yet" in made("logs.weight_panel").stays_line.value
    assert "they are about no log" in made("air.emc_panel").stays_line.value
    assert "your own mill is not measured yet" in made("sawing.rules_panel").stays_line.value
    calendar = made("plan.calendar_panel")
    assert calendar.dials["species"].value == "black cherry" and not calendar.stays_line.value


def test_a_log_that_is_gone_makes_way_and_a_damaged_choice_changes_nothing(my_wood):
    keep_kettle_hollow(my_wood)
    mine.want(mine.Wanted(True, "my log 99", "my stack Z"))
    assert (mine.wanted().log, mine.wanted().stack) == ("my log 18", "my stack C")
    choices.change(lambda kept: {**kept, mine.KEPT_AS: ["nonsense"]})
    assert not mine.wanted().on
    assert made("logs.weight_panel").whose.value == EXAMPLE


def test_what_cannot_be_kept_counts_in_this_lesson_and_is_said(my_wood, monkeypatch):
    keep_kettle_hollow(my_wood)

    def full(path, what):
        raise SaveError("the disk is full.")

    with monkeypatch.context() as now:
        now.setattr(choices, "save", full)
        box, press = switch()
        panel = made("logs.weight_panel")
        press()
        assert panel.whose.label.startswith("my log 18")
        assert "can't be kept for the others" in html.unescape(box.unkept_line.value)
    press()
    assert panel.whose.value == EXAMPLE and not box.unkept_line.value


def test_a_log_of_ones_own_comes_with_the_mill_where_both_are_on_the_dials(my_wood):
    keep_kettle_hollow(my_wood)
    keep_mill(Mill(kerf_in=0.09))
    mine.want(mine.Wanted(True))
    panel = made("sawing.patterns_panel")
    assert panel.whose.label == "my log 18 and my mill: 12-1/2 in, 8 ft; kerf 0.09 in"
    assert (panel.dials["small_in"].value, panel.dials["kerf_in"].value) == (12.5, 0.09)


def test_the_lists_of_ones_own_begin_with_what_the_switch_shows(my_wood):
    keep_kettle_hollow(my_wood)
    want(Wanted(True, "my log 3", "my stack B"))
    assert made("drying.my_stack_panel").dials["stack"].value == "B"
    assert records_panels.own_stack_panel().dials["stack"].value == "B"
    assert weigh_day().stack.value == "B"
    assert made("logs.own_log_panel").dials["log"].value.startswith("3")
    want(Wanted(False, "my log 3", "my stack B"))
    assert made("drying.my_stack_panel").dials["stack"].value != "B"  # those with readings come first


def test_a_stack_without_boards_gives_a_first_pile(my_wood):
    my_wood.mkdir()
    rows = 'W8,northern red oak,4/4,2026-05-15,600,4\nW9,white oak,8/4,2026-08-01,"1,250",4\n'
    (my_wood / "stacks.csv").write_text("stack,species,nominal,stacked,board_feet,width_ft\n" + rows)
    want(Wanted(True, "", "my stack W9"))
    panel = stack_panels.own_panel()
    assert panel.dials["pile"].value == "Stack W9: white oak, 8/4"
    assert "Kettle Hollow" not in panel.still()
    assert (
        "first pile from its 1,250 board feet, as if they were 78 boards 8 in wide and 12 ft long"
        in panel.still()
    )


def test_a_panel_that_shows_ones_own_says_what_the_tasks_speak_of_and_sets_it_with_a_press(my_wood):
    keep_kettle_hollow(my_wood)
    panel = made("logs.log_end_panel")
    assert not panel.tasks_line.value and panel.tasks_button.layout.display == "none"
    _, press = switch()
    press()
    own = {name: dial.value for name, dial in panel.dials.items()}
    assert (
        "The tasks speak of the book&#x27;s example: narrowest way, inside bark: 16 in; length: 12 ft."
        in (panel.tasks_line.value)
    )
    panel.tasks_button.click()
    assert (panel.dials["short_in"].value, panel.dials["length_ft"].value) == (16, 12)
    assert "These dials stand as the tasks ask." in panel.tasks_line.value
    panel.tasks_button.click()
    assert {
        name: dial.value for name, dial in panel.dials.items()
    } == own and "16 in" in panel.tasks_line.value
    press()
    assert not panel.tasks_line.value and panel.tasks_button.layout.display == "none"
