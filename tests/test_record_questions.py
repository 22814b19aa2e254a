"""Tables that people bring: what a whole table leaves open is asked once, and nothing in it is lost or garbled."""

from datetime import date
from pathlib import Path

import pytest

from woodcalc import records
from woodcalc.disk import SaveError
from woodcalc.lesson import own
from woodcalc.lesson.box import plain
from woodcalc.lesson.doctor import doctor_panel
from woodcalc.lesson.form import records_form
from woodcalc.records.questions import left_to_tell, questions, settle
from woodcalc.records.usable import read_usable

TODAY = date(2025, 12, 1)


@pytest.fixture
def mine(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path))
    return tmp_path


def put(folder, data, table="readings"):
    path = folder / f"{table}.csv"
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return path


def asked(folder):
    return questions(read_usable(folder, today=TODAY), TODAY)


def answer(folder, path, start):
    """Press the button whose words begin so, and read again."""
    found = [(q, a) for q in asked(folder) for a in q.answers if a.says.startswith(start)]
    assert len(found) == 1, [a.says for q in asked(folder) for a in q.answers]
    settle(path, *found[0])
    return read_usable(folder, today=TODAY).tables[path.stem]


# Columns.


@pytest.mark.parametrize("head", ["Board #", "Piece", "Sample board", "board no.", "Sample #", "BOARD ID"])
def test_boards_are_told_apart_by_whatever_their_column_is_called(mine, head):
    put(
        mine,
        f"date,stack,{head},kind,value,unit\n"
        "2025-05-10,A,1,oven-dry,9.3,lb\n2025-05-10,A,2,oven-dry,7.1,lb\n"
        "2025-05-24,A,1,weight,14.9,lb\n2025-05-24,A,2,weight,11.6,lb\n",
    )
    found = read_usable(mine, today=TODAY)
    assert found.tables["readings"]["board"].tolist() == ["1", "2", "1", "2"]
    assert f"readings.csv: column {head!r} read as board" in found.notes


def test_a_thermometer_is_read(mine):
    put(mine, "date,stack,board,kind,value,unit,Thermometer\n2025-05-10,A,1,meter,24,%,68\n")
    assert read_usable(mine).tables["readings"]["temp_f"].tolist() == [68]


def test_a_column_that_nobody_reads_is_listed_and_kept_by_every_save(mine):
    head, rows = (
        "date,stack,Weather,kind,value,unit,",
        "2025-05-10,A,rain,meter,24,%,x\n2025-05-24,A,sun,meter,22,%,\n",
    )
    path = put(mine, f"{head}\n{rows}")
    said = plain(doctor_panel().said)
    assert "Not read: column 'Weather' (2 filled cells). It stays in the file as it is" in said
    assert "Not read: column 7, without a name (1 filled cell)." in said
    records.append(
        path, {"date": "2025-06-07", "stack": "A", "board": "1", "kind": "meter", "value": 20, "unit": "%"}
    )
    frame = records.read(path)
    records.correct(path, 3, frame.loc[3], dict(frame.loc[3, list(SCHEMA)]) | {"value": 21})
    assert [line.split(",")[2] for line in path.read_text().splitlines()] == ["Weather", "rain", "sun", ""]
    assert path.read_text().splitlines()[1] == "2025-05-10,A,rain,meter,24,%,x"


SCHEMA = [c.name for c in records.TABLES["readings"]]


def test_a_column_that_may_be_the_boards_is_asked_about_with_one_button(mine):
    path = put(mine, "date,stack,mark on the board,kind,value,unit\n2025-05-10,A,x7,meter,24,%\n")
    (question,) = asked(mine)
    assert question.asks.startswith("Column 'mark on the board' is not read. Is it the column board")
    assert [a.says for a in question.answers] == ["'mark on the board' is board"]
    assert answer(mine, path, "'mark on the board'")["board"].tolist() == ["x7"]
    assert asked(mine) == []


def test_a_board_column_that_is_added_beside_the_old_one_takes_no_marks_away(mine):
    head = "date,stack,Board #,kind,value,unit"
    rows = "2025-05-10,A,1,meter,24,%,\n2025-05-24,A,2,meter,22,%,\n2025-06-01,A,,meter,20,%,3\n"
    path = put(mine, f"{head},board\n{rows}")
    frame = read_usable(mine).tables["readings"]
    assert frame["board"].tolist() == ["1", "2", "3"]
    records.correct(path, 3, frame.loc[3], dict(frame.loc[3, SCHEMA]) | {"board": "7"})
    assert records.read(path)["board"].tolist() == ["1", "7", "3"]
    records.correct(
        path, 2, records.read(path).loc[2], dict(records.read(path).loc[2, SCHEMA]) | {"board": ""}
    )
    assert records.read(path)["board"].tolist() == ["", "7", "3"]


