"""Tables that the tests print at the end of a run: published figures beside ours."""

import os
import sys
import tempfile
from pathlib import Path

import pytest

# Before numpy loads. The matrices are small: more threads only wait for each other, and for the other worker's.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

_tables = {}


def pytest_configure(config):
    """Lessons and tests run without the records of whoever sits at this machine."""
    os.environ["WOODCALC_MY_WOOD"] = tempfile.mkdtemp(prefix="woodcalc-")


SLOW = (
    "tests/browser/",
    "tests/hub/",
    "tests/test_start",
    "lessons/",
    "tests/test_matrix",
    "tests/test_panels",
    "tests/test_pictures",
    "tests/test_gates",
    "tests/test_handout",
    "tests/test_record_answers",
    # fits, sweeps and calibration
    "tests/test_any_wood.py",
    "tests/test_design.py::test_rules_in_print",
    "tests/test_design.py::test_the_most_glass",
    "tests/test_drying.py::test_woods_carried_over_against_their_own_ranges",
    "tests/test_drying.py::test_bands_hold_what_they_promise",
    "tests/test_drying.py::test_dates_move_smoothly_with_the_newest_reading",
    "tests/test_drying.py::test_ends_of_every_range",
    "tests/test_drying.py::test_every_dated_observation",
    "tests/test_drying.py::test_honest_stacks_are_not_refused",
    "tests/test_drying.py::test_how_sure_the_order",
    "tests/test_drying.py::test_how_far_published_ranges_go_with_water",
    "tests/test_drying.py::test_lighter_softwoods_dry_faster",
    "tests/test_drying.py::test_once_a_late_reading_is_too_wet",
    "tests/test_drying.py::test_rates_in_the_data_are_what_the_fit_gives",
    "tests/test_drying.py::test_the_fit_has_the_derivatives",
    "tests/test_drying.py::test_woods_treated_as_if_they_had_none",
    "tests/test_drying.py::test_what_the_wide_spread_of_woods_bought",
    "tests/test_kiln.py::test_a_larger_machine_is_never_slower",
    "tests/test_kiln.py::test_a_rough_look_is_near",
    "tests/test_kiln.py::test_conduction_is_that_of_a_numerical_slab",
    "tests/test_kiln.py::test_every_published_run_and_ours",
    "tests/test_kiln.py::test_green_hardwood_in_wisconsin",
    "tests/test_kiln.py::test_heat_and_water_close_each_day",
    "tests/test_kiln.py::test_more_insulation_never_takes_more_heat",
    "tests/test_kiln.py::test_solar_rules_published_and_ours",
    "tests/test_kiln.py::test_the_one_fitted_number",
    "tests/test_kiln.py::test_time_step",
    "tests/test_kiln.py::test_what_the_assumptions_are_worth",
    "tests/test_kiln.py::test_what_the_temperature_is_worth",
    "tests/test_kiln.py::test_the_fitted_number_on_all",
    "tests/test_loading.py",
    "tests/test_sawing.py::test_an_exact_solver_finds_nothing_better",
    "tests/test_sawing.py::test_wood_is_conserved_and_boards_stay_in_the_log",
    "tests/test_settings_sheet.py::test_each_log_has_a_page",
    "tests/test_settings_sheet.py::test_a_log_sawn_by_the_printed_sheet_gives_the_boards_that_it_promises",
    "tests/test_settings_sheet.py::test_a_log_that_stands_tall_on_the_narrow_end_of_its_flat_is_said_to_tip",
    "tests/test_settings_sheet.py::test_a_note_of_a_weak_heart_is_repeated_where_the_heart_is_opened",
    "tests/test_settings_sheet.py::test_a_quartered_plan_says_why_it_has_no_settings",
    "tests/test_settings_sheet.py::test_after_each_instruction_the_weight_lies_over_what_the_wood_stands_on",
    "tests/test_settings_sheet.py::test_the_desk_says_that_a_quartered_log_has_no_settings",
    "tests/test_settings_sheet.py::test_the_half_log_of_through_and_through_stands_low_on_its_widest_flat",
    "tests/test_settings_sheet.py::test_the_table_of_settings_says_that_it_is_not_the_sheet_and_holds_the_note",
    "tests/test_settings_sheet.py::test_wood_that_would_tip",
    "tests/test_settings_sheet.py::test_words_that_tell_of_metal",
    "tests/test_settings_sheet.py::test_two_people_with_a_cant_hook_turn_no_more_than_they_can_hold",
    "tests/test_danger.py::test_published_statements",
    "tests/test_slab.py::test_finite_elements",
    "tests/test_slab.py::test_method_of_lines",
    "tests/test_sawyer.py::test_each_sheet_of_kettle_hollow",
    "tests/test_sawyer.py::test_a_sheet_for_a_log_with_its_bark",
    "tests/test_sawyer.py::test_random_logs",
    "tests/test_climate.py::test_every_station",
    "tests/test_climate.py::test_rebuilt_days_keep",
    "tests/test_climate.py::test_widths_chosen",
    "tests/test_layers.py::test_each_module_loads",
    "tests/test_lesson_start.py::test_all_places_woods",
    "tests/test_mine.py",
    "tests/test_my_mill.py::test_a_mill_is_kept",
    "tests/test_my_mill.py::test_the_plan_goes_by_the_mill",
    "tests/test_my_mill.py::test_the_sheet_and_the_dials",
    "tests/test_watch.py::test_every_wood",
    "tests/test_watch.py::test_no_told_day",
    "tests/test_lesson_drying.py::test_no_part_of_the_log",
    "tests/test_lesson_framework.py::test_an_exercise_deals",
    "tests/test_places.py::test_a_station_as_high_tells",
    "tests/test_places.py::test_a_station_is_found_told",
    "tests/test_places.py::test_a_zip_code_of_each_state",
    "tests/test_places.py::test_every_panel_takes",
    "tests/test_places.py::test_towns_are_found",
    "woodcalc/plan/job",
    "woodcalc/plan/wall",
    "woodcalc/climate/places",
    "woodcalc/drying/fit",
    # one awkward row at a time through every page
    "tests/test_record_slips",
    "tests/test_record_verdicts",
    "tests/test_lesson_own_wood",
    "tests/test_script_in_cells",
    "tests/test_lesson_records",
    "tests/test_plan",
    "tests/test_lesson_plan",
    "tests/test_desk",
    "tests/test_worksheets",
    "tests/test_record_checks",
    "tests/test_record_believed",
    "tests/test_doctor",
    "tests/test_sections",
    "tests/test_record_trial",
    "tests/test_record_culprits",
    "tests/test_record_questions.py::test_a_table_that_is_gone",
    "tests/test_weigh_day",
    # other programs at work, and killed
    "tests/test_choices.py::test_four_lessons",
    "tests/test_copies.py::test_the_command",
    "tests/test_keep.py::test_killed",
    "tests/test_keep.py::test_races",
    "tests/test_kept.py::test_nothing_confirmed",
    "tests/test_kept.py::test_two_lessons",
    "tests/test_records.py::test_any_text_gives",
    "tests/test_records.py::test_killed",
    "tests/test_records.py::test_notes_of_any_kind",
    "tests/test_records.py::test_two_programs",
    "tests/test_reruns",
    "tests/bench/",
)


