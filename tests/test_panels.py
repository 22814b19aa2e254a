"""Every panel of every lesson: each dial tells in picture and sentence, and every setting draws, in large print too."""

import html
from importlib import import_module

import ipywidgets as w
import pytest
from svg_text import off_page, written_over

from woodcalc.figures.style import to_img, to_svg
from woodcalc.lesson.box import plain
from woodcalc.lesson.exercise import TOPICS
from woodcalc.lesson.panel import Panel, slider
from woodcalc.records import choices
from woodcalc.records.amounts import unit_of

HIDDEN = {  # panels that keep a truth back are made with one
    "logs.oval_end_panel": dict(short_in=13, long_in=17, lies_deg=60),
    "sawing.unknown_mill_panel": dict(kerf_in=0.1875),
    "shrinkage.block_panel": dict(shrink_pct=8.4),
    "moisture.unknown_board_panel": dict(board_mc_pct=72.5),
    "air.shed_block_panel": dict(temp_f=70, rh_pct=65, dry_oz=10.0),
    "drying.stack_to_save_panel": dict(wind_times=4.0),
    "records.unknown_stack_panel": dict(pace=0.7, seed=3),
    "kiln.sample_board_panel": dict(collector_ft2=100, start_pct=80, dry_lb=5.0),
    "plan.unknown_month_panel": dict(month=3),
}
NO_PICTURE = {"start.ready_panel", "start.switches_panel"}  # see tests/test_lesson_start.py
SENTENCE_STAYS = {  # what is drawn changes, what is found does not
    ("logs.log_end_panel", "bark_in"),  # the rules measure inside the bark
    ("logs.log_end_panel", "shown"),
    ("sawing.first_cut_panel", "curve"),
    ("sawing.rules_panel", "shown"),
}
FIRST = {"records.learning_panel": dict(entered=8)}  # without readings there is nothing to use or to mistype


def _panels():
    for topic in (*TOPICS, "maps", "own_kiln"):
        module = import_module(f"woodcalc.lesson.{topic}")
        for name, value in vars(module).items():
            if name.endswith("_panel") and value.__module__ == module.__name__:
                yield f"{topic}.{name}", value


MAKERS = {name: make for name, make in _panels() if name not in NO_PICTURE}
every_panel = pytest.mark.parametrize("name", MAKERS)
# the thickest stock is outside what the rule for thickness was checked on: drawn, and said
pytestmark = pytest.mark.filterwarnings("ignore:.* is thicker than 8/4:woodcalc.checks.RangeWarning")


@pytest.fixture(autouse=True)
def my_wood(tmp_path, monkeypatch):
    """A folder of its own: one panel keeps what is chosen on it."""
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))


def made(name):
    panel = MAKERS[name](**HIDDEN.get(name, {}))
    assert isinstance(panel, Panel)
    return panel


def options(widget):
    """All values of a list or a switch; nothing for a slider."""
    if hasattr(widget, "options"):
        return [value for _, value in widget._options_full]
    return [] if hasattr(widget, "min") else [False, True]


def ends(widget):
    """The first and the last value that a dial can take."""
    values = options(widget) or [widget.min, widget.max]
    return values[0], values[-1]


def steps(widget):
    """How many steps a slider has."""
    return round((widget.max - widget.min) / widget.step)


@every_panel
def test_each_dial_changes_picture_and_sentence_at_both_ends(name):
    panel = made(name)
    for dial, value in FIRST.get(name, {}).items():
        panel.dials[dial].value = value
    for dial, widget in panel.dials.items():
        start, seen = widget.value, []
        for value in ends(widget):
            widget.value = value
            beyond = value == "16/4" or value == 4.0 and dial == "nominal_in"
            assert panel.note_line.value == "" or (beyond and "thicker than 8/4" in panel.note_line.value), (
                dial,
                value,
            )
            assert html.escape(panel.reading) in panel.reading_line.value
            assert len(panel.picture.value) < 80_000  # travels at each move of a slider
            seen.append((panel.picture.value, panel.reading))
        (low, said_low), (high, said_high) = seen
        assert low != high, dial
        assert (said_low == said_high) == ((name, dial) in SENTENCE_STAYS), dial
        widget.value = start


