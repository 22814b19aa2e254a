"""Another program writes an older table over the book's: rows are told, put back, or meant to be gone."""

import errno
import os
import time
from datetime import datetime

import pytest

from woodcalc import records
from woodcalc.disk import ChangedError, locked
from woodcalc.records import keep
from woodcalc.records.outside import forget_settled, meant, open_elsewhere, outside, put_back

FIRST = {"date": "2026-05-01", "stack": "A", "board": "1-1", "kind": "weight", "value": "16.6", "unit": "lb"}


def weighed(day, board="1-1", value="15"):
    return {**FIRST, "date": f"2026-06-{day:02}", "board": board, "value": value}


@pytest.fixture
def path(tmp_path):
    return tmp_path / "readings.csv"


@pytest.fixture
def filled(path):
    """Four rows that the book saved, and the file as it was with two of them."""
    records.append(path, FIRST)
    records.append(path, weighed(1))
    older = path.read_bytes()
    records.append(path, weighed(2, value="14.8"))
    records.append(path, weighed(3, value="14.5"))
    return older


def test_nothing_is_told_of_what_the_book_does_itself(path, filled):
    assert outside(path) is None
    frame = records.read(path)
    records.correct(path, 5, frame.loc[5], None)  # taken out by the book's own button
    assert outside(path) is None
    records.correct(path, 4, frame.loc[4], {**frame.loc[4], "value": "14.7"})
    keep.restore_version(path, keep.versions(path)[0])
    assert outside(path) is None
    records.append(path, weighed(9))
    assert outside(path) is None


def test_rows_that_another_program_took_out_are_told(path, filled):
    path.write_bytes(filled)
    told = outside(path)
    assert [each.rows for each in told.gone] == [(4, 5)] and told.many == 2 and not told.changed
    assert "2 rows that you saved are no longer in readings.csv" in str(told)
    now = datetime.fromtimestamp(path.stat().st_mtime)
    assert f"wrote the file on {now.day} {now:%B %Y} at {now.hour}:{now.minute:02}" in str(told)


def test_rows_are_put_back_in_their_order_and_that_can_be_undone(path, filled):
    whole = path.read_bytes()
    path.write_bytes(filled)
    put_back(path, outside(path))
    assert path.read_bytes() == whole and outside(path) is None
    keep.restore_version(path, keep.versions(path)[0])
    assert path.read_bytes() == filled and outside(path) is None  # the answer is remembered


def test_rows_go_behind_what_came_in_meanwhile(path, filled):
    path.write_bytes(filled)
    records.append(path, weighed(20))
    told = outside(path)
    assert told.many == 2
    put_back(path, told)
    assert [d.day for d in records.read(path)["date"]] == [1, 1, 20, 2, 3] and outside(path) is None


def test_meant_to_be_gone_is_remembered_and_undo_brings_them_back(path, filled):
    whole = path.read_bytes()
    path.write_bytes(filled)
    meant(path, outside(path))
    assert path.read_bytes() == filled and outside(path) is None
    records.append(path, weighed(20))
    assert outside(path) is None
    assert whole in [v.path.read_bytes() for v in keep.versions(path)]


def test_the_version_that_holds_them_is_never_thinned(path, filled, monkeypatch):
    monkeypatch.setattr(keep, "KEPT_ALL", 3)
    monkeypatch.setattr(keep, "KEPT_DAYS", 1)
    monkeypatch.setattr(keep, "KEPT_FULL", 2)
    path.write_bytes(filled)
    for day in range(6, 26):
        records.append(path, weighed(day))
        assert outside(path).many == 2
    fsync, full = os.fsync, [OSError(errno.ENOSPC, "No space left on device")]

    def fills_up(number):
        if full:
            raise full.pop()
        fsync(number)

    monkeypatch.setattr(os, "fsync", fills_up)  # then the older versions make room
    records.append(path, weighed(26))
    monkeypatch.setattr(os, "fsync", fsync)
    assert len(keep.versions(path)) < 7 and not full
    put_back(path, outside(path))
    assert len(records.read(path)) == 25
    for day in range(27, 30):
        records.append(path, weighed(day))
    assert outside(path) is None and len(keep.versions(path)) <= 4  # answered: thinned like any other


def test_an_older_table_twice_over(path, filled):
    records.append(path, weighed(4))
    path.write_bytes(filled)  # without the days 2, 3 and 4
    records.append(path, weighed(10))
    path.write_bytes(filled)  # and without day 10
    told = outside(path)
    assert told.many == 4
    put_back(path, told)
    assert sorted(d.day for d in records.read(path)["date"]) == [1, 1, 2, 3, 4, 10]


def test_a_row_that_was_edited_is_not_gone(path, filled):
    path.write_text(path.read_text().replace("14.8", "14.9"))
    told = outside(path)
    assert not told.gone and told.changed == ("row 4: value: 14.8 is now 14.9",)
    records.append(path, weighed(20))
    assert outside(path) is None


def test_what_a_spreadsheet_does_to_a_file_takes_no_row_out(path, filled):
    lines = path.read_text().splitlines()
    semicolons = [line.replace(",", ";") for line in (lines[0], *reversed(lines[1:]))]
    path.write_bytes(
        "\r\n".join(["\ufeff" + semicolons[0], *semicolons[1:], ""]).replace("16.6", "16.60").encode()
    )
    assert len(records.read(path)) == 4
    assert outside(path) is None


