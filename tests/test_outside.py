"""Another program writes an older table over the book's: rows are told, put back, or meant to be gone."""

import contextlib
import errno
import os
import random
import re
import shutil
import time
from dataclasses import replace
from datetime import datetime

import pytest
from ipywidgets import Button

from woodcalc import records
from woodcalc.disk import ChangedError, HistoryWarning, SaveError, locked
from woodcalc.lesson.asks import MissingRows
from woodcalc.records import keep
from woodcalc.records.outside import forget_settled, hour_of, meant, open_elsewhere, outside, put_back
from woodcalc.records.questions import questions, settle
from woodcalc.records.sheet import Sheet

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
    assert told.asks and "One row of readings.csv says something else than you saved" in str(told)
    records.append(path, weighed(20))
    assert outside(path).changed == told.changed  # until somebody says what is meant
    meant(path, outside(path))
    assert outside(path) is None


def test_an_edited_row_says_again_what_was_saved(path, filled):
    whole = path.read_bytes()
    path.write_text(path.read_text().replace("14.8", "14.9"))
    put_back(path, outside(path))
    assert path.read_bytes() == whole and outside(path) is None


LOGS = b"log,species,small_in,length_ft\n1,red oak,14,12\n2,red oak,15,12\n"


@pytest.fixture
def logs(tmp_path):
    path = tmp_path / "logs.csv"
    path.write_bytes(LOGS)
    return path


def test_another_row_with_the_same_mark_is_no_edit(logs):
    records.append(logs, {"species": "black walnut", "small_in": 20, "length_ft": 8, "note": "the best"})
    logs.write_bytes(LOGS + b"3,white ash,11,14\n")
    for _ in range(2):
        told = outside(logs)
        assert told.many == 1 and told.gone[0].cells[0]["species"] == "black walnut" and not told.edited
        records.append(logs, {"species": "pecan", "small_in": 9, "length_ft": 8})
    assert put_back(logs, outside(logs)) == [("3", "6")]
    text = logs.read_text()
    assert "3,white ash,11,14" in text and "6,black walnut,20,8" in text and "the best" in text
    assert outside(logs) is None and len(records.read(logs)) == 6


def test_readings_of_other_boards_are_other_readings(path, filled):
    path.write_bytes(filled + b"2026-06-02,A,7-1,weight,14.8,lb,,\n2026-06-03,A,7-2,weight,14.5,lb,,\n")
    assert outside(path).many == 2 and not outside(path).edited


def test_a_correction_that_an_older_table_undid_is_asked_about(path, filled):
    frame, older = records.read(path), path.read_bytes()
    records.correct(path, 5, frame.loc[5], {**frame.loc[5], "value": "13.5"})
    right = path.read_bytes()
    path.write_bytes(older)
    for _ in range(2):
        told = outside(path)
        assert told.asks and not told.gone and [e.row for e in told.undone] == [5]
        assert "Row 5 says value 14.5 again, as before your change of" in str(told.undone[0])
        records.append(path, weighed(21))
    put_back(path, outside(path))
    assert path.read_bytes().startswith(right) and outside(path) is None
    path.write_text(path.read_text().replace("13.5", "13.4"))  # a new value
    assert outside(path).changed and not outside(path).undone


def test_a_row_that_was_taken_out_and_comes_back_is_asked_about(logs):
    frame = records.append(logs, {"species": "white ash", "small_in": 15, "length_ft": 10})
    older = logs.read_bytes()
    records.correct(logs, 3, frame.loc[3], None)
    right = logs.read_bytes()
    logs.write_bytes(older)
    told = outside(logs)
    assert [(e.row, e.cells["log"]) for e in told.returned] == [(3, "2")] and told.asks
    records.append(logs, {"species": "pecan", "small_in": 9, "length_ft": 8})
    assert [e.row for e in outside(logs).returned] == [3]
    put_back(logs, outside(logs))
    assert logs.read_bytes().startswith(right) and outside(logs) is None
    logs.write_bytes(older)
    meant(logs, outside(logs))
    assert logs.read_bytes() == older and outside(logs) is None


def test_gone_and_undone_are_put_right_together(path, filled):
    frame, older = records.read(path), path.read_bytes()
    records.correct(path, 5, frame.loc[5], {**frame.loc[5], "value": "13.5"})
    records.append(path, weighed(5))
    right = path.read_bytes()
    path.write_bytes(older)
    told = outside(path)
    assert told.many == 1 and len(told.undone) == 1
    put_back(path, told)
    assert path.read_bytes() == right