@pytest.mark.parametrize("begin", ["Total", "SUM:", "Average", "Grand total"])
def test_a_row_of_sums_is_no_log_and_no_mend_is_offered_for_it(mine, begin):
    """The small ends add up to 80.5: that is no distance around a log."""
    put(
        mine,
        f"log,species,small_in,large_in,length_ft\n1,white ash,35.5,,10\n2,white ash,45,,10\n{begin},,80.5,,20\n",
        "logs",
    )
    found = read_usable(mine)
    (problem,) = found.problems
    assert (
        problem.row == 4
        and "row of sums" in str(problem)
        and found.tables["logs"]["log"].tolist() == ["1", "2"]
    )
    page = doctor_panel()
    assert "row of sums" in plain(page.said) and not any("Mend" in says for says in page.buttons)
    put(mine, f"log,species,small_in,length_ft\n1,white ash,14,10\n{begin},white ash,15,10\n", "logs")
    assert len(read_usable(mine).tables["logs"]) == 1  # also where each cell of it could be a log's


# Units.


def test_a_table_of_weights_without_a_unit_is_asked_about_once(mine):
    rows = "2025-05-10,A,1,oven-dry,9.3\n2025-05-10,A,1,weight,16.6\n2025-05-24,A,1,meter,40\n"
    path = put(mine, f"date,stack,board,kind,value\n{rows}")
    found = read_usable(mine, today=TODAY)
    (question,) = questions(found, TODAY)
    assert question.rows == {2, 3} and left_to_tell(found.problems, [question]) == []
    said = plain(doctor_panel().said)
    assert "2 weights have no unit" in said and "found nothing" not in said
    frame = answer(mine, path, "All in kg")
    assert frame["unit"].tolist() == ["kg", "kg", "%"]
    assert path.read_text().splitlines()[1] == "2025-05-10,A,1,oven-dry,9.3,kg"


def test_the_unit_in_the_header_of_the_weights_counts_and_a_row_in_another_gets_its_own_column(mine):
    path = put(
        mine, "date,stack,board,kind,Weight (kg)\n2025-05-10,A,1,oven-dry,4.2\n2025-05-10,A,1,weight,7.5\n"
    )
    found = read_usable(mine)
    assert found.tables["readings"]["unit"].tolist() == ["kg", "kg"] and not found.problems
    assert "readings.csv: column 'Weight (kg)' read as value, in kg where it is a weight" in found.notes
    more = {"date": "2025-05-24", "stack": "A", "board": "1", "kind": "weight", "value": 15, "unit": "lb"}
    assert records.append(path, more)["unit"].tolist() == ["kg", "kg", "lb"]
    assert records.read(path)["unit"].tolist() == ["kg", "kg", "lb"]


@pytest.mark.parametrize(
    ("head", "says", "feet"),
    [
        ("Laenge (m)", "'Laenge (m)' is length_ft, in m", 4 / 0.3048),
        ("Länge", "'Länge' is length_ft, in ft", 4),
    ],
)
def test_a_header_is_mended_by_a_button_and_its_unit_is_named(mine, head, says, feet):
    path = put(mine, f"log,species,small_in,{head}\n1,white ash,14,4\n2,white ash,15,4\n", "logs")
    assert "logs" not in read_usable(mine).tables
    page = doctor_panel()
    assert says in page.buttons and "cannot be used as it is" in plain(page.said)
    frame = answer(mine, path, says)
    assert frame["length_ft"].tolist() == pytest.approx([feet, feet])
    if "(m)" in head:
        assert any("read as length_ft, in m" in note for note in read_usable(mine).notes)


def test_a_weight_by_another_name_keeps_its_unit(mine):
    path = put(mine, "date,stack,board,kind,Gewicht kg\n2025-05-10,A,1,weight,7.5\n")
    frame = answer(mine, path, "'Gewicht kg' is value, in kg")
    assert frame["value"].tolist() == [7.5] and frame["unit"].tolist() == ["kg"]


def test_a_header_in_a_unit_that_its_column_cannot_have_is_not_taken(mine):
    put(mine, "log,species,small_in,length_ft,Sweep (kg)\n1,white ash,14,12,3\n", "logs")
    found = read_usable(mine)
    assert found.tables["logs"]["sweep_in"].tolist() == [0]
    assert (
        "logs.csv: Not read: column 'Sweep (kg)' (1 filled cell). It stays in the file as it is"
        in found.notes
    )


