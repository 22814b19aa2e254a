"""A number as people write it is read or refused, and never changed: in dials, answers, fields and guesses."""

import html
import re

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from woodcalc import records
from woodcalc.checks import InputError
from woodcalc.lesson.answers import ask, guess
from woodcalc.lesson.exercise import every, seeded
from woodcalc.lesson.panel import slider
from woodcalc.lesson.worked import one_number
from woodcalc.records.amounts import UNITS, read_amount, read_amount_of_any_unit, unit_of
from woodcalc.records.cells import number
from woodcalc.sizes import feet_and_inches, fraction

# fmt: off
READ = [  # what is written, the unit of the field, what it is
    ("12", "in", 12), ("12.5", "in", 12.5), ("12,5", "in", 12.5), (".5", "in", 0.5), ("0,125", "in", 0.125),
    ("1/8", "in", 0.125), ("7/8", "in", 0.875), ("9/8", "in", 1.125), ("16/4", "in", 4), ("12/8", "in", 1.5),
    ("9/16 in", "in", 0.5625),
    ('1/8"', 'in', 0.125), ("1-1/8", "in", 1.125), ("1 1/8", "in", 1.125), ("1-1/8 in", "in", 1.125),
    ("26 1/2", "in", 26.5), ('26-1/2"', 'in', 26.5), ("1¼", "in", 1.25), ("½", "in", 0.5),
    ("1 ½ in", "in", 1.5), ("26½″", "in", 26.5), ("26–1/2", "in", 26.5), ("12 inches", "in", 12),
    ("12 Inch", "in", 12), ("12 in.", "in", 12), ("  12  ", "in", 12), ("12\xa0in", "in", 12),
    ('10\' 6"', 'ft', 10.5), ("10 ft 6 in", "ft", 10.5), ('10\' 6"', 'in', 126), ("8'", 'ft', 8),
    ("8 feet", "ft", 8), ("12 ft", "in", 144), ("18 in", "ft", 1.5), ("10 ft. 6 in.", "ft", 10.5),
    ("10′ 6″", "ft", 10.5), ("8½ ft", "ft", 8.5), ("1,250", "bf", 1250), ("1,250 bf", "bf", 1250),
    ("12,500.5", "lb", 12500.5), ("1.250,5", "lb", 1250.5), ("1e3", "bf", 1000), ("7.5 board feet", "bf", 7.5),
    ("7,5 bf", "bf", 7.5), ("5 %", "% MC", 5), ("5%", "%", 5), ("18,7 % MC", "% MC", 18.7),
    ("62.2 percent", "%", 62.2), ("5 percent MC", "% MC", 5), ("5 pct", "% a day", 5),
    ("5.2 % a day", "% a day", 5.2), ("$9.45", "dollars", 9.45), ("9.45 $", "dollars", 9.45),
    ("$1,250", "$", 1250), ("9.45 dollars", "$ a board foot", 9.45), ("7.95 lb", "lb", 7.95),
    ("7.95 pounds", "lb", 7.95), ("9 lb 5 oz", "lb", 9.3125), ("9 lbs. 5-1/2 oz", "lb", 9.34375),
    ("8 3/4 lbs", "lb", 8.75), ("454 g", "g", 454), ("98,55 grams", "g", 98.55),
    ("70 F", "F", 70), ("70 °F", "F", 70), ("-5", "F", -5), ("−5 F", "F", -5), ("70 degrees F", "F", 70),
    ("+4", "F", 4), ("3 boards", "boards", 3), ("1 board", "boards", 1), ("12 days", "days", 12),
    ("6 h", "h", 6), ("7 loads", "loads", 7), ("98 thousandths", "thousandths of an inch", 98),
    ("5.5 points", "points of MC", 5.5), ("6.7 in 100", "in 100", 6.7),
]
REFUSED = [  # what is written, the unit of the field, what is said
    ("", "in", "begin with a number"), ("about ten", "in", "begin with a number"),
    ("about 12", "in", "begin with a number"), ("12 to 14", "in", "Only one number"),
    ("12 14", "in", "Only one number"), ("1 250", "bf", "Only one number"), ("12-", "in", "stand for"),
    ("1/0", "in", "fraction"), ("1,25,0", "in", "Only one number"), ("12;5", "in", "Only one number"),
    ("--5", "F", "begin with a number"), ("2424 kg", "lb", "pounds, not in kilograms. 2424 kg is 5344 lb: type 5344."),
    ("454 g", "lb", "pounds, not in grams. 454 g is 1.001 lb: type 1.001."),
    ("35 cm", "in", "inches, not in centimeters. 35 cm is 13.8 in: type 13-3/4."),
    ("2.5 cm", "in", "inches, not in centimeters. 2.5 cm is 0.984 in: type 0.984."),
    ("2,5 cm", "in", "inches, not in centimeters. 2,5 cm is 0.984 in: type 0.984."),
    ("35cm", "in", "inches, not in centimeters. 35cm is 13.8 in: type 13-3/4."),
    ("3 mm", "in", "inches, not in millimeters. 3 mm is 0.118 in: type 0.118."),
    ("1.2 m", "ft", "feet, not in meters. 1.2 m is 3.937 ft: type 3.937."),
    ("250 cm", "ft", "feet, not in centimeters. 250 cm is 8.202 ft: type 8.202."),
    ("40 kg", "lb", "pounds, not in kilograms. 40 kg is 88.18 lb: type 88.18."),
    ("12 oz", "lb", "pounds, not in ounces. 12 oz is 0.75 lb: type 0.75."),
    ("2 lb", "g", "grams, not in pounds. 2 lb is 907.2 g: type 907.2."),
    ("2 days", "h", "hours, not in days. 2 days is 48 h: type 48."),
    ("21 C", "F", "Fahrenheit, not in degrees Celsius. 21 C is 69.8 F: type 69.8."),
    ("3 weeks", "days", "days, not in weeks. 3 weeks is 21 days: type 21."),
    ("405 cents", "dollars", "dollars, not in cents. 405 cents is 4.05 $: type 4.05."),
    ("-5 °C", "F", "Fahrenheit, not in degrees Celsius. -5 °C is 23 F: type 23."),
    ("5 %", "in", "inches, not in percent"),
    ("$5", "lb", "pounds, not in dollars"), ("5 lb", "% MC", "% of dry weight, not in pounds"),
    ("3 ft", "boards", "boards, not in feet"), ('3 dozen', 'boards', "'dozen' stand for"),
    ('12 x', 'in', "'x' stand for"), ("1e400", "bf", "one number"), ("999999999999", "bf", "too large"),
    ("99999999999999999999999999999999999999999999999999", "bf", "begin with a number"),
    ("141/2", "in", "141/2 could be 14-1/2, or 70.5. Write which"), ("81/2 ft", "ft", "8-1/2, or 40.5"),
    ('153/4"', "in", "15-3/4, or 38.25"), ("213/16", "in", "21-3/16 or 2-13/16, or 13.3125"),
    ("1 41/2", "in", "fraction"), ("11/8", "in", "1-1/8, or 1.375"), ("81/2 lb", "lb", "8-1/2, or 40.5"),
    ("8' 61/2\"", "ft", "Only one number"),
    ("9 lb 17 oz", "lb", "Only one number"),
    ("nan", "in", "begin with a number"), ("inf", "in", "begin with a number"),
    ("5 m", "days", "days, not in meters"), ("1'250", 'bf', 'one number'),
]
# fmt: on