def test_a_new_column_and_marks_made_days_change_no_row(path, filled):
    rows = path.read_text().splitlines()
    path.write_text("\n".join(["shed," + rows[0], *("x," + row for row in rows[1:])]))
    assert outside(path) is None
    path.write_text(path.read_text().replace("'1-1", "1-Jan"))
    assert outside(path) is None


@pytest.mark.parametrize("order", ["{1}/{2}/{0}", "{2}/{1}/{0}", "serial"])
def test_dates_in_another_form_are_settled_before_rows_are_missed(path, order):
    for day in ("2026-04-01", "2026-05-02", "2026-06-03"):
        records.append(path, {**FIRST, "date": day, "value": day[-1]})
    rows = path.read_text().splitlines()

    def other(row):
        day = datetime.fromisoformat(row[:10])
        told = order.format(day.year, day.month, day.day)
        return (str((day - datetime(1899, 12, 30)).days) if order == "serial" else told) + row[10:]

    new = other("2026-06-04,A,'1-1,weight,9,lb,,")
    path.write_text("\n".join([rows[0], new, *map(other, rows[1:])]) + "\n")
    assert outside(path) is None  # not a word of rows that are gone
    asked = questions(records.read_usable(path.parent))
    right = next(a for q in asked for a in q.answers if "1 April" in a.says or "4 June" in a.says)
    settle(path, asked[0], right)
    assert outside(path) is None and len(records.read(path)) == 4


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
    assert list(frame["note"]) == ["size, 14", "size, 15", "size, 16"] and list(frame["yard"]) == [
        "north",
        "",
        "",
    ]


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


@pytest.mark.parametrize("note", [b"", b"{", b"[1]", b"[]", b"\0" * 9, None])
def test_what_was_written_over_is_known_without_any_note(path, filled, note):
    path.write_bytes(filled)
    assert outside(path).many == 2
    records.append(path, weighed(20))
    for each in path.with_name(keep.HISTORY).iterdir():
        if each.suffix != ".csv":
            each.unlink() if note is None else each.write_bytes(note)
    assert outside(path).many == 2
    meant(path, outside(path))
    for each in path.with_name(keep.HISTORY).iterdir():
        if each.suffix != ".csv" and note is not None:
            each.write_bytes(note)
    assert outside(path) is None


def test_rows_that_came_back_by_themselves_are_settled(path, filled):
    whole = path.read_bytes()
    path.write_bytes(filled)
    records.append(path, weighed(20))
    line = path.read_bytes().splitlines(True)[-1]
    path.write_bytes(whole + line)
    assert outside(path) is None
    records.append(path, weighed(21))
    assert keep.overwritten(path, path.read_bytes())
    forget_settled(path)
    assert not keep.overwritten(path, path.read_bytes())
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


def test_two_computers_that_saved_the_same_number_each_are_both_looked_at(logs):
    there = logs.parent / "there" / "logs.csv"
    records.append(logs, {"species": "white ash", "small_in": 15, "length_ft": 10})
    shutil.copytree(logs.parent, there.parent)
    records.append(logs, {"log": "A-7", "species": "black walnut", "small_in": 20, "length_ft": 8})
    records.append(there, {"log": "B-7", "species": "white ash", "small_in": 11, "length_ft": 14})
    for copy in there.with_name(
        keep.HISTORY
    ).iterdir():  # the folder is brought into line, the later file stays
        name = "logs.000003.2099-01-01T000000.csv" if ".000003." in copy.name else copy.name
        shutil.copy(copy, logs.with_name(keep.HISTORY) / name)
    logs.write_bytes(there.read_bytes())
    for size in range(9, 12):
        told = outside(logs)
        assert told.many == 1 and told.gone[0].cells[0]["log"] == "A-7" and not told.edited
        records.append(logs, {"species": "pecan", "small_in": size, "length_ft": 8})
        forget_settled(logs)
    put_back(logs, outside(logs))
    assert outside(logs) is None
    assert {"A-7", "B-7"} < set(records.read(logs)["log"])


def test_what_another_program_writes_during_a_save_is_kept(logs, monkeypatch):
    writes, save = [b"X1,black walnut,20,8\n"], keep.save
    monkeypatch.setattr(
        "woodcalc.records.files.save",
        lambda *a, **k: (logs.write_bytes(LOGS + writes.pop()) if writes else None, save(*a, **k))[1],
    )
    records.append(logs, {"species": "white ash", "small_in": 15, "length_ft": 10})
    assert [*records.read(logs)["log"]] == ["1", "2", "X1", "3"] and outside(logs) is None


