"""Records: what spreadsheets write is read, what cannot be right is named, and no save loses anything."""

import errno
import os
import signal
import subprocess
import sys
import textwrap
import time

import pandas as pd
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from woodcalc import disk, records
from woodcalc.checks import InputError
from woodcalc.logs import MOST_FT3, Log, last_scaled_in, lifted_ft3, segments
from woodcalc.records import keep

HEAD = "log,species,small_in,length_ft\n"
PLAIN = "log,species,small_in,length_ft\n1,northern red oak,14.5,12\n2,white oak,12,10\n"


@pytest.fixture
def logs(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text(PLAIN)
    return path


def errors(path, text, table=None, encoding="utf-8"):
    """The problems of a file with this text, which reading must not change."""
    path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
    before = path.read_bytes()
    with pytest.raises(records.RecordsError) as caught:
        records.read(path, table)
    assert path.read_bytes() == before
    return caught.value


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("plain", PLAIN.encode()),
        ("byte-order mark", b"\xef\xbb\xbf" + PLAIN.encode()),
        ("UTF-16", PLAIN.encode("utf-16")),
        ("Windows line ends", PLAIN.replace("\n", "\r\n").encode()),
        ("old Mac line ends", PLAIN.replace("\n", "\r").encode()),
        ("no end of line at the end", PLAIN.rstrip("\n").encode()),
        ("semicolons and decimal commas", PLAIN.replace(",", ";").replace("14.5", "14,5").encode()),
        ("tabs", PLAIN.replace(",", "\t").encode()),
        ("a sep line", b"sep=;\r\n" + PLAIN.replace(",", ";").encode()),
        ("extra spaces", PLAIN.replace(",", " ,  ").encode()),
        ("headers in capitals", PLAIN.replace("small_in", "SMALL_IN").replace("log,", "Log,").encode()),
        ("other headers", PLAIN.replace("log,species,small_in,length_ft", "#,Wood,Dia.,Length").encode()),
        (
            "units in the header",
            PLAIN.replace("small_in", "Small end (in)").replace("length_ft", "Length in feet").encode(),
        ),
        ("millimetres", b"log,species,Diameter mm,length\n1,red oak,368.3,12\n2,white oak,304.8,10\n"),
        ("fractions", PLAIN.replace("14.5", "14 1/2").encode()),
        ("fraction signs", PLAIN.replace("14.5", "14½").encode()),
        ("inch and foot marks", PLAIN.replace("14.5", '14-1/2"').replace("12\n", "12'\n").encode()),
        ("feet and inches", PLAIN.replace("14.5", "1' 2 1/2\"").encode()),
        ("a title above", b"Our tally,,,\n\n" + PLAIN.encode()),
        ("a comment above", b'"# Ours, by hand"\n' + PLAIN.encode()),
        ("blank rows", PLAIN.replace("2,white", ",,,\n\n2,white").encode()),
        ("empty cells to the right", PLAIN.replace("\n", ",,\n").encode()),
        ("names of the trade", PLAIN.replace("northern red oak", "Red Oak").encode()),
    ],
)
def test_reads_what_people_write(tmp_path, name, data):
    path = tmp_path / "logs.csv"
    path.write_bytes(data)
    frame = records.read(path)
    assert path.read_bytes() == data
    assert list(frame["log"]) == ["1", "2"]
    assert list(frame["species"]) == ["northern red oak", "white oak"]
    assert list(frame["small_in"]) == pytest.approx([14.5, 12])
    assert list(frame["length_ft"]) == [12, 10]
    assert list(frame["trim_in"]) == [4, 4]  # the default