def test_logs_that_go_by_their_place_are_told_by_what_they_say(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_text("species,small_in,length_ft\nred oak,14,12\nwhite ash,15,10\nhard maple,16,8\n")
    records.append(path, {"species": "white oak", "small_in": 17, "length_ft": 12})
    text = path.read_text()
    path.write_text("".join(line for line in text.splitlines(True) if "white ash" not in line))
    told = outside(path)
    assert [each.cells[0]["species"] for each in told.gone] == ["white ash"]
    put_back(path, told)
    assert path.read_text() == text


def test_rows_come_back_into_a_file_with_other_columns(tmp_path):
    path = tmp_path / "logs.csv"
    for size in (14, 15, 16):
        records.append(
            path, {"species": "red oak", "small_in": size, "length_ft": 12, "note": f"size, {size}"}
        )
    path.write_text("log;Species;Small end (cm);Length (m);yard\n1;northern red oak;35,56;3,6576;north\n")
    told = outside(path)
    assert told.many == 2
    put_back(path, told)
    frame = records.read(path)
    assert [round(s, 2) for s in frame["small_in"]] == [14, 15, 16]
    assert list(frame["note"]) == ["", "size, 15", "size, 16"] and list(frame["yard"]) == ["north", "", ""]


def test_a_table_that_was_gone_and_is_begun_anew_misses_nothing(path, filled):
    path.unlink()
    records.append(path, weighed(20), anew=True)
    assert outside(path) is None


def test_an_older_file_taken_as_the_table_is_told(path, filled):
    from woodcalc.records.files import take_as

    other = path.with_name("readings (1).csv")
    path.unlink()
    other.write_bytes(filled)
    take_as(path, other)
    assert outside(path).many == 2


def test_an_answer_to_what_is_no_longer_so_is_refused(path, filled):
    path.write_bytes(filled)
    told = outside(path)
    path.write_bytes(filled.replace(b"16.6", b"16.5"))
    for answer in (put_back, meant):
        with pytest.raises(ChangedError):
            answer(path, told)
    assert path.read_bytes() == filled.replace(b"16.6", b"16.5")


@pytest.mark.parametrize(
    "note", [b"", b"{", b"[1]", b'[{"before": "x", "after": 2, "when": "now"}]', b"\0" * 9]
)
def test_a_broken_note_of_it_stops_nothing(path, filled, note):
    path.with_name(keep.HISTORY).joinpath("readings.csv.overwritten.json").write_bytes(note)
    path.write_bytes(filled)
    assert outside(path).many == 2
    records.append(path, weighed(20))
    assert outside(path).many == 2


def test_rows_that_came_back_by_themselves_are_settled(path, filled):
    whole = path.read_bytes()
    path.write_bytes(filled)
    records.append(path, weighed(20))
    line = path.read_bytes().splitlines(True)[-1]
    path.write_bytes(whole + line)
    assert outside(path) is None
    records.append(path, weighed(21))
    noted = path.with_name(keep.HISTORY) / "readings.csv.overwritten.json"
    assert noted.exists()
    forget_settled(path)
    assert not noted.exists()
    frame = records.read(path)
    records.correct(path, 4, frame.loc[4], None)
    assert outside(path) is None


def test_a_table_that_is_open_elsewhere_is_told(path):
    assert open_elsewhere(path) == ""
    lock = path.with_name("~$readings.csv")
    lock.write_text("")
    assert open_elsewhere(path).startswith("readings.csv is open in another program: close it there first")
    lock.unlink()
    assert open_elsewhere(path) == ""


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_what_a_reader_sees_while_others_save_is_never_told_as_another_programs(path, filled):
    pid = os.fork()
    if not pid:
        try:
            for n in range(60):
                records.append(path, weighed(1 + n % 28, f"b{n}"))
                frame = records.read(path)
                records.correct(path, frame.index[-1], frame.iloc[-1], None)
        finally:
            os._exit(0)
    seen = []
    while not os.waitpid(pid, os.WNOHANG)[0]:
        if told := outside(path):
            seen.append(str(told))
        time.sleep(0.001)
    assert seen == [] and outside(path) is None


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
def test_a_save_that_dies_is_not_told_as_another_programs(path, filled, monkeypatch):
    frame = records.read(path)
    steps = []
    replace = os.replace
    monkeypatch.setattr(os, "replace", lambda *a: (steps.append(a), replace(*a))[1])
    records.correct(path, 5, frame.loc[5], None)
    whole = len(steps)
    for at in range(whole):
        for after in (False, True):
            records.append(path, weighed(9, f"c{at}{after}"))
            frame = records.read(path)
            if not (pid := os.fork()):
                done = []

                def dies(*args, done=done, at=at, after=after):
                    if len(done) == at and not after:
                        os._exit(1)
                    replace(*args)
                    if len(done) == at:
                        os._exit(1)
                    done.append(True)

                monkeypatch.setattr(os, "replace", dies)
                records.correct(path, frame.index[-1], frame.iloc[-1], None)
                os._exit(0)
            os.waitpid(pid, 0)
            assert outside(path) is None
            with locked(path):
                keep.save(path, path.read_bytes() + b"2026-07-01,A,z,weight,3,lb,,\n")
            assert outside(path) is None


def test_a_day_that_was_put_right_is_an_edit_and_another_weighing_is_none(path, filled):
    text = path.read_text()
    path.write_text(text.replace("2026-06-02", "2026-06-12"))
    assert outside(path).changed and not outside(path).gone
    path.write_text(
        text.replace("2026-06-02,A,'1-1,weight,14.8", "2026-06-02,A,'1-1,weight,14.5").replace(
            "2026-06-03", "2026-06-14"
        )
    )
    assert outside(path).changed and not outside(path).gone
    rows = text.splitlines(True)
    path.write_text("".join([*rows[:3], rows[4].replace("06-03", "06-23")]))
    assert outside(path).many == 2
