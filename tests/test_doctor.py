"""The doctor page of lesson 00: what it says of half-kept records, what its buttons write, and that it never fails."""

import pytest

from woodcalc import disk, records
from woodcalc.lesson import doctor, own
from woodcalc.lesson.box import plain
from woodcalc.lesson.doctor import choices_line, doctor_panel
from woodcalc.lesson.start import choices_panel
from woodcalc.records import choices, keep


@pytest.fixture
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "mine"))
    (tmp_path / "mine").mkdir()
    return tmp_path / "mine"


TABLES = {
    "logs": "log,species,Diameter (cm),length_ft\n1,northern red oak,40,12\n",
    "boards": "board,log,species,nominal,width_in,length_ft\n1-1,1,white oak,4/4,7,12\n1-2,9,white oak,4/4,7,12\n",
    "stacks": "stack,species,nominal,stacked\nA,northern red oak,4/4,2025-05-10\n",
    "readings": "Date,Pile,board,kind,Reading,unit\n5/10/2025,A,1-1,oven-dry,9.32,lb\n5/10/2025,A,1-1,weight,16.6,lb\n"
    "5/24/2025,A,1-1,weight,1.49,lb\n6/7/2025,A,1-1,weight,13.7,lb\n6/21/2025,A,1-1,weight,12..5,lb\n"
    "6/28/2035,A,1-1,weight,12.2,lb\n6/29/2025,B,1-1,weight,12.2,lb\n",
}


def put(folder, **tables):
    for name, text in tables.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")


def said(page):
    return plain(page.said)


def press(page, start):
    found = [b for text, b in page.buttons.items() if text.startswith(start)]
    assert len(found) == 1, (start, [*page.buttons])
    found[0].click()


def test_without_records_it_says_how_to_begin(my_wood):
    page = doctor_panel()
    assert "You keep no records yet: the form in lesson 8 begins them, in the folder" in said(page)
    assert 'href="08-keep-the-records.ipynb"' in page.said and not page.buttons
    my_wood.rmdir()
    assert "You keep no records yet" in said(doctor_panel()) and not my_wood.exists()


def test_a_name_of_several_woods_has_a_button_for_each(my_wood):
    put(
        my_wood,
        logs="log,species,small_in,length_ft\n1,ash,14,12\n2,white ash,15,12\n3,Ash,16,10\n4,hemlock,12,8\n",
    )
    page = doctor_panel()
    assert "1 row used, 3 set aside" in said(
        page
    ) and "Which one: black ash, green ash, Oregon ash or" in said(page)
    for name in ("black ash", "green ash", "Oregon ash", "white ash"):
        assert f"Mend row 2, species: ash becomes {name}" in page.buttons
    assert "Mend row 5, species: hemlock becomes eastern hemlock" in page.buttons
    press(page, "Mend all 2 as Oregon ash")
    text = (my_wood / "logs.csv").read_text(encoding="utf-8")
    assert [row.split(",")[1] for row in text.splitlines()[1:]] == [
        "Oregon ash",
        "white ash",
        "Oregon ash",
        "hemlock",
    ]


def test_good_records_are_said_to_be_well(my_wood):
    put(my_wood, logs="log,species,small_in,length_ft\n1,white oak,16,12\n", stacks=TABLES["stacks"])
    page = doctor_panel()
    assert "All is well: 2 rows in 2 of the four tables, all of them used." in said(page)
    assert "logs.csv\n1 row used, 0 set aside." in said(page)
    assert "Not begun yet: boards.csv, readings.csv." in said(page)
    assert "How it was read" not in said(page)  # each column by its own name: nothing to tell


def test_it_says_how_each_column_and_date_was_read_and_what_is_doubtful(my_wood):
    put(my_wood, **TABLES)
    text = said(doctor_panel())
    for line in [
        "column 'Diameter (cm)' read as small_in, in cm",
        "column 'Pile' read as stack",
        "column 'Reading' read as value",
        "dates in column date read as month/day/year",
        "3 rows used, 2 set aside, 1 left out. Row 8 waits for stack B and the board's oven-dry weight. Stack B is not "
        "in your stacks yet: add it in the table stacks. It can't be turned into moisture until you add this board's "
        "oven-dry weight (lesson 4).",
    ]:
        assert line in text.splitlines()
    for words in [
        "boards.csv, row 2, column species: found 'white oak'",
        "northern red oak, the wood of log 1 in logs.csv.",
        "boards.csv, row 3, column log: found '9'",
        "readings.csv, row 6, column value: found '12..5'",
        "readings.csv, row 7, column date: found '6/28/2035'",
        "Is the year right?",
        "readings.csv, row 4, column value: found '1.49'",
        "Is 14.9 meant?",
        "readings.csv, row 8, column stack: found 'B'",
    ]:
        assert words in text
    assert "?." not in text