def test_a_file_that_is_written_all_the_time_is_left_alone(logs, monkeypatch):
    save, times = keep.save, []

    def meanwhile(*args, **kwargs):
        times.append(True)
        logs.write_bytes(LOGS + b"X1,black walnut,20,8\n" * len(times))
        return save(*args, **kwargs)

    monkeypatch.setattr("woodcalc.records.files.save", meanwhile)
    with pytest.raises(ChangedError, match="during the save. Nothing was written"):
        records.append(logs, {"species": "white ash", "small_in": 15, "length_ft": 10})
    assert b"white ash" not in logs.read_bytes() and logs.read_bytes().count(b"X1") == len(times)


def test_what_the_book_saved_without_its_history_is_nobody_elses(logs, monkeypatch):
    for size in (15, 16):
        frame = records.append(logs, {"species": "white ash", "small_in": size, "length_ft": 10})

    def stuck(*_):
        raise PermissionError(errno.EACCES, "no")

    with monkeypatch.context() as blocked, pytest.warns(HistoryWarning):
        blocked.setattr(os, "scandir", stuck)
        records.correct(logs, 4, frame.loc[4], None)
    assert outside(logs) is None
    records.append(logs, {"species": "white ash", "small_in": 17, "length_ft": 10})
    assert outside(logs) is None
    older = logs.read_bytes()
    records.append(logs, {"species": "white ash", "small_in": 18, "length_ft": 10})
    logs.write_bytes(older)
    assert outside(logs).many == 1


def test_the_time_of_a_copied_file_is_not_told_as_when_it_was_written(path, filled):
    path.write_bytes(filled)
    os.utime(path, (1.6e9, 1.6e9))
    assert "another program wrote the file after that." in str(outside(path))


def test_a_correction_that_two_older_tables_undid_is_put_back_and_never_the_row_taken_out(path):
    records.append(path, FIRST)
    first = path.read_bytes()
    frame = records.append(path, weighed(2))
    older = path.read_bytes()
    records.correct(path, 3, frame.loc[3], {**frame.loc[3], "value": "13"})
    path.write_bytes(first)
    records.append(path, weighed(4, "4-4"))
    path.write_bytes(older)
    told = outside(path)
    assert not told.returned and "Row 3 says value 15 again" in str(told.undone[0])
    for day in range(5, 9):
        records.append(path, weighed(day))
        forget_settled(path)
        assert str(outside(path).undone[0]) == str(told.undone[0])
    put_back(path, outside(path))
    assert "06-02,A,'1-1,weight,13," in path.read_text() and "06-02,A,'1-1,weight,15," not in path.read_text()
    assert records.read(path)["board"].eq("4-4").sum() == 1 and outside(path) is None


def test_a_corrected_row_that_went_back_and_then_went_comes_back_corrected(path):
    frame = records.append(path, FIRST)
    older = path.read_bytes()
    records.correct(path, 2, frame.loc[2], {**frame.loc[2], "value": "15"})
    path.write_bytes(older)
    records.append(path, weighed(9))
    path.write_bytes(older.splitlines(True)[0])
    told = outside(path)
    assert sorted(cells["value"] for each in told.gone for cells in each.cells) == ["15", "15"]
    put_back(path, told)
    assert sorted(zip(records.read(path)["date"].dt.month, records.read(path)["value"], strict=True)) == [
        (5, 15),
        (6, 15),
    ]


def test_a_row_with_the_mark_of_one_that_is_gone_does_not_stand_for_it(logs):
    records.append(logs, {"species": "red oak", "small_in": 20, "length_ft": 12})
    logs.write_bytes(LOGS)
    records.append(logs, {"species": "red oak", "small_in": 11, "length_ft": 12})
    assert [each.cells[0]["small_in"] for each in outside(logs).gone] == ["20"]
    put_back(logs, outside(logs))
    assert sorted(records.read(logs)["small_in"]) == [11, 14, 15, 20]


def _unkept(path, row):
    """A save while a file stands where the folder of the versions should be."""
    folder, aside = path.with_name(keep.HISTORY), path.with_name("aside")
    folder.rename(aside)
    folder.write_text("")
    with pytest.warns(HistoryWarning):
        records.append(path, row)
    folder.unlink()
    aside.rename(folder)


def test_after_a_save_without_its_version_an_older_table_is_told_all_the_same(path, filled):
    _unkept(path, weighed(4))
    path.write_bytes(filled)
    assert outside(path).many == 3  # what was saved last lies beside the table
    for day in range(10, 13):
        records.append(path, weighed(day))
        forget_settled(path)
        assert outside(path).many == 3