def test_other_columns_are_kept_and_labels_filled(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text("species,diameter,length,Owner\nwhite oak,12,10,Ada\nwhite oak,13,10,\n")
    frame = records.read(path)
    assert list(frame["Owner"]) == ["Ada", ""]
    assert list(frame["log"]) == ["1", "2"]
    assert list(frame.index) == [2, 3]  # rows as a spreadsheet counts


def test_thickness_that_a_spreadsheet_took_for_a_date(tmp_path):
    path = tmp_path / "boards.csv"
    path.write_text(
        "species,nominal,width_in,length_ft\nwhite oak,4-Apr,6,8\nwhite oak,4-May,6,8\n"
        "white oak,Aug-04,6,8\nwhite oak,1.5,6,8\nwhite oak,05. Apr,6,8\n"
    )
    frame = records.read(path)
    assert list(frame["nominal"]) == ["4/4", "5/4", "8/4", "6/4", "5/4"]
    assert any("took for a date" in note for note in frame.attrs["notes"])
    assert list(frame["board_feet"]) == pytest.approx([4, 5, 8, 6, 5])  # 1 in x 6 in x 8 ft / 12 = 4 bf


@pytest.mark.parametrize(
    "text",
    [
        "2025-05-24",
        "2025/5/24",
        "5/24/2025",
        "24/5/2025",
        "24.05.2025",
        "5-24-25",
        "May 24, 2025",
        "24 May 2025",
        "24-May-25",
        "24th May 2025",
        "2025-05-24 00:00:00",
        "24. Mai 2025".replace("Mai", "May"),
    ],
)
def test_dates(tmp_path, text):
    path = tmp_path / "readings.csv"
    path.write_text(f'date,stack,kind,value\n"{text}",A,meter,20\n')
    assert records.read(path)["date"].iloc[0] == pd.Timestamp("2025-05-24")


def test_one_clear_date_settles_the_column_and_says_so(tmp_path):
    path = tmp_path / "readings.csv"
    path.write_text("date,stack,kind,value\n5/6/2025,A,meter,30\n5/24/2025,A,meter,20\n")
    frame = records.read(path)
    assert frame["date"].iloc[0] == pd.Timestamp("2025-05-06")
    assert frame.attrs["notes"] == ["dates in column date read as month/day/year"]
    path.write_text("date (d/m/y),stack,kind,value\n5/6/2025,A,meter,30\n")
    assert records.read(path)["date"].iloc[0] == pd.Timestamp("2025-06-05")


def test_date_that_could_be_two_days_is_refused(tmp_path):
    error = errors(tmp_path / "readings.csv", "date,stack,kind,value\n5/6/2025,A,meter,30\n")
    assert "2025-05-06 or 2025-06-05" in str(error)
    error = errors(
        tmp_path / "readings.csv",
        "date,stack,kind,value\n13/6/2025,A,meter,30\n5/24/2025,A,meter,20\n1/2/2025,A,meter,9\n",
    )
    assert [p.row for p in error.problems] == [4]


@pytest.mark.parametrize(
    ("text", "row", "column", "found", "words"),
    [
        (HEAD + "1,white oak,-12,10\n", 2, "small_in", "'-12'", "3 to 80 in"),
        (HEAD + "1,white oak,abc,10\n", 2, "small_in", "'abc'", "a number"),
        (HEAD + "1,white oak,,10\n", 2, "small_in", "nothing", "a number"),
        (HEAD + "1,white oak,nan,10\n", 2, "small_in", "'nan'", "a number"),
        (HEAD + "1,white oak,1_4,10\n", 2, "small_in", "'1_4'", "a number"),
        (HEAD + "1,white oak,12,144\n", 2, "length_ft", "'144'", "in inches"),
        (HEAD + "1,white oak,12 lb,10\n", 2, "small_in", "'12 lb'", "This is in inches, not in pounds"),
        (HEAD + '1,white oak,"1,200",10\n', 2, "small_in", "'1,200'", "1200 or 1.200"),
        (HEAD + "1,wite oka,12,10\n", 2, "species", "'wite oka'", "white oak"),
        (HEAD + "\n1,white oak,3 1/0,10\n", 3, "small_in", "'3 1/0'", "a number"),
        (HEAD + "1,white oak,12,5,10\n", 2, "all", "5 cells", "decimal comma"),
        ("log,species,small_in,large_in,length_ft\n1,white oak,12,10,10\n", 2, "large_in", "10", "swapped"),
        (HEAD + "7,white oak,12,10\n7,white oak,12,10\n", 3, "log", "'7' again", "row 2"),
        (
            "log,spcies,small_in,length_ft\n1,white oak,12,10\n",
            1,
            "species",
            "no such column",
            "'spcies' meant",
        ),
        (HEAD + '1,white oak,"12,10\n2,white oak,12,10\n', 2, "all", "quotation", ""),
    ],
)
def test_names_file_row_column_found_and_expected(tmp_path, text, row, column, found, words):
    error = errors(tmp_path / "logs.csv", text)
    problem = error.problems[0]
    assert (problem.file, problem.row, problem.column) == ("logs.csv", row, column)
    assert found in problem.found
    assert words in problem.expected
    assert isinstance(error, InputError)
    where = f"logs.csv, row {row}" + ("" if column == "all" else f", column {column}")
    assert f"{where}: found " in str(error)


def test_a_header_that_is_missing_altogether(tmp_path):
    assert "first row the header?" in str(
        errors(tmp_path / "logs.csv", "1,white oak,12,10\n2,white oak,12,10\n")
    )


def test_files_that_are_no_tables(tmp_path):
    assert "workbook" in str(errors(tmp_path / "logs.csv", b"PK\x03\x04more"))
    assert "empty" in str(errors(tmp_path / "logs.csv", b""))
    assert "no text" in str(errors(tmp_path / "logs.csv", b"\x00\x01\x02\x00"))
    with pytest.raises(InputError, match="no file"):
        records.read(tmp_path / "none.csv", "logs")
    with pytest.raises(InputError, match="Did you mean logs"):
        records.read(tmp_path / "none.csv", "log")


def test_all_problems_are_kept_and_a_dozen_shown(tmp_path):
    rows = "".join(f"{i},white oak,-1,10\n" for i in range(40))
    error = errors(tmp_path / "logs.csv", "log,species,small_in,length_ft\n" + rows)
    assert len(error.problems) == 40
    assert str(error).count("\n") == 12
    assert str(error).endswith("... and 28 more like these")


def test_readings_that_do_not_agree_with_themselves(tmp_path):
    error = errors(
        tmp_path / "readings.csv",
        "date,stack,board,kind,value,unit\n2025-05-01,A,1,weight,12,\n"
        "2025-05-01,A,1,meter,640,\n2025-05-01,A,1,meter,20,lb\n2025-05-01,A,1,guess,20,%\n",
    )
    assert [(p.row, p.column) for p in error.problems] == [
        (2, "unit"),
        (3, "value"),
        (4, "unit"),
        (5, "kind"),
    ]


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=80))
def test_any_text_gives_a_table_or_an_input_error(tmp_path_factory, text):
    path = tmp_path_factory.mktemp("any") / "logs.csv"
    path.write_bytes((HEAD + "" + text).encode("utf-8", "surrogatepass"))
    try:
        records.read(path)
    except InputError as error:
        assert str(error)