READ = "date,stack,board,kind,value,unit\n"


def test_a_swapped_pair_and_a_pair_alike_get_no_button(my_wood):
    for wet in ("16.4", "19"):
        text = f"{READ}2025-05-10,A,1-3,weight,{wet},lb\n2025-06-10,A,1-3,oven-dry,19,lb\n"
        put(my_wood, readings=text, stacks=TABLES["stacks"])
        page = doctor_panel()
        assert not [b for b in page.buttons if b.startswith("Mend")]
        assert "All is well" not in said(page)
        asked = "swap them in the form" if wet == "16.4" else "Which of the two did you read off the scale?"
        assert asked in said(page)


def test_a_weighing_without_an_oven_dry_weight_waits(my_wood):
    put(my_wood, readings=f"{READ}2025-05-10,A,1-3,weight,16.4,lb\n", stacks=TABLES["stacks"])
    text = said(doctor_panel())
    assert "Row 2 waits for the board's oven-dry weight." in text
    assert "0 rows used, 0 set aside." in text and "all of them used" not in text
    put(my_wood, readings=READ + "".join(f"2025-05-{10 + n},A,1-3,weight,16,lb\n" for n in range(14)))
    text = said(doctor_panel())
    assert "13 and 2 more: each waits for the board's oven-dry weight." in text
    put(my_wood, readings=f"{READ}2025-05-10,A,1-3,weight,16.4,lb\n2025-05-10,A,1-3,oven-dry,9,lb\n")
    assert "All is well: 3 rows in 2 of the four tables, all of them used." in said(doctor_panel())


def test_a_mend_writes_that_one_cell_and_can_be_undone(my_wood):
    put(my_wood, **TABLES)
    page, path = doctor_panel(), my_wood / "readings.csv"
    press(page, "Mend row 6, value: 12..5 becomes 12.5")
    assert path.read_text() == TABLES["readings"].replace("12..5", "12.5")
    assert "Mended in readings.csv, row 6, value: 12..5 becomes 12.5." in said(page)
    assert "12..5" not in "".join(page.buttons) and "4 rows used, 1 set aside, 1 left out." in said(page)
    press(page, "Mend row 4, value: 1.49 becomes 14.9")
    assert list(records.read_usable(my_wood).tables["readings"]["value"])[2] == 14.9
    press(page, "Undo the last change of readings.csv")
    assert path.read_text() == TABLES["readings"].replace("12..5", "12.5")
    assert "Undone: row 4:" in said(page) and "14.9" in said(page)
    assert any(text.startswith("Mend row 4") for text in page.buttons)


def test_every_mend_that_is_offered_works_and_leaves_nothing_offered(my_wood):
    put(my_wood, **TABLES)
    page = doctor_panel()
    for _ in range(9):
        mends = [text for text in page.buttons if text.startswith("Mend")]
        if not mends:
            break
        press(page, mends[0])
        assert "Mended in" in said(page)
    assert mends == []
    assert list(records.read(my_wood / "boards.csv")["species"]) == ["northern red oak", "white oak"]
    assert f"{records.read(my_wood / 'readings.csv').loc[7, 'date']:%Y-%m-%d}" == "2025-06-28"


def test_a_cell_that_was_changed_in_between_is_not_written_over(my_wood):
    put(my_wood, **TABLES)
    page, path = doctor_panel(), my_wood / "readings.csv"
    path.write_text(TABLES["readings"].replace("12..5", "12.6"))
    press(page, "Mend row 6")
    assert "was changed in between" in said(page) and "12.6" in path.read_text()
    page.again.click()
    assert "was changed in between" not in said(page) and "12..5" not in said(page)