def test_a_version_that_could_not_be_kept_is_kept_at_the_next_look(path, filled):
    _unkept(path, weighed(4))
    whole = path.read_bytes()
    assert outside(path) is None
    path.write_bytes(filled)
    assert outside(path).many == 3
    put_back(path, outside(path))
    assert path.read_bytes() == whole


@pytest.mark.parametrize("room", [True, False])
def test_two_saves_without_versions_that_were_both_written_over_are_both_told(
    path, filled, room, monkeypatch
):
    def full(target, data, *args, **kwargs):
        if target.name.endswith(".unkept") and not room:
            raise OSError(errno.ENOSPC, "full")
        return written(target, data, *args, **kwargs)

    written = keep._written
    monkeypatch.setattr(keep, "_written", full)
    for day in (4, 5):
        _unkept(path, weighed(day))
        path.write_bytes(filled)
    told = outside(path)
    gone = {cells["date"] for each in told.gone for cells in each.cells}
    if room:
        assert {"2026-06-04", "2026-06-05"} <= gone and not told.lost
        put_back(path, told)
        assert outside(path) is None and {4, 5} <= {*records.read(path)["date"].dt.day}
    else:
        assert told.lost
        meant(path, told)
        assert outside(path) is None


@pytest.mark.parametrize("name", ["Readings.csv", "readings.CSV", "READINGS.Csv"])
def test_a_table_in_capitals_is_watched_too(tmp_path, name):
    path = tmp_path / name
    records.append(path, FIRST)
    older = path.read_bytes()
    records.append(path, weighed(1))
    path.write_bytes(older)
    records.append(path, weighed(2))
    assert outside(path).many == 1


def test_until_it_is_answered_no_version_of_it_goes(path, filled, monkeypatch):
    monkeypatch.setattr(keep, "KEPT_ALL", 2)
    monkeypatch.setattr(keep, "KEPT_DAYS", 1)
    path.write_bytes(filled)
    records.append(path, weighed(10))
    for day in range(11, 16):
        records.append(path, weighed(day))
        assert outside(path).many == 2
    path.write_bytes(filled)
    for day in range(16, 20):
        records.append(path, weighed(day))
        assert outside(path).many == 8
    meant(path, outside(path))
    records.append(path, weighed(20))
    assert outside(path) is None and len(keep.versions(path)) <= 3


def _confirmed(row):
    return str(row["date"])[:10], row["board"], f"{float(row['value']):g}"


@pytest.mark.parametrize("seed", range(20))
def test_what_the_book_confirmed_is_there_or_told_or_answered(path, seed):
    chance, confirmed, older = random.Random(seed), set(), []
    for step in range(15):
        does = chance.choices(["add", "correct", "take out", "older", "answer"], [6, 3, 1, 4, 1])[0]
        frame = records.read(path) if path.exists() else []
        if does == "add" or not len(frame):
            row = weighed(1 + step, f"B{step}", f"{5 + step / 10:g}")
            records.append(path, row)
            confirmed.add(_confirmed(row))
        elif does in ("correct", "take out"):
            at = chance.choice(list(frame.index))
            was = frame.loc[at]
            new = {**was, "value": f"{was['value'] + 0.01:g}"} if does == "correct" else None
            records.correct(path, at, was, new)
            confirmed = {each for each in confirmed if each[:2] != _confirmed(was)[:2]}
            confirmed |= {_confirmed(new)} if new else set()
        elif does == "older" and older:
            path.write_bytes(chance.choice(older))
        elif does == "answer" and (told := outside(path)):
            chance.choice([put_back, meant])(path, told)
            now = {_confirmed(row) for row in records.read(path).to_dict("records")}
            confirmed &= now
            assert outside(path) is None
        if chance.random() < 0.5:
            older.append(path.read_bytes())
        forget_settled(path)
        told = outside(path)
        known = {_confirmed(row) for row in records.read(path).to_dict("records")}
        if told:
            known |= {_confirmed(cells) for each in told.gone for cells in each.cells}
            known |= {_confirmed(each.before) for each in told.edited}
            if told.asks:
                returned = {_confirmed(each.cells) for each in told.returned}
                assert not returned & confirmed
        assert confirmed <= known, (seed, step, does)