def corners(dials):
    """Settings at the ends of all dials: all of them up to three dials, beyond that eight, sixteen, and so on.

    They are an orthogonal array: any two dials meet at all four pairs of their ends.
    """
    some = (1, 2, 4, 7, 3, 5, 6)
    masks = dict(zip(dials, (*some, *range(8, len(dials) + 1)), strict=False))
    return {
        tuple(ends(dials[name])[(corner & mask).bit_count() % 2] for name, mask in masks.items())
        for corner in range(2 ** min(len(dials), max(3, len(dials).bit_length())))
    }


@every_panel
def test_corners_draw_in_large_print(name):
    panel = made(name)
    for corner in corners(panel.dials):
        figure, sentence, *_ = panel.draw(**dict(zip(panel.dials, corner, strict=True)), big=True)
        assert len(to_img(figure, sentence)) < 80_000 and "nan" not in sentence.split(), corner


@every_panel
@pytest.mark.parametrize("big", [False, True], ids=["plain", "large print"])
def test_no_words_leave_the_page_or_lie_on_others(name, big):
    """Each dial through its whole range, the others as they start, and all corners."""
    panel = made(name)
    dials = panel.dials
    start = {dial: widget.value for dial, widget in dials.items()} | FIRST.get(name, {})
    settings = [dict(zip(dials, corner, strict=True)) for corner in corners(dials)]
    for dial, widget in dials.items():
        values = options(widget) or [widget.min + k * widget.step for k in range(steps(widget) + 1)]
        settings += [start | {dial: value} for value in values[:: 1 + len(values) // 8]]
    bad = {}
    for setting in settings:
        try:
            svg = to_svg(panel.draw(**setting, big=big)[0])
        except ValueError:
            continue  # said in words; the last picture stays
        if wrong := off_page(svg) + written_over(svg):
            bad[str(setting)] = wrong
    assert not bad, bad


@every_panel
def test_the_options_of_a_list_draw(name):
    """All woods and places for the stack and for boards in service; elsewhere every seventh of a long list."""
    panel = made(name)
    now = {dial: widget.value for dial, widget in panel.dials.items()}
    for dial, widget in panel.dials.items():
        values = options(widget)
        few = 1 if len(values) < 14 or name.startswith(("stack.", "movement.")) else 7
        for value in values[::few]:
            assert panel.draw(**now | {dial: value})[1], (dial, value)


@every_panel
def test_a_panel_made_again_shows_the_same(name):
    first, again = made(name), made(name)
    assert first.picture.value == again.picture.value and first.reading == again.reading
    assert len(first.picture.value) < 80_000


def _takes_its_unit(label, field, takes):
    """A field whose label ends in a unit takes a number with that unit behind it, or before it for dollars."""
    in_label = label.removesuffix(")").rpartition(" (")[2]
    unit = unit_of(in_label)
    if not unit or not field.value.strip():
        return
    was = field.value
    for text in (f"{was} {unit}", f"${was}" if unit == "$" else f"{was}{unit}", was):
        field.value = text
        assert takes(), (label, text)
        assert field.value == text


@every_panel
def test_a_dial_takes_a_number_in_the_unit_of_its_label(name):
    panel = made(name)
    for dial in panel.all_dials:
        if dial.field:
            stands = dial.widget.value
            _takes_its_unit(
                dial.label,
                dial.field,
                lambda d=dial, at=stands: d.field.told == "" and abs(d.widget.value - at) < 0.04,
            )


@pytest.mark.parametrize(
    "name",
    ["logs.own_price", "logs.standing_tree", "sawing.own_worth", "moisture.own_sample_board", "mill.my_mill"],
)
def test_a_field_takes_a_number_in_the_unit_of_its_label(name):
    topic, _, box = name.partition(".")
    made_of = getattr(import_module(f"woodcalc.lesson.{topic}"), box)()
    for dial in made_of.all_dials:
        if isinstance(dial.widget, w.Text):
            _takes_its_unit(dial.label, dial.widget, lambda: "expected" not in plain(made_of.told.value))


def test_a_price_by_the_piece_takes_dollars():
    box = import_module("woodcalc.lesson.logs").own_price()
    box.dials["price"].value, box.dials["piece"].value = "$450", "$62.50"
    assert "at $450 a thousand" in plain(box.told.value) and "at $62.50 are" in plain(box.told.value)


def test_a_log_measured_in_centimeters_stands_on_a_dial_as_a_tape_shows_it():
    dial = slider("short_in", "Narrowest way, inside bark (in)", 6.0, 40.0, 0.5, 16.0)
    dial.field.put(45 / 2.54)
    assert (dial.field.value, dial.widget.value) == ("17-11/16", 45 / 2.54)