def test_readings_that_do_not_say_how_they_were_taken_are_asked_about(mine):
    path = put(mine, "date,stack,board,Weight (lb)\n2025-05-10,A,1,16.6\n2025-05-24,A,1,14.9\n")
    frame = answer(mine, path, "All of them are weighings")
    assert frame["kind"].tolist() == ["weight", "weight"] and frame["unit"].tolist() == ["lb", "lb"]


# Letters.

MORE = {"date": "2025-08-02", "stack": "Nord", "board": "2", "kind": "meter", "value": 21.0, "unit": "%"}
WORDS = {
    "mac-roman": ("Süd", "naß, 68 °F"),
    "cp850": ("Süd", "Käse 14½"),
    "cp1251": ("Дуб", "сырая доска"),
    "gbk": ("红橡", "北边仓库"),
    "big5": ("紅橡", "北邊倉庫"),
}


@pytest.mark.parametrize("code", WORDS)
def test_letters_of_an_old_program_are_chosen_by_a_button_and_never_saved_garbled(mine, code):
    stack, note = WORDS[code]
    rows = f'2025-05-10,{stack},1,meter,24,%,"{note}"\n2025-05-24,B,1,meter,22,%,\n'
    text = f"date,stack,board,kind,value,unit,note\n{rows}"
    path = put(mine, text.encode(code))
    (question,) = asked(mine)
    assert 2 <= len(question.answers) <= 3 and stack in question.answers[0].says, question.answers
    records.append(path, MORE | {"note": "grün – wet"})  # nobody has chosen yet
    assert path.read_bytes() == text.encode(code) + "2025-08-02,Nord,2,meter,21,%,grün – wet\n".encode()
    frame = answer(mine, path, question.answers[0].says[:3])
    assert frame["stack"].tolist() == [stack, "B", "Nord"] and frame["note"].tolist() == [
        note,
        "",
        "grün – wet",
    ]
    assert asked(mine) == []


def test_a_row_in_letters_that_cannot_be_told_keeps_its_bytes_or_is_not_saved(mine):
    data = "date,stack,board,kind,value,unit,note\n2025-05-10,Süd,1,meter,24,%,\n".encode("mac-roman")
    path = put(mine, data)
    frame = records.read(path)
    after = dict(frame.loc[2, SCHEMA])
    records.correct(path, 2, frame.loc[2], after | {"value": 23})
    assert path.read_bytes() == data.replace(b",24,", b",23,")
    frame = records.read(path)
    with pytest.raises(SaveError, match="can't be told yet"):
        records.correct(path, 2, frame.loc[2], after | {"value": 23, "note": "naß"})
    assert path.read_bytes() == data.replace(b",24,", b",23,")


def test_plain_windows_letters_are_asked_about_by_nobody(mine):
    text = "date,stack,board,kind,value,unit,note\n2025-05-10,Süd,1,meter,24,%,“naß” – 68 °F, été à Río\n"
    put(mine, text.replace("F,", "F").encode("cp1252"))
    assert asked(mine) == [] and not read_usable(mine).problems


# Dates.


def dated(*days):
    rows = "".join(f"{day},A,1,meter,{30 - i},%\n" for i, day in enumerate(days))
    return f"date,stack,board,kind,value,unit\n{rows}"


def days_of(frame):
    return [f"{day:%Y-%m-%d}" for day in frame["date"]]


@pytest.mark.parametrize(
    ("start", "days"),
    [
        ("The month: 5/6/25 is 6 May 2025", ["2025-05-06", "2025-06-07"]),
        ("The day", ["2025-06-05", "2025-07-06"]),
    ],
)
def test_dates_that_can_all_be_read_two_ways_are_one_question(mine, start, days):
    path = put(mine, dated("5/6/25", "6/7/25"))
    assert len(asked(mine)) == 1 and "Set aside." not in plain(doctor_panel().said)
    assert days_of(answer(mine, path, start)) == days
    assert asked(mine) == []