@pytest.mark.parametrize("seed", range(20))
def test_what_was_confirmed_and_then_edited_sorted_renumbered_or_cut_is_there_or_told_or_answered(logs, seed):
    """From outside, among saves: single values, one column sorted, rows numbered anew, a copy cut short."""
    chance, confirmed = random.Random(seed), {}
    for step in range(14):
        sheet = records.read(logs)
        at = chance.choice(list(sheet.index))
        does = chance.choice(["add", "add", "correct", "edit", "sort", "renumber", "cut", "answer"])
        lines = logs.read_text().splitlines()
        if does == "add":
            size = 10 + step + seed / 100
            records.append(logs, {"log": f"L{step}", "species": "red oak", "small_in": size, "length_ft": 12})
        elif does == "correct":
            was, told = sheet.loc[at], outside(logs)
            records.correct(logs, at, was, {**was, "small_in": was["small_in"] + 0.01})
            confirmed.pop(was["log"], None)
            for each in (
                told.edited if told else ()
            ):  # what the book changes now is not what is put back later
                if each.row == at:
                    confirmed.pop(each.before["log"], None)
        elif does == "edit":
            lines[at - 1] = re.sub(r",[\d.]+,12", f",{40 + step},12", lines[at - 1])
        elif does in ("sort", "renumber"):
            rows = [line.split(",") for line in lines[1:]]
            column = 2 if does == "sort" else 0
            moved = (
                sorted(row[column] for row in rows)
                if does == "sort"
                else [*[r[0] for r in rows[1:]], f"N{step}"]
            )
            rows = [[*row[:column], new, *row[column + 1 :]] for row, new in zip(rows, moved, strict=True)]
            lines = [lines[0], *map(",".join, rows)]
        elif does == "cut" and (kept := sorted(logs.with_name(keep.HISTORY).glob("logs.*.csv"))):
            # what the file holds is the newest that the book saved, or its copy is not needed to tell
            if outside(logs) is None:
                kept[-1].write_bytes(kept[-1].read_bytes()[:-9])
                assert outside(logs) is None and keep.damaged_versions(logs)
        if does in ("edit", "sort", "renumber"):
            logs.write_text("\n".join([*lines, ""]))
        now = {row["log"]: row["small_in"] for row in records.read(logs).to_dict("records")}
        if does in ("add", "correct"):
            told = outside(logs)
            open_rows = {e.row for e in told.edited} if told else set()
            frame = records.read(logs)
            new = {r["log"]: r["small_in"] for n, r in frame.iterrows() if n not in open_rows}
            confirmed |= {log: size for log, size in new.items() if log not in confirmed}
        told = outside(logs)
        if does == "answer" and told:
            part = chance.choice(told.parts)
            before = logs.read_bytes()
            answer = chance.choice([put_back, meant])
            with contextlib.suppress(SaveError):
                for was, is_ in answer(logs, part) or ():
                    confirmed.pop(was, None)
                    assert is_ in records.read(logs)["log"].to_list()
                answer = None
            if answer:  # two rows would have one mark: nothing is changed, and all is told as before
                assert answer is put_back and logs.read_bytes() == before
            left = outside(logs)
            assert answer or left is None or part not in left.parts, (seed, step)
            if left is None:
                confirmed = {r["log"]: r["small_in"] for r in records.read(logs).to_dict("records")}
        forget_settled(logs)
        told = outside(logs)
        now = {(r["log"], round(r["small_in"], 4)) for r in records.read(logs).to_dict("records")}
        if told:
            said = [*(each.before for each in told.edited), *(c for each in told.gone for c in each.cells)]
            now |= {(says["log"], round(float(says["small_in"]), 4)) for says in said}
        if does == "answer":
            confirmed = {log: size for log, size in confirmed.items() if (log, round(size, 4)) in now}
        sizes = (
            {round(float(says["small_in"]), 4) for says in said} if told else set()
        )  # of a row with another mark
        missing = {
            (log, round(size, 4)) for log, size in confirmed.items() if round(size, 4) not in sizes
        } - now
        assert not missing, (seed, step, does, missing)


def test_a_cell_that_was_empty_and_is_filled_is_listed_and_not_asked_about(path, filled):
    path.write_text(path.read_text().replace("14.8,lb,,", "14.8,lb,,a dry day"))
    told = outside(path)
    assert told.changed == ("row 4: note: nothing is now a dry day",) and not told.asks


def test_rows_numbered_anew_are_the_same_rows(logs):
    records.append(logs, {"log": "3", "species": "white ash", "small_in": 17, "length_ft": 10})
    logs.write_bytes(LOGS.replace(b"2,red", b"2,pecan,20,8\n3,red") + b"4,white ash,17,10\n")
    told = outside(logs)
    assert not told.gone and [*told.changed] == [
        "row 4 (it was row 3): log: 2 is now 3",
        "row 5 (it was row 4): log: 3 is now 4",
    ]