def pytest_collection_modifyitems(items):
    """What is `quick` is told by its place."""
    for item in items:
        if not item.nodeid.startswith(SLOW):
            item.add_marker(pytest.mark.quick)


# With `-n 3` a worker is given whole files. Those of a group share a lab, a browser or an installation.
TOGETHER = {
    "tests/browser/test_lessons": "lessons on the screen",
    "tests/browser/": "rest on the screen",
    "tests/test_start": "installs",
}
# The longest first, so that all workers end together. What is on the screen mostly waits: while two workers have
# that, a third reckons, and two processors are enough for them.
FIRST = (
    "lessons on the screen",
    "rest on the screen",
    "installs",
    "tests/hub/test_hub.py",
    "tests/test_matrix.py",
    "tests/test_plan.py",
    "tests/test_drying.py",
    "tests/test_any_wood.py",
    "tests/test_lesson_plan.py",
    "tests/test_panels.py",
    "tests/test_kiln.py",
    "tests/test_record_verdicts.py",
    "tests/test_lesson_records.py",
    "tests/test_places.py",
    "tests/test_record_checks.py",
    "tests/test_sawing.py",
    "tests/test_settings_sheet.py",
    "tests/test_lesson_start.py",
    "tests/test_gates.py",
)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    """Deal out whole files, whatever `--dist` says: what the tests of a file share is made once."""
    from xdist.scheduler import LoadScopeScheduling

    class WholeFiles(LoadScopeScheduling):
        def _split_scope(self, nodeid):
            file = nodeid.partition("::")[0]
            return next((name for place, name in TOGETHER.items() if file.startswith(place)), file)

        def _assign_work_unit(self, node):
            for name in FIRST:
                if name in self.workqueue:
                    self.workqueue.move_to_end(name, last=False)
                    break
            super()._assign_work_unit(node)

    return WholeFiles(config, log)


@pytest.fixture(autouse=True)
def nothing_written_yet():
    """What one test types into a box does not come back in the next."""
    yield
    (Path(os.environ["WOODCALC_MY_WOOD"]) / "written.json").unlink(missing_ok=True)


@pytest.fixture(autouse=True, scope="module")
def boxes_closed():
    """No box outlives the file that made it: it would be drawn anew whenever another file changes a choice."""
    yield
    if own := sys.modules.get("woodcalc.lesson.own"):
        own._FOLLOWS.clear()
    if widgets := sys.modules.get("ipywidgets"):
        widgets.Widget.close_all()


@pytest.fixture
def report():
    """Give a function `report(title, dataframe)` that prints the table in the summary of the test run."""

    def add(title, table):
        _tables[title] = _as_text(table)

    return add


@pytest.fixture
def scored():
    """Give a function `scored(number, column=words, ...)`: the scorecard says what was just measured."""
    from woodcalc import tables

    card = tables.read("scorecard").set_index("number")

    def check(number, **measured):
        for column, words in measured.items():
            said = card.loc[number, column]
            assert words in said, f"data/scorecard.csv, {number}, {column}: measured {words!r}, says {said!r}"

    return check


def _as_text(table):
    if not hasattr(table, "to_string"):
        return str(table)
    return table.to_string(index=False, float_format=lambda x: f"{x:.4g}")


def pytest_sessionfinish(session):
    """A worker of several hands its tables over."""
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["tables"] = _tables


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node):
    _tables.update(getattr(node, "workeroutput", {}).get("tables", {}))


def pytest_terminal_summary(terminalreporter):
    for title, text in sorted(_tables.items()):
        terminalreporter.section(title, sep="-")
        terminalreporter.write_line(text)