@pytest.mark.parametrize(("text", "unit", "value"), READ)
def test_read_everywhere_alike(text, unit, value):
    assert read_amount(text, unit) == pytest.approx(value, abs=1e-12)
    assert one_number(text, "Field", -1e6, 1e6, unit) == pytest.approx(value, abs=1e-12)
    dial = slider("x", f"Dial ({unit})", -1e6, 1e6, 0.1, 3.2)
    dial.field.value = text
    assert (dial.widget.value, dial.field.told) == (pytest.approx(value, abs=1e-12), "")
    mine = guess("How much?", unit)
    mine.field.value = text
    assert "Noted: " in mine.said_line.value


def taken_for(says):
    """What a number in another unit is in the field's own, as the sentence that refuses it says."""
    found = re.search(r": type ([\d./-]+)\.$", says)
    return found and read_amount(found[1])


@pytest.mark.parametrize(("text", "unit", "says"), REFUSED)
def test_refused_alike_but_that_a_dial_takes_another_unit_and_says_so(text, unit, says):
    with pytest.raises(InputError, match=re.escape(says)):
        read_amount(text, unit)
    with pytest.raises(InputError, match="expected a number"):
        one_number(text, "Field", -1e6, 1e6, unit)
    dial = slider("x", f"Dial ({unit})", -1e6, 1e6, 0.1, 3.2)
    dial.field.value = text
    if (value := taken_for(says)) is not None:
        assert dial.widget.value == pytest.approx(value) and dial.field.told == ""
        assert says.endswith(f": type {re.findall(' is ([^ ]+) ', dial.field.taken)[0]}.")
        assert dial.field.value == text
        dial.widget.value = 3.3  # moved by hand, it is as the slider says
        assert (dial.field.value, dial.field.taken) == ("3.3", "")
    elif text:  # an emptied field shows where the dial stands
        assert says in dial.field.told and "The dial stays at 3.2." in dial.field.told
        assert (dial.widget.value, dial.field.value) == (3.2, text)
    mine = guess("How much?", unit)
    mine.field.value = text
    assert "Noted" not in mine.said_line.value