def test_one_date_with_day_and_month_turned_is_mended_by_itself(mine):
    """Month first, and one day first: the mend is written into that cell, and no other row reads otherwise."""
    put(mine, "stack,species,nominal,stacked\nA,northern red oak,4/4,2025-05-10\n", "stacks")
    path = put(mine, dated("5/24/2025", "6/8/2025", "6/21/2025", "5/7/2025", "7/19/2025", "8/2/2025"))
    before = path.read_text()
    was = days_of(read_usable(mine, today=TODAY).tables["readings"])
    assert asked(mine) == []
    page = doctor_panel()
    assert "when stack A was stacked" in plain(page.said)
    (mend,) = (b for says, b in page.buttons.items() if says.startswith("Mend"))
    assert "2025-07-05" in mend.description
    mend.click()
    now = days_of(read_usable(mine, today=TODAY).tables["readings"])
    assert now == [*was[:3], "2025-07-05", *was[3:]] and was[1] == "2025-06-08"
    assert path.read_text() == before.replace("5/7/2025", "2025-07-05")


@pytest.mark.parametrize(
    ("start", "day"), [("The month: 5/7/25", "2025-05-07"), ("The day: 5/7/25", "2025-07-05")]
)
def test_where_both_orders_stand_in_a_column_an_answer_is_written_into_the_open_cells(mine, start, day):
    path = put(mine, dated("5/24/25", "28/6/25", "5/7/25"))
    assert days_of(answer(mine, path, start)) == ["2025-05-24", "2025-06-28", day]
    assert path.read_text().startswith("date,stack")


@pytest.mark.parametrize("dash", ["\u2010", "\u2011", "\u2013", "\u2212"])
def test_a_date_with_the_hyphens_of_a_word_processor_is_read(mine, dash):
    put(mine, dated(f"2025{dash}05{dash}24", f"6{dash}21{dash}2025", f"7{dash}5{dash}2025"))
    frame = read_usable(mine, today=TODAY).tables["readings"]
    assert days_of(frame) == ["2025-05-24", "2025-06-21", "2025-07-05"]


def test_dates_without_a_year_are_one_question(mine):
    path = put(mine, dated("10-May", "24-May", "June 7"))
    (question,) = asked(mine)
    assert [a.says for a in question.answers] == [
        "Year 2024: 10-May is 10 May 2024",
        "Year 2025: 10-May is 10 May 2025",
    ]
    assert days_of(answer(mine, path, "Year 2025")) == ["2025-05-10", "2025-05-24", "2025-06-07"]


def test_a_winter_leads_into_the_next_year(mine):
    path = put(mine, dated("20-Nov", "18-Dec", "15-Jan"))
    assert days_of(answer(mine, path, "Year 2024 to 2025")) == ["2024-11-20", "2024-12-18", "2025-01-15"]


def test_months_and_days_in_numbers_without_a_year_ask_for_both(mine):
    put(mine, dated("5/6", "6/7"))
    (question,) = asked(mine)
    assert "Year 2025: 5/6 is 6 May 2025" in [a.says for a in question.answers]
    assert "Year 2025: 5/6 is 5 June 2025" in [a.says for a in question.answers]


def test_a_spreadsheets_count_of_days_is_one_question(mine):
    path = put(mine, dated("45787", "45801.0"))
    (question,) = asked(mine)
    assert [a.says for a in question.answers] == ["Write them as dates: 45787 is 10 May 2025"]
    assert days_of(answer(mine, path, "Write them")) == ["2025-05-10", "2025-05-24"]
    put(mine, dated("44325"))  # an old Mac counts from another day
    assert [a.says.partition("is ")[2] for a in asked(mine)[0].answers] == ["9 May 2021", "10 May 2025"]


def test_an_answer_is_not_written_over_what_came_in_meanwhile(mine):
    path = put(mine, dated("45787", "45801"))
    (question,) = asked(mine)
    put(mine, dated("45787", "45801", "45802"))
    with pytest.raises(records.ChangedError):
        settle(path, question, question.answers[0])
    assert "45802" in path.read_text()


def test_a_file_beside_the_tables_is_told_first(mine):
    put(mine, dated("2025-05-10"))
    put(mine, "stack,species,nominal,stacked,start_mc_pct\nA,white oak,4/4,2025-05-01,35\n", "stacks")
    assert "All is well" in plain(doctor_panel().said)
    (mine / "logs (1).csv").write_text("log,species,small_in,length_ft\n1,white ash,14,12\n")
    (mine / "stacks (1).csv").write_text("stack,species,nominal,stacked\nB,white ash,4/4,2025-05-01\n")
    said = plain(doctor_panel().said)
    assert "All is well" not in said and "stacks (1).csv" in said