def test_fewer_rows_are_told_while_the_order_of_dates_is_open(path):
    for day in ("2026-04-01", "2026-05-02", "2026-06-03"):
        records.append(path, {**FIRST, "date": day, "value": day[-1]})
    head, first, *_ = path.read_text().splitlines()
    path.write_text(f"{head}\n{first.replace('2026-04-01', '4/1/2026')}\n")
    told = outside(path)
    assert told.asks and not told.gone and "readings.csv has 2 rows fewer than at your save" in str(told)
    asked = questions(records.read_usable(path.parent))
    settle(path, asked[0], next(a for a in asked[0].answers if "1 April" in a.says))
    assert outside(path).many == 2


def test_as_many_rows_may_differ_while_the_order_of_dates_is_open(path):
    for day in ("2026-04-01", "2026-05-02"):
        records.append(path, {**FIRST, "date": day, "value": day[-1]})
    head, *rows = path.read_text().splitlines()
    rows = [row.replace("2026-04-01", "4/1/2026").replace("2026-05-02", "5/3/2026") for row in rows]
    path.write_text("\n".join([head, *rows, ""]))
    told = outside(path)
    assert not told.asks and "its rows may differ from yours" in str(told) and len(told.parts) == 1


def test_two_sorts_of_change_are_answered_apart(path, filled):
    whole = path.read_bytes()
    path.write_bytes(filled.replace(b"16.6", b"16.1"))
    older, newer = outside(path).parts
    assert older.many == 2 and newer.changed == ("row 2: value: 16.6 is now 16.1",)
    meant(path, older)
    assert outside(path).parts == (newer,)
    records.append(path, weighed(9))
    assert [e.row for e in outside(path).edited] == [2] and not outside(path).gone
    put_back(path, outside(path))
    assert outside(path) is None and len(records.read(path)) == 3 and b"16.6" in path.read_bytes()
    path.write_bytes(whole.replace(b"16.6", b"16.1"))
    meant(path, outside(path))
    assert outside(path) is None


def test_what_was_answered_in_part_and_turns_again_is_told(path, filled):
    whole = path.read_bytes()
    path.write_bytes(filled.replace(b"16.6", b"16.1"))
    older, newer = outside(path).parts
    meant(path, older)
    path.write_bytes(whole.replace(b"16.6", b"16.1"))  # the rows that are meant to be gone are there again
    told = outside(path)
    assert [e.row for e in told.returned] == [4, 5] and not told.gone and told.asks
    assert [e.row for e in told.edited] == [2]
    put_back(path, told.parts[0])
    assert outside(path).parts == (replace(newer, shown=outside(path).shown),)
    path.write_bytes(filled.replace(b"16.6", b"16.1").replace(b"15,lb", b"15.5,lb"))
    meant(path, next(part for part in outside(path).parts if part.new))
    assert outside(path) is None
    path.write_bytes(path.read_bytes().replace(b"16.1", b"16.6"))  # what was wrong, as has been said
    assert "Row 2 says value 16.6 again, as before" in str(outside(path).undone[0])


def test_what_the_book_saved_in_a_row_that_is_asked_about_comes_back_with_it(path, filled):
    whole = path.read_bytes()
    path.write_bytes(whole.replace(b"14.8,", b"14.1,"))
    frame = records.read(path)
    records.correct(path, 4, frame.loc[4], {**frame.loc[4], "note": "a dry day"})
    asked = outside(path)
    assert asked.changed == ("row 4: value: 14.8 is now 14.1",)
    here = path.read_bytes()
    path.write_bytes(filled)
    told = outside(path)
    gone = [(cells["value"], cells.get("note")) for each in told.gone for cells in each.cells]
    assert gone == [("14.8", "a dry day"), ("14.5", None)]
    assert put_back(path, told) == [] and outside(path) is None
    assert path.read_bytes() == whole.replace(b"14.8,lb,,", b"14.8,lb,,a dry day")
    path.write_bytes(here)
    meant(path, outside(path))
    path.write_bytes(here.replace(b"14.5", b"13.9").replace(b"16.6", b"16.1"))
    frame = records.read(path)
    records.correct(path, 2, frame.loc[2], {**frame.loc[2], "value": "16.4"})  # that is an answer
    assert outside(path).changed == ("row 5: value: 14.5 is now 13.9",)
    put_back(path, outside(path))
    assert path.read_bytes() == here.replace(b"16.6", b"16.4") and outside(path) is None