KINDS = {"in": "in", "ft": "ft", "F": "F"}  # of columns, by the unit of a field; all others are plain numbers


@pytest.mark.parametrize(("text", "unit", "value"), READ)
@pytest.mark.parametrize("decimal", ["", ".", ","])
def test_a_cell_of_a_table_reads_the_same_or_refuses(text, unit, value, decimal):
    found, why = number(text, KINDS.get(unit, "number"), unit if unit in KINDS else "", decimal)
    if decimal == "," and text in ("1,250", "1,250 bf"):
        assert found == 1.25  # of a file whose commas part decimals
    elif found is None:
        assert why or unit not in KINDS, text  # a word of the field's own means nothing in a table
    else:
        assert found == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize(("text", "unit", "says"), REFUSED)
def test_a_cell_of_a_table_refuses_or_takes_the_other_unit_for_what_it_is(text, unit, says):
    found, _ = number(text, KINDS.get(unit, "number"), unit if unit in KINDS else "", "")
    meant = re.search(r" is ([\d.]+) \w+: type", says)
    if text == "999999999999":  # the range of its column refuses it
        meant = (text, text)
    assert found is None or (meant and found == pytest.approx(float(meant[1]), rel=0.01))


@given(st.integers(-99999, 99999))
def test_whole_numbers_come_back(n):
    assert read_amount(f"{n:,}") == read_amount(f"{n}") == n


@given(st.integers(0, 64 * 400))
def test_what_a_tape_shows_comes_back(parts):
    assert read_amount(fraction(parts / 64, 64), "in") == parts / 64
    assert read_amount(feet_and_inches(parts / 64, 64), "in") == parts / 64


def test_a_dial_takes_a_number_between_its_steps_and_refuses_one_past_its_end():
    length = slider("length_ft", "Length (ft)", 8.0, 16.0, 2.0, 12.0)
    length.field.value = "8.5 ft"
    assert (length.widget.value, length.field.value, length.field.told) == (8.5, "8.5 ft", "")
    length.field.value = "33.5"
    assert (length.widget.value, length.field.value) == (8.5, "33.5")
    assert length.field.told == "Length: found '33.5'; expected a number from 8 to 16. The dial stays at 8.5."
    length.widget.value = 10.0  # the slider is moved
    assert (length.field.value, length.field.told) == ("10", "")


def test_a_dial_of_whole_numbers_takes_no_other():
    boards = slider("boards", "Boards read each time (number)", 1, 4, 1, 1)
    boards.field.value = "2 1/2"
    assert boards.widget.value == 1
    assert boards.field.told.startswith(
        "Boards read each time: found '2 1/2'; expected a whole number from 1 to 4."
    )
    boards.field.value = "3 boards"
    assert (boards.widget.value, type(boards.widget.value), boards.field.told) == (3, int, "")