def test_the_form_asks_what_the_doctor_asks_and_keeps_what_is_typed(mine):
    path = put(mine, "date,stack,board,kind,value\n2025-05-10,A,1,oven-dry,9.3\n2025-05-10,A,1,weight,16.6\n")
    form = records_form("readings")
    form.fields["note"].value = "the north end"
    assert "2 weights have no unit" in plain(form.asked.children[0].children[0].value)
    assert "found nothing" not in form.bad.value
    press = next(b for b in form.asked.children[0].children[1].children if b.description == "All in lb")
    press.click()
    assert "All in lb. If that is not what you meant, undo it." in form.said
    assert form.fields["note"].value == "the north end" and not form.asked.children[0].children
    assert records.read(path)["unit"].tolist() == ["lb", "lb"]


def test_a_lesson_tells_a_question_once_and_not_row_by_row(mine):
    put(mine, dated("5/6/25", "6/7/25", "7/8/25"))
    said = plain(own.own_note(own.own_wood("readings")))
    assert said.count("5/6/25") == 1 and "Which comes first?" in said and "row 3" not in said


# The year of two digits may stand first.

BOARD = "board,kind,value,unit\n"
DAY_BY_DAY = ("05-10", "05-24", "06-07", "06-21")


def year_first(year, days=DAY_BY_DAY):
    weights = ("9.32", "16.6", "14.9", "13.7")
    rows = zip(days, ("oven-dry", *["weight"] * 3), weights, strict=False)
    return f"date,stack,{BOARD}" + "".join(f"{year:02}-{d},A,1,{kind},{v},lb\n" for d, kind, v in rows)


def test_a_column_of_dates_with_the_year_first_is_read_so_and_said(mine):
    put(mine, year_first(25))
    found = read_usable(mine)
    assert found.problems == () and {day.year for day in found.tables["readings"]["date"]} == {2025}
    assert "readings.csv: dates in column date read as year/month/day: 25-05-10 is 10 May 2025" in found.notes


def test_the_day_of_stacking_tells_that_the_year_stands_first(mine):
    put(mine, "stack,species,nominal,stacked\nA,white ash,4/4,2025-05-08\n", "stacks")
    put(mine, year_first(25, DAY_BY_DAY[:2]))
    found = read_usable(mine)
    assert found.problems == () and found.tables["readings"]["date"].dt.year.tolist() == [2025, 2025]


def test_two_dates_that_can_begin_with_the_year_are_asked_about(mine):
    path = put(mine, year_first(25, DAY_BY_DAY[:2]))
    found = read_usable(mine)
    assert len(found.tables["readings"]) == 0 and "2025-05-10 or 2010-05-25" in found.problems[0].expected
    (question,) = questions(found)
    assert [a.says for a in question.answers] == [
        "The day: 25-05-10 is 25 May 2010",
        "The year: 25-05-10 is 10 May 2025",
    ]
    assert answer(mine, path, "The year")["date"].dt.strftime("%Y-%m-%d").tolist() == [
        "2025-05-10",
        "2025-05-24",
    ]
    assert path.read_text().startswith("date (y/m/d),stack") and asked(mine) == []


def test_one_date_with_the_year_first_among_others_gets_the_day_that_lies_between(mine):
    put(mine, year_first(2025).replace("2025-05-24", "25-05-24"))
    (problem,) = read_usable(mine).problems
    assert (problem.cell, problem.mend) == ("25-05-24", "2025-05-24")


def test_a_month_with_its_year_is_never_taken_for_a_day_without_a_word(mine):
    text = year_first(2025).replace("2025-05-10", "May-25").replace("2025-05-24", "May-25")
    put(mine, text)
    (question,) = asked(mine)
    assert (
        "a month with its year (2 like May-25)" in question.asks
        and "the day is not in the file" in question.asks
    )
    assert len(read_usable(mine).tables["readings"]) == 2


# A table that is gone or empty now and held rows before.

ROW = {"date": "2025-06-21", "stack": "A", "board": "1", "kind": "weight", "value": "12.7", "unit": "lb"}


@pytest.mark.parametrize("now", [None, b"", b" \r\n\r\n", b"\0\0\0"])
def test_a_table_that_is_gone_or_empty_is_begun_anew_only_after_a_word(mine, now):
    path = put(mine, year_first(2025))
    records.append(path, ROW)
    whole = path.read_bytes()
    path.unlink() if now is None else path.write_bytes(now)
    how = "There is no readings.csv" if now is None else "There is nothing in readings.csv"
    told = f"{how}, but an earlier version of it holds 5 rows, saved on "
    with pytest.raises(records.ChangedError, match=told):
        records.append(path, ROW)
    page = doctor_panel()
    assert told in plain(page.said)
    form = records_form("readings")
    assert told in plain(form.said)
    for name, text in ROW.items():
        form.fields[name].value = text
    form.save()
    assert "Not saved yet." in plain(form.said) and told in plain(form.said)
    assert (path.read_bytes() if path.exists() else None) == now
    (back,) = [
        b for b in form.mends.children if b.description.startswith("Go back to readings.csv as it was on ")
    ]
    assert back.description.endswith(": 5 rows")
    back.click()
    assert path.read_bytes() == whole and form.fields["value"].value == "12.7"  # what was typed stays
    assert not [b for b in form.mends.children if b.description.startswith("Go back")]