def test_two_rows_are_never_given_one_mark(logs):
    records.append(logs, {"species": "white ash", "small_in": 17, "length_ft": 10})
    right = logs.read_bytes()
    logs.write_bytes(right.replace(b"2,red oak,15", b"7,red oak,15") + b"2,pecan,20,8\n")
    told = outside(logs)
    assert told.changed == ("row 3: log: 2 is now 7",)
    with pytest.raises(
        SaveError, match="two rows of log 2. Give row 5 another mark in the form in lesson 8 first"
    ):
        put_back(logs, told)
    assert outside(logs) == told
    frame = records.read(logs)
    records.correct(logs, 5, frame.loc[5], {**frame.loc[5], "log": "8"})
    put_back(logs, outside(logs))
    assert logs.read_bytes() == right + b"8,pecan,20,8\n" and outside(logs) is None


def test_rows_under_another_mark_are_not_asked_about_again(logs):
    records.append(logs, {"species": "white ash", "small_in": 17, "length_ft": 10})
    logs.write_bytes(LOGS.replace(b"14,12", b"13,12") + b"3,pecan,20,8\n")
    older, newer = outside(logs).parts
    assert put_back(logs, older) == [("3", "4")] and b"4,white ash,17,10" in logs.read_bytes()
    assert outside(logs).changed == newer.changed and len(outside(logs).parts) == 1
    records.append(logs, {"species": "pecan", "small_in": 9, "length_ft": 8})
    assert not outside(logs).gone


def test_a_copy_cut_short_is_passed_over_and_what_only_it_held_is_told(path, filled):
    newest = max(path.with_name(keep.HISTORY).glob("readings.*.csv"))
    newest.write_bytes(newest.read_bytes()[:-20])
    assert keep.damaged_versions(path) and not keep.versions(path)[0].damaged
    path.write_bytes(filled)
    told = outside(path)
    assert told.many == 1 and len(told.lost) == 1 and "may not be there" in str(told)
    records.append(path, weighed(9))
    assert outside(path).many == 1 and outside(path).lost == told.lost
    meant(path, outside(path))
    assert outside(path) is None
    newest = max(path.with_name(keep.HISTORY).glob("readings.*.csv"))
    newest.write_bytes(newest.read_bytes()[:-20])
    assert outside(path) is None and not keep.versions(path)[0].damaged  # it is copied anew from the table


def test_a_row_that_two_computers_bring_back_is_told(logs):
    frame = records.append(logs, {"species": "white ash", "small_in": 15, "length_ft": 10})
    there = logs.parent / "there" / "logs.csv"
    shutil.copytree(logs.parent, there.parent)
    records.correct(logs, 4, frame.loc[4], None)
    records.append(there, {"log": "B-7", "species": "white ash", "small_in": 11, "length_ft": 14})
    for copy in there.with_name(keep.HISTORY).glob("logs.000003.*"):
        shutil.copy(copy, logs.with_name(keep.HISTORY) / "logs.000003.2099-01-01T000000.csv")
    logs.write_bytes(there.read_bytes())
    told = outside(logs)
    assert [each.row for each in told.returned] == [4] and not told.gone
    put_back(logs, told)
    assert outside(logs) is None and b"B-7" in logs.read_bytes() and len(records.read(logs)) == 3


def test_many_rows_are_put_back_at_once(path, monkeypatch):
    rows = [f"2026-06-{1 + n % 28:02},A,{n // 28}-{n % 28},weight,{n % 90 + 10},lb,," for n in range(400)]
    head = "date,stack,board,kind,value,unit,temp_f,note"
    text = "\n".join([head, *rows, ""])
    with locked(path):
        keep.save(path, text.encode())
    taken = []
    rows_of = Sheet.rows
    monkeypatch.setattr(Sheet, "rows", lambda sheet: (taken.append(sheet), rows_of(sheet))[1])
    for other in ("\n".join([head, *rows[:1], ""]), re.sub(r"weight,\d+", "weight,9", text)):
        path.write_text(other)
        told = outside(path)
        assert told.many == 399 or len(told.edited) == 400
        put_back(path, told)
        assert path.read_text() == text and outside(path) is None
    assert len(taken) < 60  # a table is read a few times, not once a row


def test_what_is_noted_is_forced_to_the_disk_like_a_table(path, filled, monkeypatch):
    forced, fsync = [], os.fsync
    monkeypatch.setattr(
        os, "fsync", lambda number: (forced.append(os.fstat(number).st_ino), fsync(number))[1]
    )
    path.write_bytes(filled)
    records.append(path, weighed(9))
    meant(path, outside(path))
    (noted,) = path.with_name(keep.HISTORY).glob("*.settled")
    assert {noted.stat().st_ino, path.stat().st_ino} <= {*forced}