@settings(max_examples=40, deadline=None)
@given(st.floats(3, 80), st.floats(2, 60), st.sampled_from([";", ",", "\t"]))
def test_numbers_come_back_as_written(tmp_path_factory, small, length, delimiter):
    assume(lifted_ft3(small, small + length / 8, length) < 0.999 * MOST_FT3)  # four digits are written
    assume(last_scaled_in(small, small + length / 8, length) < 79.99)
    path = tmp_path_factory.mktemp("back") / "logs.csv"
    comma = "," if delimiter == ";" else "."
    cells = ["1", "white oak", f"{small:.4f}".replace(".", comma), f"{length:.4f}".replace(".", comma)]
    path.write_text(
        delimiter.join(["log", "species", "small_in", "length_ft"]) + "\n" + delimiter.join(cells) + "\n"
    )
    row = records.read(path).iloc[0]
    assert row["small_in"] == pytest.approx(small, abs=6e-5)  # half of the last digit written
    assert row["length_ft"] == pytest.approx(length, abs=6e-5)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([3, 30, 55, 60, 68, 76, 80]),
    st.sampled_from([0, 2, 6, 25, 40]) | st.none(),
    st.sampled_from([2, 12, 16.5, 36, 54, 60]),
    st.sampled_from([0, 4, 24]) | st.none(),
)
@example(68, None, 54, None)  # 1,504 cubic feet: large, and can be
def test_a_log_that_can_be_is_one_to_the_table_and_to_the_book(tmp_path_factory, small, more, length, trim):
    measured = dict(species="white oak", small_in=small, length_ft=length) | (
        {} if trim is None else {"trim_in": trim}
    )
    if more is not None:
        measured["large_in"] = small + more
    if small + (more or 0) > 120:
        return
    path = tmp_path_factory.mktemp("large") / "logs.csv"
    path.write_text("\n".join(",".join(map(str, each)) for each in (measured, measured.values())) + "\n")
    try:
        segments(Log(**measured))
    except InputError:
        assert "cm, or the distance around the log?" in str(errors(path, path.read_bytes()))
    else:
        assert records.read(path)["small_in"].tolist() == [small]


def test_ten_thousand_rows(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text(
        HEAD
        + ""
        + "".join(
            f"{i},{('white oak', 'red oak', 'Hard Maple')[i % 3]},{8 + i % 20}.{i % 10},{8 + 2 * (i % 5)}\n"
            for i in range(10_000)
        )
    )
    frame = records.read(path)
    assert len(frame) == 10_000
    assert frame["small_in"].iloc[-1] == 8 + 9999 % 20 + 0.9


def test_kettle_hollow_reads_and_says_that_it_is_invented():
    tables = records.read_folder(records.KETTLE_HOLLOW)
    assert 12 <= len(tables["logs"]) <= 20
    assert tables["logs"]["species"].nunique() >= 4
    assert records.links(tables) == []
    for path in records.KETTLE_HOLLOW.glob("*.csv"):
        assert "Invented" in path.read_text().splitlines()[0], path.name


def test_own_folder_once_it_holds_records(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path))
    assert records.folder() == records.KETTLE_HOLLOW
    records.append(tmp_path / "logs.csv", ROW)
    assert records.folder() == tmp_path


def test_folder_without_tables(tmp_path):
    with pytest.raises(InputError, match="none of logs.csv"):
        records.read_folder(tmp_path)
    with pytest.raises(InputError, match="no folder"):
        records.read_folder(tmp_path / "none")