def test_a_spreadsheet_saved_meanwhile_is_seen_by_looking_again(my_wood):
    page = doctor_panel()
    put(my_wood, stacks=TABLES["stacks"])
    page.again.click()
    assert "All is well: 1 row in 1 of the four tables" in said(page)


def test_a_dozen_of_each_is_told_and_the_others_are_counted(my_wood):
    put(my_wood, logs="species,small_in,length_ft\n" + "white oak,wide,12\n" * 30)
    text = said(doctor_panel())
    assert text.count("found 'wide'") == 12 and "Set aside: 18 more in logs.csv. Mend these first" in text
    assert "0 rows used, 30 set aside." in text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "an empty file"),
        ("date,stack\n", "no such column"),
        ("date,date,stack,kind,value\n", "two columns of that name"),
    ],
)
def test_a_file_that_cannot_be_used_is_named(my_wood, text, words):
    put(my_wood, readings=text, stacks=TABLES["stacks"])
    page = doctor_panel()
    assert "readings.csv" in said(page) and words in said(page)
    assert "All is well" not in said(page)


def test_a_header_with_no_row_below_it_is_a_beginning(my_wood):
    put(my_wood, readings="date,stack,board,kind,value,unit\n", stacks=TABLES["stacks"])
    text = said(doctor_panel())
    assert "readings.csv\nIt has a header and no row yet." in text
    assert "All is well: 1 row in 1 of the four tables" in text and "Set aside" not in text


def test_bytes_that_are_no_text_and_a_folder_in_the_way(my_wood):
    (my_wood / "logs.csv").write_bytes(b"PK\x03\x04 a workbook")
    (my_wood / "stacks.csv").mkdir()
    text = said(doctor_panel())
    assert "logs.csv" in text and "workbook" in text and "stacks.csv" in text


def damaged(folder, how):
    """A table of three saves whose file was damaged since."""
    path = folder / "readings.csv"
    path.parent.mkdir(exist_ok=True)
    for n in (3, 4, 5):
        with disk.locked(path):
            keep.save(path, "".join(TABLES["readings"].splitlines(True)[:n]).encode())
    good = path.read_bytes()
    if how == "folder":
        path.unlink()
        path.mkdir()
    else:
        path.write_bytes(b"\0" * 300 if how == "all" else good + b"\0" * 300)
    return path, good


@pytest.mark.parametrize("how", ["folder", "all", "end"])
def test_a_damaged_file_goes_back_to_the_last_save(my_wood, how):
    path, good = damaged(my_wood, how)
    page = doctor_panel()
    assert "lesson 8" not in said(page).partition("readings.csv")[2]  # the form cannot mend it
    press(page, "Go back to readings.csv as it was on ")
    assert path.read_bytes() == good and "1 left out. Rows 2, 3, 5: each waits for stack A." in said(page)


def test_the_text_before_a_power_cut_can_be_kept(my_wood):
    path, good = damaged(my_wood, "end")
    broken = path.read_bytes()
    page = doctor_panel()
    press(page, "Yes: read the 4 rows before them")
    assert path.read_bytes() == good
    assert broken in [version.path.read_bytes() for version in keep.versions(path)]


def test_a_table_of_two_bytes_a_letter_without_a_mark_is_read_and_added_to(my_wood):
    path = my_wood / "readings.csv"
    path.write_bytes(TABLES["readings"].replace("..", ".").encode("utf-16-le"))
    rows = len(records.read(path))
    records.append(path, {"date": "2025-08-01", "stack": "A", "kind": "meter", "value": "14"})
    assert len(records.read(path)) == rows + 1 and path.read_bytes().decode("utf-16-le").startswith("Date")


def test_each_doubt_says_whether_the_row_is_used(my_wood):
    put(
        my_wood,
        readings="date,stack,board,kind,value,unit\n2025-05-10,A,1,oven-dry,9,lb\n2025-05-10,A,1,weight,16,lb\n"
        "2025-05-24,A,1,weight,1.4,lb\n2025-06-07,A,1,weight,12.6,lb\n2025-06-07,A,2,meter,2,%\n",
        stacks=TABLES["stacks"],
    )
    texts = said(doctor_panel()), plain(own.own_note(own.own_wood("readings")))
    for text in texts:
        [light] = [line for line in text.splitlines() if "found '1.4'" in line]
        [dry] = [line for line in text.splitlines() if "found '2'" in line]
        assert light.endswith("Left out.") or "Left out. Correct" in light
        assert "Left out." in dry and "hardly gets below 8 %. Is its first digit missing?" in dry