@pytest.mark.parametrize("table", ["logs", "readings"])
@pytest.mark.parametrize(
    ("common", "here", "there"), [(0, 1, 3), (0, 2, 2), (3, 1, 2), (3, 2, 1), (3, 2, 2), (3, 3, 2), (3, 4, 4)]
)
def test_what_two_computers_saved_is_all_there_after_one_press(tmp_path, table, common, here, there):
    ours, theirs = tmp_path / "ours" / f"{table}.csv", tmp_path / "theirs" / f"{table}.csv"
    notes = iter(range(99))

    def add(path):
        note = f"n{next(notes)}"
        row = {**weighed(1 + int(note[1:])), "note": note}
        if table == "logs":
            row = {"species": "red oak", "small_in": 9 + int(note[1:]), "length_ft": 12, "note": note}
        path.parent.mkdir(exist_ok=True)
        records.append(path, row)
        return note

    saved = [add(ours) for _ in range(common)]
    if common:
        shutil.copytree(ours.parent, theirs.parent)
    saved += [add(ours) for _ in range(here)] + [add(theirs) for _ in range(there)]
    for copy in theirs.with_name(keep.HISTORY).iterdir():
        shutil.copy2(copy, ours.with_name(keep.HISTORY))
    for newest in (ours, theirs):
        folder = ours.parent.with_name(f"of-{newest.parent.name}")
        shutil.copytree(ours.parent, folder)
        mine = folder / newest.name
        shutil.copy2(newest, mine)
        told = outside(mine)
        assert told.many == (there if newest == ours else here) and not told.returned and not told.edited
        put_back(mine, told)
        assert outside(mine) is None
        assert sorted(records.read(mine)["note"]) == sorted(saved)


@pytest.mark.parametrize("mended", [False, True])
@pytest.mark.parametrize("then", ["nothing", "taken out", "corrected", "another mark"])
def test_another_log_under_the_same_mark_is_no_edit_of_it(logs, mended, then):
    older = logs.read_text()
    records.append(logs, {"species": "red oak", "small_in": 22.5, "length_ft": 12, "note": "veneer butt"})
    head, *rows = logs.read_text().splitlines()
    cells = dict(zip(head.split(","), rows[-1].split(","), strict=True)) | {
        "small_in": "9",
        "note": "top log",
    }
    older = older if mended else "\n".join([head, *rows[:-1], ""])
    line = ",".join(cells.get(name, "") for name in older.splitlines()[0].split(","))
    logs.write_text(f"{older}{line}\n")
    told = outside(logs)
    assert told.many == 1 and not told.edited and told.doubles == ("3",)
    assert "Another row is log 3 now." in str(told)
    frame = records.read(logs)
    if then == "taken out":
        records.correct(logs, 4, frame.loc[4], None)
    elif then != "nothing":
        new = {"small_in": 9.5, "note": "crooked"} if then == "corrected" else {"log": "9"}
        records.correct(logs, 4, frame.loc[4], {**frame.loc[4], **new})
    assert outside(logs).many == 1
    put_back(logs, outside(logs))
    assert outside(logs) is None
    assert records.read(logs)["small_in"].tolist().count(22.5) == 1
    assert len(records.read(logs)) == (3 if then == "taken out" else 4)


def test_a_row_that_is_taken_out_leaves_what_it_said_before_open(logs):
    records.append(logs, {"species": "red oak", "small_in": 22.5, "length_ft": 12})
    logs.write_text(logs.read_text().replace("22.5", "9"))
    assert len(outside(logs).edited) == 1
    frame = records.read(logs)
    records.correct(logs, 4, frame.loc[4], None)
    assert outside(logs).gone[0].cells[0]["small_in"] == "22.5"


def test_rows_of_several_saves_of_one_minute_are_told_in_one_sentence(logs):
    older = logs.read_bytes()
    for size in (15, 16):
        records.append(logs, {"species": "white ash", "small_in": size, "length_ft": 10})
        logs.write_bytes(older)
    told = outside(logs)
    assert told.many == 2 and not told.cut
    assert len({hour_of(each.version.when) for each in told.gone}) == str(told).count("no longer in logs.csv")


def test_of_a_table_that_is_cut_off_the_next_step_is_told(logs):
    records.append(logs, {"species": "white ash", "small_in": 15, "length_ft": 10})
    logs.write_bytes(LOGS.rstrip()[:-1])
    assert outside(logs).cut == 3
    box = MissingRows(logs, lambda *_: None, lambda do: do())
    parts = [each for part in box.children for each in (part, *getattr(part, "children", ()))]
    pressed = [each.description for each in parts if isinstance(each, Button)]
    assert pressed and not any(says.startswith(("Put", "Keep")) for says in pressed)
    assert any("Answer first whether row 3 is whole." in getattr(each, "value", "") for each in parts)