def test_a_dial_shows_inches_as_the_tape_does():
    kerf = slider("kerf_in", "Kerf (in)", 0.0625, 0.5, 0.0625, 0.125)
    assert kerf.field.value == "1/8"
    kerf.widget.value = 0.1875
    assert kerf.field.value == "3/16"
    assert slider("x", "Sag (in)", 0.0, 1.0, 0.05, 0.25).field.value == "0.25"  # it goes by twentieths


def marked(key, text):
    box = ask(key)
    box.field.value = text(box.exercise.solve(**box.numbers))
    return box.feedback.value


def test_an_answer_is_repeated_as_it_was_typed():
    said = marked("what-the-fans-cost", lambda truth: f"{truth:.2f}".replace(".", ","))
    assert re.search(r"Right: \d+,\d\d dollars. Worked through, it is \d+[.]\d\d dollars", said)
    assert "Not yet: 1e6 dollars is too high" in marked("what-the-fans-cost", lambda truth: "1e6")


def test_right_but_rounded_further_than_asked_is_right_and_said():
    said = marked("green-target", lambda truth: fraction(truth, 16))
    assert "Right, to the nearest 16th of an inch: " in said
    tally = every()["board-feet-of-a-board"]  # asked for to a tenth
    numbers = dict(thickness_in=2.0, width_in=7, length_ft=16)  # 18.67 bf
    assert tally.mark(19, numbers, "19") == (
        True,
        "Right, to the nearest whole number: 19 bf. Worked through, it is 18.7 bf.",
    )
    assert not tally.mark(18, numbers, "18")[0]


def test_an_answer_in_another_unit_is_named():
    for each in every().values():
        if unit_of(each.unit) == "%" and not each.hidden:
            said = marked(each.key, lambda truth: f"{truth / 100:.5f}")
            assert "That is the fraction, and a percent is asked for" in said or "slip: " in said, each.key
    assert "That is in kilograms" in marked("load-of-green-lumber", lambda truth: f"{truth * 0.453592:.1f}")
    assert "pounds, not in kilograms" in marked(
        "load-of-green-lumber", lambda truth: f"{truth * 0.4536:.0f} kg"
    )
    assert "That is the percent" in marked("pace-from-days", lambda truth: f"{100 * truth:.0f}")


def test_the_field_says_the_unit_and_the_decimals_that_are_asked_for():
    assert ask("green-target").exercise.wanted == "in, three decimals"
    assert ask("stickers-to-cut").exercise.wanted == "stickers, a whole number"
    assert ask("the-hidden-month").exercise.wanted == "a whole number"


def test_a_slider_goes_by_a_step_that_leads_to_what_was_typed_until_it_is_moved():
    length = slider("length_ft", "Length (ft)", 6.0, 24.0, 1.0, 12.0)
    length.field.value = "8 1/2"
    assert (length.widget.step, length.widget.value) == (0.5, 8.5)  # a page moves a value to its nearest step
    length.widget.value = 8.5 + 1e-12  # the page's answer
    assert (length.field.value, length.widget.step) == ("8 1/2", 0.5)
    length.widget.value = 9.0  # an arrow key
    assert (length.field.value, length.widget.step) == ("9", 1.0)
    length.field.value = "0.1 x"
    assert length.widget.step == 1.0


def test_no_step_is_set_that_the_value_is_not_on():
    """A page rounds the value it shows to a step that is set, and sends that back over what was typed next."""
    dial = slider("small_in", "Small end (in)", 8.0, 24.0, 0.5, 16.0)
    bar, off = dial.widget, []

    def is_on(_):
        ways = (bar.value - bar.min) / bar.step
        if abs(ways - round(ways)) > 1e-6:
            off.append((bar.step, bar.value))

    bar.observe(is_on, "step")
    for typed in ("14-1/4", "16", "18 3/8", "12-1/4", "9.9", "15"):
        dial.field.value = typed
        assert (dial.field.value, bar.value) == (typed, read_amount(typed, "in"))
    bar.value = 15.05  # by hand, from 15 on by the fine step that 9.9 has left
    assert (bar.value, bar.step, dial.field.value) == (15.5, 0.5, "15-1/2")
    assert off == []