def test_choices_nested_without_end_are_told_plainly(my_wood):
    (my_wood / "choices.json").write_text("[" * 100_000)
    assert "recursion" not in said(doctor_panel()) and "choices.json" in said(doctor_panel())


def test_the_line_of_choices_follows_the_lists_above_it(my_wood):
    lists, line = choices_panel(), choices_line()
    assert "northern red oak" in repr(line)
    for name, value in dict(species_name="white oak", thickness="5/4", month=6).items():
        lists.dials[name].value = value
    assert "5/4 white oak; stacked in June." in repr(line) and "5/4 white oak" in line.still()


def test_broken_choices_and_a_folder_that_is_a_file_are_said(my_wood, tmp_path, monkeypatch):
    (my_wood / "choices.json").write_text("{broken")
    assert "choices.json" in said(doctor_panel()) and "Choose again in Start here." in said(doctor_panel())
    assert "choices.json" in repr(choices_line()) and "northern red oak" in repr(choices_line())
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "file"))
    assert f"{tmp_path / 'file'} is a file" in said(doctor_panel())


@pytest.mark.parametrize("name", ["read_usable", "mend"])
def test_whatever_goes_wrong_is_a_sentence(my_wood, monkeypatch, name):
    put(my_wood, **TABLES)

    def broken(*args, **kwargs):
        raise KeyError("a surprise")

    page = doctor_panel()
    monkeypatch.setattr(records, name, broken)
    page = doctor_panel() if name == "read_usable" else page
    if page.buttons:
        press(page, "Mend row 6")
    assert "a surprise" in said(page) and "Nothing else was changed." in said(page)
    assert "The doctor" not in said(page) and "Your records, looked through" in page.still()