ROW = {"log": "3", "species": "white ash", "small_in": "11 1/4", "length_ft": "8"}


def test_append_leaves_every_other_byte(tmp_path):
    path = tmp_path / "logs.csv"
    head = "\ufeffOur tally;;;\r\nLog #;Species;Diameter (cm);Length (m);Owner\r\n"
    old = (head + "1;Red Oak ;40,5;3,66;Ada\r\n").encode()
    path.write_bytes(old)
    frame = records.append(path, ROW)
    assert path.read_bytes() == old + b"3;white ash;28,575;2,4384;\r\n"  # 11.25 x 2.54, 8 x 0.3048
    assert frame.loc[4, "small_in"] == pytest.approx(11.25)
    assert keep.versions(path)[0].path.read_bytes() == old


def test_append_to_a_file_without_end_of_line_or_column(logs):
    logs.write_text(PLAIN.rstrip("\n"))
    frame = records.append(logs, {**ROW, "note": "leans, a lot"})
    assert list(frame["note"]) == ["", "", "leans, a lot"]
    assert logs.read_text().splitlines()[0] == "log,species,small_in,length_ft,note"
    assert logs.read_text().splitlines()[1:3] == PLAIN.splitlines()[1:]


def test_append_makes_the_file_and_checks_the_row(tmp_path):
    path = tmp_path / "new" / "logs.csv"
    with pytest.raises(records.RecordsError, match="column species"):
        records.append(path, {**ROW, "species": "wite ash"})
    assert not path.exists()
    assert len(records.append(path, ROW)) == 1
    with pytest.raises(records.RecordsError, match="again"):
        records.append(path, ROW)
    assert len(records.read(path)) == 1


def test_correct_changes_one_cell_only(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text(
        "log,species,Diameter (cm),length,Owner\n1,Red oak,40.50,12',Ada\n2,White ash,30,10,Ben\n"
    )
    before = records.read(path).loc[2]
    records.correct(path, 2, before, {**before[["log", "species", "small_in"]], "length_ft": 10})
    assert path.read_text().splitlines()[1:] == ["1,Red oak,40.50,10,Ada", "2,White ash,30,10,Ben"]
    records.correct(path, 2, records.read(path).loc[2], None)
    assert path.read_text().splitlines()[1:] == ["2,White ash,30,10,Ben"]


def test_correct_refuses_a_row_that_changed_in_between(logs):
    seen = records.read(logs).loc[2]
    logs.write_text(PLAIN.replace("14.5", "15"))
    with pytest.raises(
        records.ChangedError, match="row 2 now reads log 1, species northern red oak, small_in 15"
    ):
        records.correct(logs, 2, seen, {**ROW})
    logs.write_text(HEAD + "")
    with pytest.raises(records.ChangedError, match="row 2 is gone"):
        records.correct(logs, 2, seen, {**ROW})
    assert logs.read_text() == "log,species,small_in,length_ft\n"


def test_write_needs_the_version_that_was_read(logs):
    frame = records.read(logs)
    other = records.read(logs)
    frame.loc[2, "small_in"] = 15.0
    version = records.write(logs, frame, version=frame.attrs["version"])
    assert records.read(logs).attrs["version"] == version
    with pytest.raises(records.ChangedError, match="changed in between"):
        records.write(logs, other, version=other.attrs["version"])
    with pytest.raises(records.ChangedError, match="already there"):
        records.write(logs, other)
    assert records.read(logs).loc[2, "small_in"] == 15
    frame.loc[2, "small_in"] = -1.0
    with pytest.raises(records.RecordsError):
        records.write(logs, frame, version=version)


WRITER = """
    import sys
    from woodcalc import records
    path, name, count = sys.argv[1], sys.argv[2], int(sys.argv[3])
    for i in range(count):
        row = {"log": f"{name}{i}", "species": "white oak", "small_in": 12, "length_ft": 10}
        records.append(path, row, "logs")
        print(i, flush=True)
"""


def start(path, name, count):
    code = textwrap.dedent(WRITER)
    return subprocess.Popen([sys.executable, "-c", code, str(path), name, str(count)], stdout=subprocess.PIPE)


def test_two_programs_that_add_to_one_file(logs):
    writers = [start(logs, name, 15) for name in "AB"]
    for writer in writers:
        out, _ = writer.communicate(timeout=120)
        assert writer.returncode == 0
    assert len(records.read(logs)) == 2 + 30


def test_killed_while_saving(logs):
    """Kill -9 at many moments: every row reported as saved is there, and the file always reads."""
    for turn in range(6):
        writer = start(logs, f"{turn}-", 10_000)
        for _ in range(3 + turn):
            said = writer.stdout.readline()
        time.sleep(0.003 * turn)
        writer.send_signal(signal.SIGKILL)
        rest, _ = writer.communicate(timeout=60)
        saved = int((said + rest).split()[-1]) + 1
        labels = [label for label in records.read(logs)["log"] if label.startswith(f"{turn}-")]
        assert labels[:saved] == [f"{turn}-{i}" for i in range(saved)]
        assert len(labels) <= saved + 1  # one more may be saved and not yet reported
        records.append(logs, {**ROW, "log": f"after {turn}"})  # the dead program's lock does not bar us
    assert list(records.read(logs)["log"][:2]) == ["1", "2"]


@pytest.mark.parametrize("step", ["write", "fsync", "replace"])
def test_killed_at_each_step(logs, step):
    code = f"""
        import os, signal
        from woodcalc import records
        from woodcalc.records import keep
        die = lambda *a, **k: os.kill(os.getpid(), signal.SIGKILL)
        if {step!r} == "write":
            real = open
            class Half:
                def __init__(self, file): self.file = file
                def __enter__(self): return self
                def __exit__(self, *a): self.file.close()
                def write(self, data): self.file.write(data[: len(data) // 2]); self.file.flush(); die()
            keep.open = lambda p, mode: Half(real(p, mode)) if mode == "wb" else real(p, mode)
        else:
            setattr(os, {step!r}, die)
        records.append({str(logs)!r}, {{"species": "white oak", "small_in": 12, "length_ft": 10}})
    """
    done = subprocess.run([sys.executable, "-c", textwrap.dedent(code)], check=False)
    assert done.returncode == -signal.SIGKILL
    assert logs.read_text() == PLAIN
    assert len(records.append(logs, ROW)) == 3
    assert sorted(p.name for p in logs.parent.iterdir() if p.suffix == ".new") == []


def test_full_disk(logs):
    """A limit on file size stands for the full disk: the write stops half way with a system error."""
    code = f"""
        import resource, sys
        from woodcalc import records
        limit = {len(PLAIN) + 5}
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        try:
            records.append({str(logs)!r}, {{"species": "white oak", "small_in": 12, "length_ft": 10}})
        except records.SaveError as error:
            print(error)
    """
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(code)], capture_output=True, text=True, check=True
    )
    assert "logs.csv was not saved: the disk is full" in done.stdout
    assert logs.read_text() == PLAIN
    assert not list(logs.parent.glob(".*.new"))