def test_a_table_that_is_gone_is_begun_anew_when_that_is_meant(mine):
    path = put(mine, year_first(2025))
    records.append(path, ROW)
    path.unlink()
    form = records_form("readings")
    for name, text in ROW.items():
        form.fields[name].value = text
    form.save()
    assert not path.exists()
    form.save()
    assert records.read(path)["value"].tolist() == [12.7] and "Saved as your first reading" in plain(
        form.said
    )


def test_the_doctor_page_goes_back_to_a_table_that_is_gone(mine):
    path = put(mine, year_first(2025))
    records.append(path, ROW)
    path.unlink()
    page = doctor_panel()
    assert "You keep no records yet" not in plain(page.said) and "Not begun yet" not in plain(page.said)
    (back,) = [
        b for text, b in page.buttons.items() if text.startswith("Go back to readings.csv as it was on ")
    ]
    back.click()
    assert len(records.read(path)) == 5


def test_a_header_whose_rows_were_taken_out_is_no_loss(mine):
    path = put(mine, year_first(2025))
    records.append(path, ROW)
    path.write_text(f"date,stack,{BOARD}")
    assert records.append(path, ROW)["value"].tolist() == [12.7]


# A file that breaks off.

VALUE_LAST = (
    "date,stack,board,kind,unit,value\n2025-05-10,A,1,oven-dry,lb,9.32\n2025-05-10,A,1,weight,lb,16.6\n"
    "2025-05-24,A,1,weight,lb,14.9\n"
)
CUT = [
    VALUE_LAST + "2025-06-07,A,1,weight,lb,1",
    VALUE_LAST + "2025-06-07,A,1,weig",
    year_first(2025) + "2025-07-05,A,1,weight,1",
]


@pytest.mark.parametrize("text", CUT)
def test_a_last_row_that_breaks_off_is_asked_about_and_not_trusted(mine, text):
    path = put(mine, text)
    found = read_usable(mine, today=TODAY)
    row = len(text.splitlines())
    assert row not in found.tables["readings"].index and len(found.tables["readings"]) == row - 2
    (question,) = asked(mine)
    assert (
        question.asks.startswith(f"The file ends in row {row} (2025-0")
        and "Was it cut off there?" in question.asks
    )
    assert left_to_tell(found.problems, [question]) == []
    with pytest.raises(SaveError, match=f"cut off in row {row}"):
        records.append(path, ROW)
    assert path.read_text() == text


def test_a_row_that_is_whole_is_read_after_one_press(mine):
    path = put(mine, "log,species,small_in,length_ft,note\n1,white ash,14,12,\n2,white ash,15,10", "logs")
    assert read_usable(mine).tables["logs"]["log"].tolist() == ["1"]
    assert answer(mine, path, "Row 3 is whole as it is")["length_ft"].tolist() == [12, 10]
    assert asked(mine) == []


@pytest.mark.parametrize(
    "end",
    [
        "2025-06-07,A,1,weight,lb,13.7",
        "2025-06-07,A,2,weight,lb,1.7",
        "2025-06-07,A,1,weight,lb,1\n",
        "2025-06-07,A,1,meter,%,9",
    ],
)
def test_a_file_without_a_last_end_of_line_is_mostly_whole(mine, end):
    put(mine, VALUE_LAST + end)
    assert not [q for q in asked(mine) if "cut off" in q.asks]


# Readings without a kind, and rows that are quoted as a whole.

NO_KIND = "date,stack,board,value,unit\n2025-05-10,A,1,{},{}\n2025-05-24,A,1,{},{}\n"