@pytest.mark.parametrize(
    ("text", "unit"), [("10/20", "%"), ("70/58", "F"), ("48/2", "%"), ("26/23", "% MC"), ("14/15", "lb")]
)
def test_two_numbers_with_a_slash_are_no_fraction_where_no_tape_is_read(text, unit):
    with pytest.raises(InputError, match="Only one number"):
        read_amount(text, unit)
    assert (read_amount("1/2", unit), read_amount("14 3/8", "lb"), read_amount("9/16", "in")) == (
        0.5,
        14.375,
        0.5625,
    )


OTHER_UNITS = {  # a unit asked for: what else may be on the scale or the tape, and how many of it
    "lb": {"g": 453.59237, "kg": 0.45359237, "oz": 16.0},
    "in": {"cm": 2.54, "mm": 25.4},
    "ft": {"cm": 30.48, "m": 0.3048},
    "days": {"weeks": 1 / 7, "h": 24.0},
    "$": {"cents": 100.0},
}


def ways_to_write(each, truth):
    """The right answer as people write it, and what it becomes otherwise: (how, what is typed, what must be said)."""
    asked = f"{truth:.{each.decimals}f}"
    yield "as asked", asked, "Right: "
    yield "with its unit", f"{asked} {each.unit}", "Right: "
    yield "decimal comma", asked.replace(".", ","), "Right: "
    yield "thousands", f"{truth:,.{each.decimals}f}", "Right: "
    yield "longer", f"{truth:.{each.decimals + 3}f}", "Right: "
    yield "spaces", f"  {asked}\xa0", "Right: "
    if unit_of(each.unit) in ("in", "ft") and each.tolerance > 1 / 128:
        yield "fraction", fraction(round(64 * truth) / 64, 64), "Right"
    yield "in words", f"about {asked}", "does not begin with a number"
    yield "two numbers", f"{asked} {asked}", "Only one number"
    if unit_of(each.unit) == "%":
        yield "part of one", f"{truth / 100:.6f}", "fraction|slip: |share|part of one"
    for unit, times in OTHER_UNITS.get(unit_of(each.unit), {}).items():
        wrong = f"{truth * times:.4f}"
        yield f"{unit}, named", f"{wrong} {unit}", r"not in \w+\..* is .*: type "
        yield f"{unit}, not named", wrong, "That is in |slip: "
    if truth > 0:
        yield "nothing", "0", "It can't be nothing|slip: "
        yield "below nothing", f"-{asked}", "It can't be less than nothing|slip: "
        yield "point astray", f"{1000 * truth:.4f}", "decimal point|That is in |slip: |Right"


def test_every_answer_however_it_is_written(report):
    told = {}
    for each in every().values():
        box = ask(each.key)
        truth = each.solve(**box.numbers)
        row = told.setdefault(each.key, {"unit": each.unit, "answer": each.shown(truth)})
        for how, typed, says in ways_to_write(each, truth):
            box.field.value = typed
            found = html.unescape(box.feedback.value)
            if not re.search(says, found):
                row.setdefault("odd", []).append((how, typed, re.sub("<.*?>", "", found)))
            row["written"] = row.get("written", 0) + 1
            assert box.field.value == typed
    report("Answers, each written in up to 20 ways", pd.DataFrame.from_dict(told, orient="index").fillna(""))
    assert {key: row["odd"] for key, row in told.items() if "odd" in row} == {}


def test_an_answer_in_another_unit_is_told_before_a_slip_that_is_further_off():
    load = every()[
        "load-of-green-lumber"
    ]  # the water alone weighs near as many pounds as the load does kilograms
    for turn in range(20):
        numbers = load.draw(seeded("units", load.key, turn))
        truth = load.solve(**numbers)
        right, says = load.mark(0.45359237 * truth, numbers, f"{0.45359237 * truth:.1f}")
        assert not right and "That is in kilograms" in says