def test_a_disk_that_is_full_when_a_mend_is_written(my_wood, monkeypatch):
    put(my_wood, **TABLES)
    page = doctor_panel()

    def full(*args, **kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(keep, "_sync", full)
    press(page, "Mend row 6")
    assert "the disk is full" in said(page) and (my_wood / "readings.csv").read_text() == TABLES["readings"]


def test_markup_in_the_records_stays_text(my_wood):
    put(my_wood, logs="log,species,small_in,length_ft\n<img src=x>,<b>oak</b>,16,12\n")
    page = doctor_panel()
    assert "<img" not in page.said and "&lt;b&gt;oak&lt;/b&gt;" in page.said


def test_what_is_doubtful_and_left_out_does_not_count_as_used(my_wood):
    """Two weighings swapped with the oven-dry weight: none of the three can be used."""
    head = "date,stack,board,kind,value,unit\n"
    rows = "2025-05-10,A,1-1,oven-dry,16.6,lb\n2025-05-10,A,1-1,weight,9.32,lb\n"
    put(my_wood, stacks=TABLES["stacks"], readings=f"{head}{rows}2025-05-24,A,1-1,weight,14.9,lb\n")
    found = records.read_usable()
    assert found.left_out == (2, 3, 4)
    text = said(doctor_panel())
    assert "readings.csv\n0 rows used, 0 set aside, 3 left out." in text
    assert "1 row can be used. Look below at 2 that may be wrong." in text
    assert text.count("Left out.") == 2


SIX = "16.60", "14.90", "13.70", "12.70", "11.95", "11.55"


@pytest.mark.parametrize(
    ("dry", "mend"),
    [
        ("93.2,lb", "Mend row 2, value: 93.2 becomes 9.32"),
        ("0.932,lb", "Mend row 2, value: 0.932 becomes 9.32"),
        ("4.23,lb", "Mend row 2, unit: lb becomes kg"),
        ("3.92,lb", ""),  # 9.32 with two digits swapped, or 3.92 kg
        ("50,lb", ""),
        ("2.1,lb", ""),
    ],
)
def test_one_wrong_oven_dry_weight_accuses_no_right_weighing(my_wood, dry, mend):
    days = "".join(
        f"2025-{5 + n // 2:02}-{10 + 14 * (n % 2)},A,1-1,weight,{lb},lb\n" for n, lb in enumerate(SIX)
    )
    put(my_wood, readings=f"{READ}2025-05-10,A,1-1,oven-dry,{dry}\n{days}", stacks=TABLES["stacks"])
    page = doctor_panel()
    assert [line for line in said(page).splitlines() if "row 2, column" in line]
    assert not [
        line for line in said(page).splitlines() if line.startswith("Looks wrong.") and "row 2," not in line
    ]
    assert [text for text in page.buttons if text.startswith("Mend")] == [mend] * bool(mend)
    if mend:
        press(page, mend)
        assert "All is well" in said(page)


@pytest.mark.parametrize("light", ["4.9", "6.6", "66", "1.22"])
def test_no_mend_makes_up_a_digit(my_wood, light):
    rows = "".join(
        f"2025-0{5 + n}-10,A,1-1,weight,{lb},lb\n" for n, lb in enumerate((light, "14.9", "13.7", "12.7"))
    )
    put(my_wood, readings=f"{READ}2025-05-10,A,1-1,oven-dry,9.32,lb\n{rows}", stacks=TABLES["stacks"])
    for text in [text for text in doctor_panel().buttons if ", value: " in text]:
        before, _, after = text.partition(": ")[2].partition(" becomes ")
        assert sorted(after.replace(".", "").strip("0")) == sorted(before.replace(".", "").strip("0")), text


def test_readings_that_contradict_the_forecast_are_not_well(my_wood):
    rows = "".join(f"2025-0{5 + n}-10,A,1-1,weight,16.6,lb\n" for n in range(4))
    put(my_wood, readings=f"{READ}2025-05-10,A,1-1,oven-dry,9.32,lb\n{rows}", stacks=TABLES["stacks"])
    text = said(doctor_panel())
    assert "All is well" not in text and "the readings contradict its forecast, so no date is told" in text


def test_the_same_slip_in_many_rows_is_told_once_and_mended_with_one_press(my_wood):
    rows = "".join(f"1-{i},1,white oak,{4 + i % 2}/4/26,7,12\n" for i in range(1, 10))
    put(my_wood, boards=f"board,log,species,nominal,width_in,length_ft\n{rows}1-10,1,white oak,4/4,7,12\n")
    before = (my_wood / "boards.csv").read_bytes()
    page = doctor_panel()
    assert said(page).count("a spreadsheet took it for a date") == 1
    assert "The same in rows 3 (4/4/26 becomes 4/4), 4 (5/4/26 becomes 5/4)," in said(page)
    press(page, "Mend all 9 like this")
    assert "Mended in boards.csv, column nominal: 9 rows." in said(page) and "All is well: 10 rows" in said(
        page
    )
    press(page, "Undo the last change of boards.csv")
    assert (my_wood / "boards.csv").read_bytes() == before


def test_of_many_mends_none_is_written_if_a_row_was_changed_in_between(my_wood):
    text = "board,log,species,nominal,width_in,length_ft\n" + "".join(
        f"1-{i},1,white oak,04/04/26,7,12\n" for i in (1, 2, 3)
    )
    put(my_wood, boards=text)
    page = doctor_panel()
    put(my_wood, boards=text.replace("1-3,", "1-4,"))
    press(page, "Mend all 3 like this")
    assert "row 4 is another row now" in said(page)
    assert (my_wood / "boards.csv").read_text(encoding="utf-8") == text.replace("1-3,", "1-4,")


def test_kettle_hollow_copied_whole_is_well(my_wood):
    for file in records.KETTLE_HOLLOW.glob("*.csv"):
        (my_wood / file.name).write_bytes(file.read_bytes())
    page = doctor_panel()
    assert "All is well: 92 rows in 4 of the four tables, all of them used." in said(page)
    assert "Good to know:\nrows 10 (32 %) and 14 (43 %): kept, not trusted" in said(page) and not page.buttons


@pytest.mark.parametrize("damage", [b"", b"\0" * 40])
def test_the_doctor_and_lesson_8_agree_about_a_stacks_table_that_cannot_be_read(my_wood, damage):
    for file in records.KETTLE_HOLLOW.glob("*.csv"):
        (my_wood / file.name).write_bytes(file.read_bytes())
    path = my_wood / "stacks.csv"
    path.write_bytes(damage and path.read_bytes() + damage)
    assert "readings.csv\n0 rows used, 0 set aside. Row" in said(doctor_panel())
    assert own.own_wood("stacks", "readings").whose == own.THEIRS


def test_each_mend_is_judged_once(my_wood, monkeypatch):
    rows = "".join(f"7{n},blck walnut,14,12\n" for n in range(3)) + "8,whyte oak,14,12\n"
    put(my_wood, logs=f"log,species,small_in,length_ft\n{rows}")
    judged, real = [], doctor.mends_well
    monkeypatch.setattr(doctor, "mends_well", lambda found, *some: judged.append(some) or real(found, *some))
    page = doctor_panel()
    assert [b for b in page.buttons if b.startswith("Mend all 3")] and len(judged) == len({*judged}) == 3
    monkeypatch.setattr(doctor, "mends_well", lambda found, *some: judged.append(some) or len(some) == 1)
    judged.clear()
    page.look()
    assert len(judged) == len({*judged}) == 5  # all three, each of them, and the other


def test_a_table_under_another_name_is_taken_by_a_button(my_wood):
    (my_wood / "Readings.CSV").write_text("date,stack,board,kind,value,unit\n2025-05-10,A,1,meter,24,%\n")
    put(my_wood, stacks=TABLES["stacks"])
    if "readings" in records.read_usable().tables:
        pytest.skip("this disk makes no difference of capitals")
    page = doctor_panel()
    assert "readings.csv" not in said(page).partition("Not begun yet")[2].partition("\n")[0]
    press(page, "Take Readings.CSV as readings.csv")
    assert "Readings.CSV is readings.csv now." in said(page)
    assert len(records.read_usable().tables["readings"]) == 1


def test_all_is_not_well_while_a_question_is_open(my_wood):
    put(my_wood, stacks="stack,species,nominal,stacked,start_mc_pct\nA,white oak,4/4,2025-05-01,35\n")
    assert "All is well" in said(doctor_panel())
    text = "date,stack,mark on the board,kind,value,unit\n2025-05-10,A,x7,meter,30,%\n"
    put(my_wood, readings=text)
    page = doctor_panel()
    assert "All is well" not in said(page) and "leaves a question open. Answer it below." in said(page)


def test_many_things_that_are_good_to_know_are_told_in_a_dozen_lines(my_wood):
    put(my_wood, stacks="stack,species,nominal,stacked,start_mc_pct\nA,white oak,4/4,2025-05-01,35\n")
    put(my_wood, boards="board,species,nominal,width_in,length_ft\nx1,white oak,4/4,6,8\n")
    rows = "".join(f"2025-05-10,A,{board},meter,30,%\n" for board in ["x1", *(f"q{i}" for i in range(21))])
    put(my_wood, readings=f"date,stack,board,kind,value,unit\n{rows}")
    told = said(doctor_panel()).partition("Good to know:")[2]
    assert told.count("boards.csv has no board") == doctor.SHOWN and "and 9 more like these" in told


@pytest.mark.parametrize("name", ["choices.json", "written.json"])
@pytest.mark.parametrize(
    ("there", "why"),
    [
        (b"\0" * 4096, "only empty bytes, as a power cut"),
        (b'{"doyle": {"asked": "How', "breaks off"),
        (b"", "is empty"),
    ],
)
def test_a_broken_file_of_the_books_own_is_told_plainly_and_set_aside_by_a_press(my_wood, name, there, why):
    (my_wood / name).write_bytes(there)
    page = doctor_panel()
    text = said(page)
    assert f"{name} can" in text and why in text and "Expecting value" not in text and "column 1" not in text
    press(page, f"Set {name} aside, and begin a new one")
    assert (my_wood / f"{name.removesuffix('.json')} set aside.json").read_bytes() == there
    assert not (my_wood / name).exists() and f"Set {name} aside" not in str(list(page.buttons))
    assert "cannot be read" not in said(page) and "can't be read" not in said(page)


def test_choices_go_back_to_the_last_that_can_be_read(my_wood):
    choices.keep(month=6)
    choices.keep(month=7)
    kept_before = (my_wood / "choices.json").read_bytes()
    choices.keep(month=8)
    (my_wood / "choices.json").write_bytes(b"\0" * 100)
    page = doctor_panel()
    press(page, "Go back to choices.json as it was on ")
    assert (my_wood / "choices.json").read_bytes() in (kept_before, kept_before.replace(b"7", b"8"))
    assert choices.kept_choices().month in (7, 8)


def test_rows_that_another_program_took_out_are_told_first_and_both_answers_can_be_taken_back(my_wood):
    path = my_wood / "logs.csv"
    row = {"species": "red oak", "small_in": 14, "length_ft": 12}
    records.append(path, row)
    older = path.read_bytes()
    for size in (15, 16, 17):
        records.append(path, row | {"small_in": size})
    whole = path.read_bytes()
    path.write_bytes(older.replace(b",12", b",13"))
    page = doctor_panel()
    assert plain(page.said).startswith(
        "3 rows that you saved are no longer in logs.csv: they were in it at the save"
    )
    assert "But another program changed logs.csv: see above." in said(page) and "All is well" not in said(
        page
    )
    assert "One row of logs.csv says something else than you saved: another program wrote the file" in said(
        page
    )
    assert "Row 2: length_ft: 12 is now 13." in said(page)
    shown = own.show(lambda wood, say: "<p>ok</p>", "logs", lesson="01")
    assert "3 rows that you saved are no longer in logs.csv" in plain(
        shown.data if hasattr(shown, "data") else str(shown)
    )
    press(page, "They are meant to be gone")
    assert "Noted: 3 rows of logs.csv meant to be gone." in said(page) and "no longer in" not in said(page)
    press(page, "The new one is right")  # asked apart: it was no older table that did this
    assert "logs.csv says what it is meant to say." in said(page) and "than you saved" not in said(page)
    press(page, "Put it back after all")
    assert "length_ft: 12 is now 13" not in said(page) and b",13" not in path.read_bytes()
    keep.restore_version(path, next(v for v in keep.versions(path) if v.path.read_bytes() == whole))
    path.write_bytes(older.replace(b",12", b",11"))
    page = doctor_panel()
    press(page, "They are meant to be gone")
    press(page, "Put them back after all")
    assert len(records.read(path)) == 4 and "3 rows of logs.csv put back." in said(page)
    press(page, "Undo the last change of logs.csv")
    assert len(records.read(path)) == 1 and "no longer in" not in said(page)
    keep.restore_version(path, next(v for v in keep.versions(path) if v.path.read_bytes() == whole))
    path.write_bytes(older)
    page = doctor_panel()
    press(page, "Put them back")
    assert path.read_bytes() == whole and "All is well: 4 rows" in said(page)


def test_a_correction_that_another_program_undid_and_a_row_with_the_same_mark_are_asked_about(my_wood):
    path = my_wood / "logs.csv"
    frame = records.append(path, {"species": "red oak", "small_in": 14, "length_ft": 12})
    older = path.read_bytes()
    records.correct(path, 2, frame.loc[2], {**frame.loc[2], "small_in": 15})
    right = path.read_bytes()
    path.write_bytes(older)
    page = doctor_panel()
    assert "Row 2 says small_in 14 again, as before your change of" in said(page)
    assert "But another program changed logs.csv: see above." in said(page)
    press(page, "It is meant to say this")
    assert "All is well" in said(page) and path.read_bytes() == older
    press(page, "Put it back after all")
    assert path.read_bytes() == right and "All is well" in said(page)
    records.append(path, {"species": "black walnut", "small_in": 20, "length_ft": 8})
    path.write_bytes(right.rstrip() + b"\n2,white ash,11,14\n")
    page = doctor_panel()
    press(page, "Keep both")
    assert "The log 2 that came back is log 3 now, because another row has become log 2." in said(page)
    assert b"white ash" in path.read_bytes() and b"black walnut" in path.read_bytes()


def test_a_table_that_is_marked_read_only_is_told(my_wood):
    put(my_wood, logs="log,species,small_in,length_ft\n1,white ash,14,12\n")
    (my_wood / "logs.csv").chmod(0o444)
    page = doctor_panel()
    assert "logs.csv can be read, but not written: it is marked read-only" in said(page)
    assert "All is well" not in said(page) and "All that is there can be used: 1 row" in said(page)
    (my_wood / "logs.csv").chmod(0o644)
    page.again.click()
    assert "All is well: 1 row" in said(page)