@pytest.mark.parametrize(
    ("cells", "offered"),
    [
        (("24", "%", "22", "%"), ["All of them are meter readings"]),
        (("16.6", "lb", "14.9", "LBS"), ["All of them are weighings"]),
        (("16.6 lb", "", "14.9 lb", ""), ["All of them are weighings"]),
        (("7530", "", "6760", ""), ["All of them are weighings"]),  # no meter shows so much
        (("16.6", "", "14.9", ""), ["All of them are weighings", "All of them are meter readings"]),
        (("16.6", "lb", "22", "%"), ["Those in % are meter readings and those in lb, kg, g or oz are weighings"]),
        (("16.6", "", "22", "%"), ["All of them are meter readings", "Those in % are meter readings"]),
    ],
)  # fmt: skip
def test_no_kind_is_offered_that_the_cells_contradict(mine, cells, offered):
    put(mine, NO_KIND.format(*cells))
    (question,) = asked(mine)
    assert [a.says for a in question.answers] == offered


def test_kinds_by_unit_are_written_where_the_unit_tells(mine):
    path = put(mine, NO_KIND.format("16.6", "lb", "22", "%"))
    assert answer(mine, path, "Those in %")["kind"].tolist() == ["weight", "meter"]


QUOTED = [
    '"date,stack,board,kind,value,unit"\n"2025-05-10,A,1,meter,24,%"\n"2025-05-24,A,1,meter,22,%"\n',
    'date,stack,board,kind,value,unit\n"2025-05-10,A,1,meter,24,%"\n2025-05-24,A,1,meter,22,%\n',
    '"date;stack;board;kind;value;unit"\r\n"2025-05-10;A;1;meter;24;%";;\r\n"2025-05-24;A;1;meter;""22"";%"',
]


@pytest.mark.parametrize("text", QUOTED)
def test_rows_that_are_quoted_as_a_whole_are_taken_apart_after_one_press(mine, text):
    path = put(mine, text)
    found = read_usable(mine, today=TODAY)
    (question,) = asked(mine)
    assert (
        "in one pair of quotation marks" in question.asks and left_to_tell(found.problems, [question]) == []
    )
    assert answer(mine, path, "Yes: a cell for each")["value"].tolist() == [24, 22]
    assert asked(mine) == [] and '""' not in path.read_text()


def test_a_mark_with_commas_is_no_row_in_quotation_marks(mine):
    put(mine, 'log,species,small_in,length_ft\n"north, by the creek, 3",white ash,14,12\n', "logs")
    assert (
        read_usable(mine).tables["logs"]["log"].tolist() == ["north, by the creek, 3"] and asked(mine) == []
    )


# What the pages say of a folder that cannot be read, and the form of letters that are open.


def test_a_folder_that_cannot_be_read_is_said_to_be_so(tmp_path, monkeypatch):
    folder = tmp_path / "my-wood"
    folder.mkdir()
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(folder))
    put(folder, "stack,species,nominal,stacked\nA,white ash,4/4,2025-05-08\n", "stacks")
    listed = Path.iterdir

    def closed(path):
        if path == folder:
            raise PermissionError(13, "Permission denied")
        return listed(path)

    monkeypatch.setattr(Path, "iterdir", closed)
    told = plain(own.own_note(own.own_wood("stacks")))
    assert "Whether there is a stacks.csv can't be told: the folder my-wood cannot be read." in told
    page, form = plain(doctor_panel().said), records_form("stacks")
    assert "cannot be read (Permission denied)" in page and "can be used" not in page
    assert "cannot be read (Permission denied)" in plain(form.said)
    assert "There is no" not in told + plain(form.said) and form.rows_line.value == ""


def test_the_form_and_the_lessons_ask_about_letters_too(mine):
    put(mine, "log,species,small_in,length_ft\nS\x9fd,white ash,14,12\n".encode("latin-1"), "logs")
    form = records_form("logs")
    asks = "An older program wrote this file in its own code of letters. Which of these reads right?"
    assert asks in plain(form.asked.children[0].children[0].value)
    assert asks in plain(own.own_note(own.own_wood("logs")))


# Numbers like 1.200: decimals or thousands.


def weights(*cells, unit="g", mark=";"):
    """Weights of one stack, two weeks apart, in a file with this between its cells."""
    rows = [f"2025-{5 + i}-10,A,weight,*,{unit}\n" for i in range(len(cells))]
    lines = ("date,stack,kind,value,unit\n", *rows)
    cells = ("", *(f'"{cell}"' if mark == "," else cell for cell in cells))
    return "".join(
        line.replace(",", mark).replace("*", cell) for line, cell in zip(lines, cells, strict=True)
    )