@pytest.mark.parametrize("name", ["write_bytes", "fsync", "replace"])
def test_full_disk_at_each_step(logs, monkeypatch, name):
    def full(*_args, **_more):
        raise OSError(errno.ENOSPC, "No space left on device")

    if name == "write_bytes":
        monkeypatch.setattr(keep, "_written", full)
    else:
        monkeypatch.setattr(os, name, full)
    with pytest.raises(records.SaveError, match="disk is full.*still there"):
        records.append(logs, ROW)
    monkeypatch.undo()
    assert logs.read_text() == PLAIN
    assert len(records.append(logs, ROW)) == 3


def test_read_only_file(logs):
    logs.chmod(0o444)
    with pytest.raises(
        records.SaveError, match=r"logs.csv was not saved: it may not be written. Marked read-only"
    ):
        records.append(logs, ROW)
    assert logs.read_text() == PLAIN
    logs.chmod(0o644)
    assert len(records.append(logs, ROW)) == 3


def test_a_row_that_is_set_aside_stays_and_good_rows_come_after_it(logs):
    logs.write_text(PLAIN + "3,white oak,minus,10\n")
    frame = records.append(logs, {**ROW, "log": "9"})
    assert list(frame["log"]) == ["1", "2", "9"] and list(frame.index) == [2, 3, 5]
    assert logs.read_text().startswith(PLAIN + "3,white oak,minus,10\n9,")
    with pytest.raises(records.RecordsError, match="row 4 has it already"):
        records.append(logs, {**ROW, "log": "3"})
    assert records.append(logs, {**ROW, "log": ""})["log"].iloc[-1] == "10"
    records.correct(logs, 3, frame.loc[3], {**frame.loc[3], "length_ft": 8})
    written = records.as_written(logs, 4)
    assert written["small_in"] == "minus"
    with pytest.raises(records.RecordsError, match="small_in"):
        records.correct(logs, 4, written, {**written, "length_ft": "12"})
    with pytest.raises(records.ChangedError, match="row 4 now reads log 3"):
        records.correct(logs, 4, {**written, "small_in": "plus"}, {**written, "small_in": "14"})
    assert records.correct(logs, 4, written, {**written, "small_in": "14"}).loc[4, "small_in"] == 14
    assert len(records.read(logs)) == 5