def test_units_as_phones_and_people_write_them_and_a_stack_s_board_feet():
    assert read_amount("20 %MC", "% MC") == 20 and read_amount("10⁄8", "in") == 1.25
    stack = {"stack": "A", "species": "white oak", "nominal": "4/4", "stacked": "2026-05-15"}
    for text in ("1,250", "1,250 bf", "1.250", "1250"):  # nobody stacks a board foot and a quarter
        values, problems = records.problems_in({**stack, "board_feet": text}, "stacks")
        assert values["board_feet"] == 1250 and not problems


EVERY_UNIT = ["", *UNITS]
SAMPLE = {
    "logs": {"log": "1", "species": "white oak", "small_in": "15", "length_ft": "12"},
    "boards": {"species": "white oak", "nominal": "4/4", "width_in": "7", "length_ft": "12"},
    "stacks": {"stack": "A", "species": "white oak", "nominal": "4/4", "stacked": "2026-05-15"},
    "readings": {"date": "2026-06-15", "stack": "A", "board": "1"},
}
OF_A_SCALE = ("lb", "oz", "g", "kg")


@pytest.mark.parametrize("unit", EVERY_UNIT)
@pytest.mark.parametrize("of_list", ["", "lb", "kg", "%"])
@pytest.mark.parametrize("kind", ["weight", "oven-dry", "meter"])
def test_a_reading_is_in_the_unit_that_it_names_or_refused(kind, of_list, unit):
    row = {**SAMPLE["readings"], "kind": kind, "value": f"12 {unit}".strip(), "unit": of_list}
    values, problems = records.problems_in(row, "readings")
    units = ("%",) if kind == "meter" else OF_A_SCALE
    named = unit or of_list or ("%" if kind == "meter" else "")
    fits = named in units and of_list in ("", named)
    assert (not problems) == fits, problems
    if fits:
        assert (values["value"], values["unit"]) == (12, named)
    if unit == "%" and kind != "meter":
        told = next(p for p in problems if p.column == "value")
        assert told.found == "'12 %'" and "Is that from the meter? Choose a meter, %" in told.expected


@pytest.mark.parametrize("unit", EVERY_UNIT)
def test_a_number_of_the_records_is_in_its_column_s_unit_or_refused(unit):
    for table, row in SAMPLE.items():
        for column in records.TABLES[table]:
            if not column.numeric or column.name == "value":
                continue
            text = f"12 {unit}".strip()
            values, problems = records.problems_in({**row, column.name: text}, table)
            refused = [p for p in problems if p.column == column.name]
            if not refused:
                meant = read_amount_of_any_unit(text, column.unit)[0] if column.unit else 12
                at = 0.04 if column.unit == "in" else 0.01  # a dial shows other lengths by the sixteenth
                assert values[column.name] == pytest.approx(meant, abs=at), (column.name, text)
                assert unit in ("", column.unit) or column.kind in ("in", "ft", "F"), (column.name, text)


def test_a_header_s_unit_gives_way_to_the_cell_s_own_or_the_cell_is_refused(tmp_path):
    path = tmp_path / "readings.csv"
    path.write_text(
        "date,stack,board,kind,value (lb)\n2026-05-15,A,1,weight,12.1 %\n2026-05-15,A,2,weight,12.1\n"
    )
    found = records.read_usable(tmp_path, ["readings"])
    assert [(p.row, p.column) for p in found.problems] == [(2, "value")]
    assert found.tables["readings"]["unit"].tolist() == ["lb"]


def test_feet_and_inches_are_quoted_as_they_were_typed():
    with pytest.raises(InputError) as found:
        one_number("10' 6\"", "Length", 1, 8, "ft")
    assert "found '10' 6\"'; expected" in str(found.value)
    dial = slider("x", "Length (ft)", 1.0, 8.0, 1.0, 2.0)
    dial.field.value = "10' 6\""
    assert "found '10' 6\"'; expected" in dial.field.told
    log = {**SAMPLE["logs"], "length_ft": "100' 6\""}
    assert [p.found for p in records.problems_in(log, "logs")[1]] == ["'100' 6\"'"]