@pytest.mark.parametrize(
    ("data", "read", "told"),
    [
        (weights("4.218", "4.118", "3950,5"), [4218, 4118, 3950.5], ["2 numbers like 4.218", "4218"]),
        (weights("1,200", "1100.5"), [1200, 1100.5], ["1,200", "1200"]),
        (weights("16.605", "14.5", unit="lb"), [16.605, 14.5], []),
        (weights("16,605", "14,5", unit="lb"), [16.605, 14.5], []),
        (weights("16.605", unit="lb", mark=","), [16.605], []),
        (weights("16.605", unit="lb", mark="\t"), [16.605], []),
        (weights("4.218", "3950,5", mark=","), [4218, 3950.5], ["4.218", "4218"]),
    ],
)
def test_three_digits_behind_a_sign_are_read_as_the_other_cells_show(mine, data, read, told):
    put(mine, data)
    found = read_usable(mine, today=TODAY)
    assert found.tables["readings"]["value"].tolist() == read and asked(mine) == []
    notes = [note for note in found.notes if "in column value read as" in note]  # where a number grows
    assert notes == ([f"readings.csv: {told[0]} in column value read as {told[1]}"] if told else [])


def test_a_decimal_comma_in_another_column_tells_it_too(mine):
    put(mine, "board;species;nominal;width_in;length_ft;board_feet\n1;red oak;4/4;8,5;12;1.200\n", "boards")
    (problem,) = read_usable(mine, today=TODAY).problems
    assert "(that is 1200 bf)" in str(problem)


@pytest.mark.parametrize(
    ("data", "press", "read"),
    [
        (weights("4.218", "3.950"), "It parts thousands: 4.218 is 4218", [4218, 3950]),
        (weights("4.218", "3.950", unit="lb"), "It parts decimals: 4.218 is 4.218", [4.218, 3.95]),
        (weights("4,218", "3,950", unit="lb"), "It parts decimals: 4,218 is 4.218", [4.218, 3.95]),
        (weights("4,218", "3950.5", mark=","), "It parts thousands: 4,218 is 4218", [4218, 3950.5]),
    ],
)
def test_three_digits_behind_a_sign_that_nothing_tells_are_one_question(mine, data, press, read):
    path = put(mine, data)
    found = read_usable(mine, today=TODAY)
    assert len(asked(mine)) == 1 and left_to_tell(found.problems, asked(mine)) == []
    assert answer(mine, path, press)["value"].tolist() == read
    assert asked(mine) == []


def test_a_number_that_the_book_writes_is_never_taken_for_thousands(mine):
    path = put(mine, "species;small_in;length_ft\nred oak;14;12\n", "logs")
    frame = records.append(path, {"species": "red oak", "small_in": "12.125", "length_ft": "10"})
    assert frame["small_in"].tolist() == [14, 12.125]
    assert records.read(path)["small_in"].tolist() == [14, 12.125]


def test_a_mark_that_speaks_of_several_boards_is_asked_about(mine):
    head = "board,log,species,nominal,width_in,length_ft,board_feet\n"
    rows = "1-1 thru 1-4,1,white oak,4/4,7,12,7\n11 (x3),2,white oak,4/4,7,12,7\n1-9,1,white oak,4/4,7,12,7\n"
    path = mine / "boards.csv"
    path.write_text(head + rows)
    (asked,) = [q for q in questions(read_usable(mine)) if "several boards" in q.asks]
    assert "2 marks seem to speak of several boards (row 2: 1-1 thru 1-4)" in asked.asks
    assert "Until that is answered, it stands for one." in asked.asks
    settle(path, asked, asked.answers[0])
    (asked,) = [q for q in questions(read_usable(mine)) if "several boards" in q.asks]
    assert "A mark seems to speak of several boards (row 6: 11 (x3))" in asked.asks
    settle(path, asked, asked.answers[1])
    found = read_usable(mine)
    assert list(found.tables["boards"]["board"]) == ["1-1", "1-2", "1-3", "1-4", "board 11 (x3)", "1-9"]
    assert not [q for q in questions(found) if "several boards" in q.asks] and not found.problems


@pytest.mark.parametrize("marks", ["1-1 1-2 1-3", "7-10 7-11 8-1", "1-3", "A1 A2", "10-12 3-4"])
def test_the_books_own_marks_are_no_ranges(mine, marks):
    rows = "".join(f"{m},{m.partition('-')[0]},white oak,4/4,7,12\n" for m in marks.split())
    for text in (rows, "".join(f"{m},,white oak,4/4,7,12\n" for m in marks.split())):
        (mine / "boards.csv").write_text(f"board,log,species,nominal,width_in,length_ft\n{text}")
        assert not [q for q in questions(read_usable(mine)) if "several boards" in q.asks]