def test_a_row_that_is_set_aside_can_be_taken_out_and_others_before_it(logs):
    logs.write_text(PLAIN + "3,white oak,minus,10\n")
    frame = records.correct(logs, 2, records.read_usable(logs.parent, ["logs"]).tables["logs"].loc[2], None)
    assert list(frame["log"]) == ["2"]
    assert list(records.correct(logs, 3, records.as_written(logs, 3), None)["log"]) == ["2"]
    assert "minus" not in logs.read_text()


@pytest.mark.parametrize(
    "broken", ['2,"white oak,12,10,\n', '2,white oak,12,10,"a\n', '2,"white "oak,12,10,\n']
)
@pytest.mark.parametrize("note", ['he said "sound", and so it was', "a,b", '"', ', "'])
def test_a_quotation_mark_that_stays_open_swallows_no_new_row(logs, broken, note):
    before = "log,species,small_in,length_ft,note\n1,white oak,14,12,\n" + broken
    logs.write_text(before)
    frame = records.append(logs, {**ROW, "log": "9", "note": note})
    assert list(frame["log"]) == ["1", "9"] and frame["note"].iloc[-1] == note
    assert logs.read_text().startswith(before)


def test_a_program_that_holds_the_file_too_long(logs):
    with (
        disk.locked(logs),
        pytest.raises(records.SaveError, match="another program"),
        disk.locked(logs, wait_s=0.1),
    ):
        pass


def test_a_link_stays_a_link(logs, tmp_path):
    link = tmp_path / "elsewhere" / "logs.csv"
    link.parent.mkdir()
    link.symlink_to(logs)
    records.append(link, ROW)
    assert link.is_symlink()
    assert len(records.read(logs)) == 3


def test_weights_become_moisture_contents(tmp_path):
    path = tmp_path / "readings.csv"
    path.write_text(
        "date,stack,board,kind,value,unit,temp_f\n2025-05-10,A,1,oven-dry,10,lb,\n2025-05-10,A,1,weight,18,lb,\n"
        "2025-06-10,A,1,weight,5.44310844,kg,\n2025-06-10,A,2,meter,22,%,\n2025-06-10,A,3,weight,9,lb,\n"
        "2025-06-10,B,1,meter,12,%,\n"
    )
    found = records.mc_readings(records.read(path), "A", "white oak")
    assert list(found["mc_pct"]) == pytest.approx([80, 20, 22])  # (18-10)/10; 5.44310844 kg = 12 lb
    assert found.attrs["notes"] == [
        "One weighing of board 3 on 2025-06-10 waits for the board's oven-dry weight: "
        "add it (a row of kind oven-dry)."
    ]


def test_what_was_read_is_written_back_and_a_list_of_rows_will_do(tmp_path):
    rows = [{"log": "1", "species": "white oak", "small_in": 16, "length_ft": 12}]
    records.write(tmp_path / "logs.csv", rows)
    frame = records.read(tmp_path / "logs.csv")
    records.write(tmp_path / "logs.csv", frame.assign(note="dry"))
    assert records.read(tmp_path / "logs.csv").note.tolist() == ["dry"]
    with pytest.raises(records.ChangedError, match="Nothing was written"):
        records.write(tmp_path / "logs.csv", frame)  # read before the last write


def test_two_columns_of_one_name(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text("log,species,small_in,small_in,length_ft\n1,white oak,16,17,12\n")
    with pytest.raises(records.RecordsError, match="row 1, column small_in: found two columns of that name"):
        records.read(path)


def test_a_column_headed_quarters(tmp_path):
    path = tmp_path / "boards.csv"
    rows = "white oak,4,6,8\nwhite oak,5,6,8\nwhite oak,8.0,6,8\nwhite oak,6/4,6,8\nwhite oak,1.25,6,8\n"
    path.write_text("species,Quarters,width_in,length_ft\n" + rows)
    frame = records.read(path)
    assert list(frame["nominal"]) == ["4/4", "5/4", "8/4", "6/4", "5/4"]
    assert "4 in column 'Quarters' read as 4/4" in frame.attrs["notes"]
    error = errors(path, "species,quarters,width_in,length_ft\nwhite oak,1,6,8\n")
    assert "Is 1 an inch here, or a quarter of an inch?" in str(error)
    path.write_text("species,nominal,width_in,length_ft\nwhite oak,1,6,8\nwhite oak,2,6,8\n")
    assert list(records.read(path)["nominal"]) == ["4/4", "8/4"]  # inches, where the column is not headed so


@pytest.mark.parametrize(
    ("table", "header", "row", "both"),
    [
        (
            "logs",
            "log,species,small_in,Diameter,length_ft",
            "1,white oak,14,30,10",
            "'small_in' and 'Diameter'",
        ),
        (
            "logs",
            "log,species,Dia (in),Dia (cm),length_ft",
            "1,white oak,14,35,10",
            "'Dia (in)' and 'Dia (cm)'",
        ),
        ("logs", "log,species,small_in,length,Len,note", "1,white oak,14,10,12,", "'length' and 'Len'"),
        ("readings", "date,stack,kind,weight,mc", "2025-05-01,A,meter,9,20", "'weight' and 'mc'"),
    ],
)
def test_two_columns_for_one_thing_are_refused_by_name(tmp_path, table, header, row, both):
    path = tmp_path / f"{table}.csv"
    error = errors(path, f"{header}\n{row}\n")
    assert f"found the columns {both}; expected one column for that" in str(error)
    with pytest.raises(records.RecordsError):
        records.append(path, {"date": "2025-05-02", "stack": "A", "kind": "meter", "value": 9} | ROW, table)
    assert path.read_text() == f"{header}\n{row}\n"


def test_columns_of_the_learners_own_are_no_rivals(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text(
        "log,name,species,tree,small_in,length_ft,note,remarks\n1,Big Ben,white oak,7,14,10,wire,none\n"
    )
    frame = records.read(path)
    assert list(frame.iloc[0][["log", "name", "species", "tree", "note", "remarks"]]) == [
        "1", "Big Ben", "white oak", "7", "wire", "none"
    ]  # fmt: skip


SPOILED = (
    "1-2",
    "3/4",
    "MAR1",
    "mar-1",
    "1E5",
    "007",
    "1.10",
    "12:30",
    "4 May",
    "1 1/2",
    "TRUE",
    "123456789012",
)


@pytest.mark.parametrize("mark", SPOILED)
def test_marks_that_a_spreadsheet_would_change_come_back_as_they_were(tmp_path, mark):
    path = tmp_path / "boards.csv"
    row = {
        "board": mark,
        "log": mark,
        "species": "white oak",
        "nominal": "4/4",
        "width_in": 6,
        "length_ft": 8,
    }
    assert records.append(path, row)["board"].iloc[0] == mark
    assert (
        f"\n'{mark},'{mark}," in path.read_text()
    )  # a tick: text to every spreadsheet, and it stays on saving
    assert list(records.read(path)[["board", "log"]].iloc[0]) == [mark, mark]
    frame = records.correct(path, 2, records.read(path).loc[2], {**row, "width_in": 7})
    assert frame["board"].iloc[0] == mark
    records.write(path, frame)
    assert list(records.read(path)["board"]) == [mark]
    assert "''" not in path.read_text()


def test_marks_that_no_spreadsheet_changes_are_written_plain(tmp_path):
    path = tmp_path / "boards.csv"
    row = {"species": "white oak", "nominal": "4/4", "width_in": 6, "length_ft": 8}
    for mark in ("7", "A1", "oak-1", "1-3a", "12.5", "north wall"):
        records.append(path, {"board": mark, **row})
    assert "'" not in path.read_text()


ACTIVE = (
    "=HYPERLINK(1)",
    "+1+cmd|' /C calc'!A0",
    "-2+3",
    "@SUM(A1)",
    "\t=1",
    "=1,2",
    "'=1",
    "'1-2",
    "-wet-",
    '="a"',
)


@pytest.mark.parametrize("note", ACTIVE)
def test_cells_that_a_spreadsheet_would_run_never_leave_the_book_active(tmp_path, note):
    import csv

    path = tmp_path / "logs.csv"
    text = note.strip()
    assert records.append(path, {**ROW, "note": note})["note"].iloc[0] == text
    for _ in range(2):
        frame = records.read(path)
        assert frame["note"].iloc[0] == text
        with open(path, newline="") as file:
            assert not any(cell[:1] in "=+-@\t" and cell for line in csv.reader(file) for cell in line)
        frame["=owner"] = note
        records.write(path, frame)
    assert records.read(path)["=owner"].iloc[0] == text


def test_an_unmarked_log_gets_the_next_number_when_it_is_saved(tmp_path):
    path = tmp_path / "logs.csv"
    row = {k: v for k, v in ROW.items() if k != "log"}
    for _ in range(3):
        records.append(path, row)
    assert [line.split(",")[0] for line in path.read_text().splitlines()] == ["log", "1", "2", "3"]
    records.correct(path, 2, records.read(path).loc[2], None)
    assert list(records.append(path, row)["log"]) == ["2", "3", "4"]
    other = tmp_path / "other" / "logs.csv"
    other.parent.mkdir()
    other.write_text("species,small_in,length_ft\nwhite oak,12,10\nwhite oak,13,10\n")
    assert list(records.append(other, row)["log"]) == ["1", "2", "3"]


def test_a_number_is_not_given_again_while_boards_name_it_or_after_it_was_taken_out(tmp_path):
    """Log 2 is taken out: its boards must not go to the next log."""
    path = tmp_path / "logs.csv"
    row = {k: v for k, v in ROW.items() if k != "log"}
    for _ in range(2):
        records.append(path, row)
    records.correct(path, 3, records.read(path).loc[3], None)
    assert list(records.append(path, row)["log"]) == ["1", "3"]
    beside = tmp_path / "beside" / "logs.csv"  # no history here: the boards alone tell
    beside.parent.mkdir()
    beside.write_text("log,species,small_in,length_ft\n1,white ash,14,12\n")
    (beside.parent / "boards.csv").write_text(
        "board,log,species,nominal,width_in,length_ft\n2-1,2.0,white ash,4/4,6,8\n"
    )
    assert list(records.append(beside, row)["log"]) == ["1", "3"]


@pytest.mark.parametrize("head", ["log,species,small_in,length_ft,Owner", "species,small_in,length_ft,Owner"])
def test_an_unmarked_log_taken_out_does_not_renumber_the_others(tmp_path, head):
    """A walnut board of log 3 stays with the walnut log."""
    path = tmp_path / "logs.csv"
    rows = ["white oak,12,10,Ada", "black cherry,13,10,Ben", "black walnut,14,10,Cy"]
    marked = head.startswith("log")
    path.write_text("\n".join([head, *(f",{r}" if marked else r for r in rows)]) + "\n")
    before = records.read(path)
    assert list(before["log"]) == ["1", "2", "3"]
    after = records.correct(path, 2, before.loc[2], None)
    assert dict(zip(after["log"], after["species"], strict=True)) == {
        "2": "black cherry",
        "3": "black walnut",
    }
    pd.testing.assert_frame_equal(records.read(path), after)
    row = {c.name: after.loc[2, c.name] for c in records.TABLES["logs"]}
    after = records.correct(path, 2, row, {**row, "small_in": 15})
    assert list(after["log"]) == ["2", "3"] and list(after["Owner"]) == ["Ben", "Cy"]


def test_what_would_read_differently_is_not_written(logs, monkeypatch):
    """A fault in the writing is caught before the file is touched: the new bytes are read once more."""
    from woodcalc.records import sheet as record_file

    before = logs.read_bytes()
    real = record_file.csv_text
    monkeypatch.setattr(
        record_file, "csv_text", lambda rows, *how: real(rows, *how).replace("11.25", "12.25")
    )
    records.append(logs, {**ROW, "log": "9"})  # a sound way of writing, to begin with
    monkeypatch.undo()
    logs.write_bytes(before)
    monkeypatch.setattr(
        record_file.Sheet, "data", property(lambda self: self.text.encode().replace(b"11.25", b"12.25"))
    )
    with pytest.raises(
        records.SaveError, match="would be written reads differently. Nothing in the file was changed"
    ):
        records.append(logs, {**ROW, "log": "9"})
    assert logs.read_bytes() == before


@pytest.mark.parametrize(
    "note", ["two\nlines", "two\r\nlines", "old\rMac", '"', ",", ";", "\t", " , ", '","', "a;b\tc"]
)
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_notes_of_any_kind_come_back(tmp_path, note, newline, delimiter):
    path = tmp_path / "logs.csv"
    path.write_bytes(PLAIN.replace(",", delimiter).replace("\n", newline).encode())
    for i in range(2):
        frame = records.append(path, {**ROW, "log": f"9{i}", "note": note})
    assert list(frame["note"]) == ["", "", note.strip(), note.strip()]
    pd.testing.assert_frame_equal(records.read(path), frame)


def test_an_empty_file_is_begun(tmp_path):
    for i, data in enumerate((b"", b"\n\n")):
        path = tmp_path / f"{i}" / "logs.csv"
        path.parent.mkdir()
        path.write_bytes(data)
        assert len(records.append(path, ROW)) == 1


@pytest.mark.parametrize(
    "day", ["0001-05-01", "9999-12-31", "1/5/0001", "31.12.9999", "1 May 0001", "2/1/9999"]
)
def test_years_that_no_calendar_of_ours_holds(tmp_path, day):
    row = {"date": day, "stack": "A", "kind": "meter", "value": 20}
    with pytest.raises(records.RecordsError, match="cannot be right"):
        records.append(tmp_path / "readings.csv", row)
    import datetime

    for value in (datetime.date(1, 5, 1), datetime.datetime(9999, 12, 31)):
        assert "cannot be right" in str(records.problems_in({**row, "date": value}, "readings")[1][0])


@pytest.mark.parametrize(
    "value", [[1], {"a": 1}, object(), pd.NA, None, float("nan"), b"\xff", 10**400, True]
)
def test_values_that_are_no_cells(value):
    _, problems = records.problems_in({**ROW, "small_in": value}, "logs")
    assert [p.column for p in problems] == ["small_in"]
