"""Saving: earlier versions, backup and restore, folders that are gone or in the way, file systems without locks."""

import errno
import io
import json
import os
import shutil
import signal
import stat
import subprocess
import sys
import textwrap
import time
import warnings
import zipfile
from datetime import datetime

import pytest

from woodcalc import disk, records
from woodcalc.lesson import held, history
from woodcalc.records import backup as backups
from woodcalc.records import keep

ROW = {"species": "white ash", "small_in": 11, "length_ft": 8}


def put(path, text):
    with disk.locked(path):
        keep.save(path, text.encode())


def texts(path):
    return [version.path.read_text() for version in keep.versions(path)]


@pytest.fixture
def path(tmp_path):
    return tmp_path / "logs.csv"


@pytest.mark.skipif(os.name != "posix", reason="rights as numbers")
@pytest.mark.parametrize("rights", [0o600, 0o664])
def test_a_save_keeps_who_may_read_and_write_the_file(path, rights):
    path.write_text("one")
    path.chmod(rights)
    put(path, "two")
    assert path.read_text() == "two" and stat.S_IMODE(path.stat().st_mode) == rights


# ---- history


def test_each_save_keeps_what_was_there(path):
    for text in ("one", "two", "two", "three"):
        put(path, text)
    assert path.read_text() == "three"
    assert texts(path) == ["two", "one"]
    assert [p.name for p in path.parent.iterdir() if not p.name.startswith(".")] in (
        ["history", "logs.csv"],
        ["logs.csv", "history"],
    )
    version = keep.versions(path)[0]
    assert abs((version.when - datetime.now()).total_seconds()) < 120
    assert str(version) == f"{version.when.day} {version.when:%B %Y, %H:%M}"


def test_what_another_program_wrote_is_kept_too(path):
    put(path, "one")
    path.write_text("from the spreadsheet")
    put(path, "two")
    assert texts(path) == ["from the spreadsheet", "one"]
    path.write_text("the spreadsheet again")
    assert texts(path) == ["two", "from the spreadsheet", "one"]


def test_undo_and_undo_of_that(path):
    for text in ("one", "two", "three"):
        put(path, text)
    keep.restore_version(path, keep.versions(path)[0])
    assert path.read_text() == "two" and texts(path) == ["three", "two", "one"]
    keep.restore_version(path, keep.versions(path)[0])
    assert path.read_text() == "three"
    keep.restore_version(path, keep.versions(path)[-1])
    assert path.read_text() == "one"
    path.unlink()
    keep.restore_version(path, next(v for v in keep.versions(path) if v.path.read_text() == "three"))
    assert path.read_text() == "three"


def test_a_version_that_is_gone_or_not_of_this_file(path):
    for text in ("one", "two"):
        put(path, text)
        put(path.with_name("boards.csv"), text)
    version = keep.versions(path)[0]
    with pytest.raises(disk.SaveError, match="boards.csv was not changed"):
        keep.restore_version(path.with_name("boards.csv"), version)
    version.path.unlink()
    with pytest.raises(disk.SaveError, match="logs.csv was not changed.*no longer in history"):
        keep.restore_version(path, version)
    assert path.read_text() == "two"


@pytest.fixture
def clock(monkeypatch):
    """Set the day of the copies."""

    def at(when):
        monkeypatch.setattr(keep, "datetime", type("Clock", (datetime,), {"fromtimestamp": lambda _: when}))

    return at


def test_the_history_is_bounded_and_old_days_keep_their_last(path, monkeypatch, clock):
    monkeypatch.setattr(keep, "KEPT_ALL", 5)
    monkeypatch.setattr(keep, "KEPT_DAYS", 3)
    for day in range(1, 9):
        for turn in range(3):
            clock(datetime(2026, 5, day, 12 + turn))
            put(path, f"day {day} turn {turn}")
    put(path, "now")
    kept = texts(path)  # five with the present one, and the last of each of three days
    assert kept[:4] == ["day 8 turn 2", "day 8 turn 1", "day 8 turn 0", "day 7 turn 2"]
    assert kept[4:] == ["day 7 turn 1", "day 6 turn 2", "day 5 turn 2"]
    assert len(list((path.parent / "history").iterdir())) == 8


def test_a_clock_that_is_set_back_does_not_turn_the_order(path, clock):
    for text, year in (("one", 2035), ("two", 2001), ("three", 2026), ("four", 1970)):
        clock(datetime(year, 1, 1))
        put(path, text)
    assert texts(path) == ["three", "two", "one"]


def test_names_with_points_do_not_mix(tmp_path):
    for text in ("1", "2"):
        put(tmp_path / "plan.html", f"h{text}")
        put(tmp_path / "plan.csv", f"c{text}")
        put(tmp_path / "plan.a.csv", f"a{text}")
    (tmp_path / "history" / "plan.000009.2026-99-99T000000.csv").write_text("a day that is none")
    (tmp_path / "history" / "notes.txt").write_text("mine")
    assert texts(tmp_path / "plan.html") == ["h1"]
    assert texts(tmp_path / "plan.csv") == ["c1"]
    assert texts(tmp_path / "plan.a.csv") == ["a1"]


def test_pages_that_can_be_made_again_have_no_history(tmp_path):
    for text in (b"one", b"two"):
        keep.save(tmp_path / "plan.html", text, history=False)
    assert not (tmp_path / "history").exists()


def test_a_history_that_cannot_be_written_does_not_stop_a_save(path, monkeypatch):
    put(path, "one")
    shutil.rmtree(path.parent / "history")
    (path.parent / "history").write_text("a file in the way")
    with pytest.warns(disk.HistoryWarning, match=r"logs.csv is saved\. Its version could not be kept"):
        put(path, "two")
    assert path.read_text() == "two" and texts(path) == []
    (path.parent / "history").unlink()

    def full(*_args, **_more):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(type(path), "mkdir", full)
    with pytest.warns(disk.HistoryWarning, match="the disk is full"):
        keep.save(path, b"three")
    assert path.read_text() == "three"


def test_a_full_disk_while_saving_keeps_old_file_and_history(path, monkeypatch):
    for text in ("one", "two"):
        put(path, text)

    def full(*_args):
        raise OSError(errno.ENOSPC, "No space left on device")

    for name in ("fsync", "replace"):
        monkeypatch.setattr(os, name, full)
        with pytest.raises(disk.SaveError, match=r"disk is full\. Make room, then save again\. What was in"):
            put(path, "three")
        monkeypatch.undo()
        assert path.read_text() == "two" and texts(path) == ["one"]
    put(path, "four")
    assert texts(path) == ["two", "one"]


def test_on_a_full_disk_the_older_versions_make_room(path, monkeypatch):
    """A disk that holds six files of this size: each save goes on, and three versions stay."""
    real = keep._written

    def written(target, *rest, **how):
        if sum(1 for p in path.parent.rglob("*.csv")) >= 6:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(target, *rest, **how)

    monkeypatch.setattr(keep, "_written", written)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", disk.HistoryWarning)
        for turn in range(12):
            put(path, f"turn {turn}")
    assert path.read_text() == "turn 11"
    assert 3 <= len(list((path.parent / "history").iterdir())) <= 5


def test_undo_of_a_table(path):
    records.append(path, ROW)
    frame = records.append(path, {**ROW, "small_in": 12})
    records.correct(path, 3, frame.loc[3], None)
    assert len(records.read(path)) == 1
    keep.restore_version(path, keep.versions(path)[0])
    assert list(records.read(path)["small_in"]) == [11, 12]


# ---- kills and races, with the history on (the longer runs are by hand)

ADDER = """
    import sys
    from woodcalc import records
    path, name = sys.argv[1:]
    for i in range(10_000):
        records.append(path, {"log": f"{name}{i}", "species": "white oak", "small_in": 12, "length_ft": 10})
        print(i, flush=True)
"""


def adder(path, name):
    command = [sys.executable, "-c", textwrap.dedent(ADDER), str(path), name]
    return subprocess.Popen(command, stdout=subprocess.PIPE)


def test_killed_while_saving_with_history(path):
    """Every row reported as saved is in the file and, but for the last, in a version that reads."""
    for turn in range(3):
        child = adder(path, f"{turn}-")
        for _ in range(3):
            said = child.stdout.readline()
        time.sleep(0.004 * turn)
        child.send_signal(signal.SIGKILL)
        rest, _ = child.communicate(timeout=60)
        saved = int((said + rest).split()[-1]) + 1
        labels = [label for label in records.read(path)["log"] if label.startswith(f"{turn}-")]
        assert labels[:saved] == [f"{turn}-{i}" for i in range(saved)]
        assert len(list(path.parent.glob("history/.*"))) <= 1  # what was cut off is written over
        for version in keep.versions(path):
            rows = records.read(version.path, "logs")
            assert list(rows["log"]) == list(records.read(path)["log"])[: len(rows)]


def test_races_where_the_file_system_has_no_locks(path):
    """Three programs add rows while `flock` is refused: none is lost, no lock file stays."""
    code = """
        import errno, fcntl, sys
        def flock(*_):
            raise OSError(errno.ENOLCK, "No locks available")
        fcntl.flock = flock
        from woodcalc import records
        for i in range(6):
            row = {"log": f"{sys.argv[2]}{i}", "species": "white oak", "small_in": 12, "length_ft": 10}
            records.append(sys.argv[1], row)
    """
    children = [subprocess.Popen([sys.executable, "-c", textwrap.dedent(code), str(path), n]) for n in "ABC"]
    assert [child.wait(timeout=120) for child in children] == [0, 0, 0]
    assert sorted(records.read(path)["log"]) == sorted(f"{n}{i}" for n in "ABC" for i in range(6))
    assert not list(path.parent.glob("*.locked*"))


# ---- locks


@pytest.fixture
def no_locks(monkeypatch):
    def refuse(*_args):
        raise OSError(errno.EOPNOTSUPP, "Operation not supported")

    monkeypatch.setattr(disk.fcntl, "flock", refuse)


def test_no_locks_one_waits_for_the_other(path, no_locks):
    with (
        disk.locked(path),
        pytest.raises(disk.SaveError, match="another program"),
        disk.locked(path, wait_s=0.1),
    ):
        pass
    put(path, "one")
    assert path.read_text() == "one"


def test_no_locks_a_dead_programs_lock_is_cleared(path, no_locks):
    child = subprocess.Popen([sys.executable, "-c", ""])
    child.wait()
    token = path.with_name(f".{path.name}.locked")
    token.write_text(f"{child.pid} {disk.socket.gethostname()}")
    put(path, "one")
    token.write_text("12 another-computer")
    with pytest.raises(disk.SaveError, match="another program"), disk.locked(path, wait_s=0.1):
        pass
    old = time.time() - disk.STALE_S - 5
    os.utime(token, (old, old))
    put(path, "two")
    token.write_text(f"{os.getpid()} {disk.socket.gethostname()}")  # alive, however old
    os.utime(token, (old, old))
    with pytest.raises(disk.SaveError, match="another program"), disk.locked(path, wait_s=0.1):
        pass
    assert path.read_text() == "two"


def test_a_disk_that_fails_while_the_lock_is_taken(path, monkeypatch):
    def refuse(*_args):
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(disk.fcntl, "flock", refuse)
    with pytest.raises(disk.SaveError, match="the network drive does not answer"):
        put(path, "one")


def test_no_locks_a_dead_sweeper_is_cleared(path, no_locks):
    token = path.with_name(f".{path.name}.locked")
    sweeper = token.with_name(f"{token.name}.sweep")
    for leftover in (token, sweeper):
        leftover.write_text("")
        old = time.time() - 2 * disk.STALE_S
        os.utime(leftover, (old, old))
    put(path, "one")
    assert path.read_text() == "one" and not token.exists() and not sweeper.exists()


# ---- folders


def test_a_folder_that_was_moved_away_is_told_and_not_made_anew(tmp_path):
    mine = tmp_path / "my-wood"
    records.append(mine / "logs.csv", ROW)
    mine.rename(tmp_path / "wood of 2026")
    with pytest.raises(records.SaveError, match="its folder is gone. Was it moved or renamed"):
        records.append(mine / "logs.csv", ROW)
    assert not mine.exists()
    (tmp_path / "wood of 2026").rename(mine)
    assert len(records.append(mine / "logs.csv", ROW)) == 2


def test_a_folder_that_was_read_and_moved_is_told_too(tmp_path):
    mine = tmp_path / "my-wood"
    shutil.copytree(records.KETTLE_HOLLOW, mine)
    records.read_usable(mine)
    mine.rename(tmp_path / "elsewhere")
    with pytest.raises(records.SaveError, match="gone"):
        records.append(mine / "logs.csv", ROW)


def test_a_file_where_the_folder_should_be(tmp_path):
    (tmp_path / "my-wood").write_text("not a folder")
    for path in (tmp_path / "my-wood" / "logs.csv", tmp_path / "my-wood" / "deeper" / "logs.csv"):
        with pytest.raises(
            records.SaveError, match="a file stands where its folder should be. Rename that file"
        ):
            records.append(path, ROW)
    assert (tmp_path / "my-wood").read_text() == "not a folder"


def test_a_folder_where_the_file_should_be(path):
    path.mkdir()
    with pytest.raises((records.SaveError, disk.SaveError, ValueError), match="logs.csv.*folder"):
        records.append(path, ROW)
    with pytest.raises(disk.SaveError, match="a folder of that name stands in its place"):
        keep.save(path, b"one")


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.EROFS, "the disk is read-only"),
        (errno.EACCES, "it may not be written"),
        (errno.EIO, "the network drive does not answer"),
        (errno.ESTALE, "the network drive does not answer"),
        (errno.EDQUOT, "the disk is full"),
        (errno.ENAMETOOLONG, "too long"),
        (errno.EBUSY, os.strerror(errno.EBUSY)),
    ],
)
def test_whatever_the_disk_says_a_sentence_comes_of_it(path, monkeypatch, number, words):
    put(path, "one")
    real = open

    def refuse(name, mode="r", *args, **more):
        if mode == "wb":
            raise OSError(number, os.strerror(number))
        return real(name, mode, *args, **more)

    monkeypatch.setattr(keep, "open", refuse, raising=False)
    with pytest.raises(records.SaveError) as caught:
        put(path, "two")
    assert words in str(caught.value) and "still there" in str(caught.value)
    assert path.read_text() == "one"


def test_a_drive_that_cannot_force_to_disk(path, monkeypatch):
    def refuse(_number):
        raise OSError(errno.EINVAL, "Invalid argument")

    monkeypatch.setattr(os, "fsync", refuse)
    put(path, "one")
    assert path.read_text() == "one"


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="only root can become somebody else")
def test_a_read_only_folder(tmp_path):
    """In a child that is not root, as rights do not bind root."""
    mine = tmp_path / "my-wood"
    mine.mkdir()
    shutil.copy(records.KETTLE_HOLLOW / "logs.csv", mine)
    for folder in (tmp_path, *tmp_path.parents):
        folder.chmod(stat.S_IMODE(folder.stat().st_mode) | 0o055)
        if folder.name.startswith("pytest-of"):
            break
    code = f"""
        import os
        from pathlib import Path
        from woodcalc import records
        from woodcalc.records import backup as backups
        path = Path({str(mine)!r}) / "logs.csv"
        records.read_usable(path.parent)
        backups.unpacked(backups.backup(path.parent))
        os.setuid(65534)
        assert len(records.read_usable(path.parent).tables["logs"]) == 18
        try:
            records.append(path, {ROW!r})
        except records.SaveError as error:
            print(error)
        print(len(backups.unpacked(backups.backup(path.parent))))
    """
    before = (mine / "logs.csv").read_bytes()
    done = subprocess.run([sys.executable, "-c", textwrap.dedent(code)], capture_output=True, text=True)
    assert done.stderr == ""
    assert "logs.csv was not saved: it may not be written" in done.stdout and done.stdout.endswith("\n1\n")
    assert (mine / "logs.csv").read_bytes() == before


def test_links_in_a_circle(tmp_path):
    (tmp_path / "logs.csv").symlink_to(tmp_path / "other.csv")
    (tmp_path / "other.csv").symlink_to(tmp_path / "logs.csv")
    with pytest.raises((records.SaveError, ValueError), match="circle|cannot be read"):
        records.append(tmp_path / "logs.csv", ROW)


def test_two_names_of_one_file_share_lock_and_history(tmp_path):
    path = tmp_path / "logs.csv"
    put(path, "one")
    link = tmp_path / "elsewhere" / "logs.csv"
    link.parent.mkdir()
    link.symlink_to(path)
    with disk.locked(path), pytest.raises(disk.SaveError), disk.locked(link, wait_s=0.1):
        pass
    put(link, "two")
    assert texts(path) == texts(link) == ["one"]


TABLE = "log,species\n1,oak\n2,ash\n"


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_rows_are_counted_and_told_in_whatever_the_file_is_written(codec):
    then = "log,species\n1,röd oak\n"
    assert held.rows(TABLE.encode(codec)) == "2 rows"
    assert held.changes(TABLE.encode(codec), then.encode(codec)) == [
        "row 2: 1, oak becomes 1, röd oak",
        "row 3 goes out: 2, ash",
    ]
    assert held.changes(TABLE.encode(), TABLE.encode(codec)) == []


def test_undo_over_a_workbook_tells_no_bytes(path):
    records.append(path, ROW)
    with disk.locked(path):
        keep.save(path, b"PK\x03\x04\x88\x00\xff" * 40)
    assert history.dated(path)[0][0].endswith(", 1 row")
    assert history.undo(path).startswith("Undone: 1 row in place of a spreadsheet workbook. ")
    assert history.dated(path)[0][0].endswith(", a spreadsheet workbook")


def test_empty_bytes_at_the_end_are_told_and_not_shown():
    damaged = TABLE.encode() + b"\0" * 40
    assert held.rows(damaged) == "2 rows"
    assert held.changes(damaged, TABLE.encode()) == ["the empty bytes at its end go out"]


# ---- backup


@pytest.fixture
def wood(tmp_path):
    folder = tmp_path / "my-wood"
    shutil.copytree(records.KETTLE_HOLLOW, folder)
    (folder / "plan").mkdir()
    (folder / "plan" / "plan.html").write_text("<p>a plan</p>")
    (folder / "choices.json").write_text(json.dumps({"month": 5}))
    records.append(folder / "logs.csv", ROW)
    return folder


def test_backup_and_restore(wood, tmp_path):
    data = backups.backup(wood)
    files = backups.unpacked(data)
    assert sorted(files) == [
        "boards.csv", "choices.json", "logs.csv", "plan/plan.html", "readings.csv", "stacks.csv"
    ]  # fmt: skip
    done = backups.restore(tmp_path / "again", data)
    assert set(done.files.values()) == {"new"} and done.told == ()
    for name, content in files.items():
        assert (tmp_path / "again" / name).read_bytes() == content == (wood / name).read_bytes()
    with_new_row = (wood / "logs.csv").read_bytes()
    records.append(wood / "logs.csv", ROW)
    after = (wood / "logs.csv").read_bytes()
    (wood / "stacks.csv").unlink()
    (wood / "later.txt").write_text("stays")
    done = backups.restore(wood, memoryview(data))
    assert done.files == {
        **dict.fromkeys(files, "same"), "logs.csv": "put back", "stacks.csv": "new"
    }  # fmt: skip
    assert (wood / "logs.csv").read_bytes() == with_new_row
    assert keep.versions(wood / "logs.csv")[0].path.read_bytes() == after  # what was there is not lost
    assert (wood / "later.txt").read_text() == "stays"


def test_a_backup_says_what_it_lacks(wood, monkeypatch):
    monkeypatch.setattr(backups, "LARGEST_OTHERS_MB", 0.01)
    (wood / "photo.jpg").write_bytes(b"\0" * 20_000)
    (wood / 'a "name".txt').write_text("no other system takes that name")
    data = backups.backup(wood)
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        said = book.read("not in this backup.txt").decode()
        assert "photo.jpg" not in book.namelist()
    assert "photo.jpg: no room (0.0 MB)" in said and 'a "name".txt' in said
    assert "logs.csv" in backups.restore(wood, data).files
    told = str(backups.contents(data))
    assert 'Left out: 1 photo (no room); a "name".txt: its name does not serve in a backup.' in told


def test_photos_never_crowd_the_records_out_of_a_backup(wood, monkeypatch, tmp_path):
    monkeypatch.setattr(backups, "LARGEST_OTHERS_MB", 0.05)
    monkeypatch.setattr(backups, "MOST_FILES", 20)
    for n in range(30):
        (wood / f"IMG_{n:03}.jpg").write_bytes(os.urandom(10_000))
    (wood / "A manual.pdf").write_bytes(os.urandom(30_000))  # a page of the book, by its name
    (wood / "readings.csv").write_bytes((wood / "readings.csv").read_bytes() + b"\n" * 60_000)
    data = backups.backup(wood)
    files = backups.unpacked(data)
    records_of = ("logs.csv", "boards.csv", "stacks.csv", "readings.csv", "choices.json", "plan/plan.html")
    assert {*records_of, "A manual.pdf"} < set(files)
    found = backups.contents(data)
    assert found.rows == {"logs": 19, "boards": 59, "stacks": 3, "readings": 12}
    assert len(found.others) == 1 and len(found.left_out) == 29
    told = str(found)
    assert "In it: 19 logs, 59 boards, 3 stacks, 12 readings. Left out: 29 photos (no room)." in told
    assert "1 photo in it does not come back with Restore: open the zip yourself" in told
    done = backups.restore(tmp_path / "again", data)
    assert set(records_of) < set(done.files)
    assert len(done.told) == 1 and "IMG_000.jpg is not the book's" in done.told[0]
    assert "open the zip yourself" in done.told[0]


def test_a_backup_with_a_table_that_does_not_read_counts_its_lines(wood):
    (wood / "stacks.csv").write_text("A,oak\nB,ash\n")
    (wood / "readings.csv").unlink()
    assert backups.contents(backups.backup(wood)).rows == {"logs": 19, "boards": 59, "stacks": 2}


def test_no_backup_of_nothing(tmp_path):
    with pytest.raises(disk.SaveError, match="No backup was made: there is no folder"):
        backups.backup(tmp_path / "none")
    with pytest.raises(disk.SaveError, match="holds no file"):
        backups.backup(tmp_path)


def zipped(**files):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as book:
        for name, content in {"woodcalc-backup.txt": "", **files}.items():
            book.writestr(zipfile.ZipInfo(name), content)
    return out.getvalue()


@pytest.mark.parametrize(
    "name",
    [
        "../logs.csv", "/etc/logs.csv", "a/../../logs.csv", "C:/logs.csv", "..\\logs.csv", "a\\b.csv", ".hidden",
        ".logs.csv.lock", "history/logs.csv", "a/.ssh/keys", "nul", "logs.csv.", "logs.csv ", "a\x01b", "x" * 300,
        "a/b/c/d/e/f/g",
    ],
)  # fmt: skip
def test_a_backup_with_names_that_lead_elsewhere_is_refused(wood, name):
    before = {p: p.read_bytes() for p in wood.parent.rglob("*") if p.is_file()}
    with pytest.raises(
        disk.SaveError, match=r"^Nothing was put back: .*does not belong into a folder of records"
    ):
        backups.restore(wood, zipped(**{"logs.csv": "log", name: "x"}))
    assert {p: p.read_bytes() for p in wood.parent.rglob("*") if p.is_file()} == before


def test_other_files_that_are_no_backup(wood, monkeypatch):
    monkeypatch.setattr(backups, "LARGEST_BACKUP_MB", 20)
    good = backups.backup(wood)
    link = zipfile.ZipInfo("link")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as book:
        book.writestr(link, "/etc/passwd")
    bomb = io.BytesIO()
    with zipfile.ZipFile(bomb, "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("logs.csv", b"0" * 51_000_000)
    liar = bytearray(zipped(**{"logs.csv": "log,species"}))
    at = liar.rindex(b"PK\x01\x02") + 24
    liar[at : at + 4] = (5).to_bytes(4, "little")  # says that it unpacks to five bytes
    twice = zipped(**{"logs.csv": "a", "Logs.csv": "b"})
    other = io.BytesIO()
    with zipfile.ZipFile(other, "w") as book:
        book.writestr("readings.csv", "my shopping list\nmilk\n")
    before = {p: p.read_bytes() for p in wood.rglob("*") if p.is_file()}
    tries = [
        b"",
        b"PK\x03\x04",
        good[:200],  # no file in it is whole
        out.getvalue(),
        bomb.getvalue(),
        other.getvalue(),
        zipped(**{"logs.csv": b"0" * 11_000_000, "boards.csv": b"0" * 11_000_000}),
        bytes(liar),
        twice,
    ]
    for data in (*tries, zipped(), zipped(**{str(i): "" for i in range(2001)})):
        with pytest.raises(disk.SaveError, match="^Nothing was put back: "):
            backups.restore(wood, data)
    noisy = bytearray(good)
    for at in range(0, len(noisy), 97):  # damage anywhere: refused, or what is put back passed its checksum
        spoiled = bytearray(noisy)
        spoiled[at] ^= 0x55
        try:
            backups.unpacked(bytes(spoiled))
        except disk.SaveError as error:
            assert str(error).startswith("Nothing was put back: ")
    assert {p: p.read_bytes() for p in wood.rglob("*") if p.is_file()} == before


def spoiled(data, name):
    """The zip with one byte changed in the content of one file."""
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        member = book.getinfo(name)
    bad = bytearray(data)
    bad[member.header_offset + 30 + len(name) + member.compress_size // 2] ^= 0x55
    return bytes(bad)


@pytest.mark.parametrize("name", ["IMG_0412.jpg", "stacks.csv"])
def test_one_damaged_file_does_not_keep_the_others_from_coming_back(wood, tmp_path, name):
    (wood / "IMG_0412.jpg").write_bytes(os.urandom(5000))
    (wood / "IMG_0413.jpg").write_bytes(os.urandom(5000))
    data = spoiled(backups.backup(wood), name)
    again = tmp_path / "again"
    again.mkdir()
    (again / "stacks.csv").write_bytes(b"stack,species\n")
    done = backups.restore(again, data)
    back = {"logs.csv", "boards.csv", "readings.csv", "choices.json", "plan/plan.html", "stacks.csv"} - {name}
    assert set(done.files) == back
    assert all((again / n).read_bytes() == (wood / n).read_bytes() for n in back)
    assert done.told[0].startswith(f"{name} is damaged in it and does not come back")
    assert ((again / "stacks.csv").read_bytes() == b"stack,species\n") == (name == "stacks.csv")


def test_of_a_backup_without_its_end_the_whole_files_come_back(wood, tmp_path):
    data = backups.backup(wood)
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        members = [
            (m.header_offset + 30 + len(m.filename) + m.compress_size, m.filename) for m in book.infolist()
        ]
    for left in (0.2, 0.5, 0.8, 0.99):
        end = int(left * len(data))
        whole = {name for ends, name in members if ends <= end} - {"woodcalc-backup.txt"}
        again = tmp_path / f"{left}"
        if not whole:
            with pytest.raises(disk.SaveError, match="cannot be read as a backup"):
                backups.restore(again, data[:end])
            continue
        done = backups.restore(again, memoryview(data[:end]))
        assert set(done.files) == whole
        assert all((again / name).read_bytes() == (wood / name).read_bytes() for name in whole)
        assert done.told[0].startswith("The end of this backup is cut off. Whole in it ")
        with pytest.raises(disk.SaveError):  # no backup to trust in
            backups.contents(data[:end])


def test_a_backup_that_was_unpacked_and_made_anew_serves(wood, tmp_path):
    data = backups.backup(wood)
    members = {**backups.unpacked(data), "woodcalc-backup.txt": b"A backup"}
    extras = (
        ".DS_Store",
        "my-wood/.DS_Store",
        "__MACOSX/my-wood/._logs.csv",
        "my-wood/plan/Thumbs.db",
        "Desktop.ini",
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as book:
        book.writestr("my-wood/", b"")
        for name, content in members.items():
            book.writestr(f"my-wood/{name}", content)
        for name in extras:
            book.writestr(name, b"\0")
    done = backups.restore(tmp_path / "again", out.getvalue())
    assert set(done.files) == set(backups.unpacked(data))
    assert sorted(p.name for p in (tmp_path / "again").iterdir() if p.suffix == ".csv") == [
        "boards.csv", "logs.csv", "readings.csv", "stacks.csv"
    ]  # fmt: skip
    assert done.told[0] == (
        ".DS_Store, my-wood/.DS_Store, __MACOSX/my-wood/._logs.csv and 2 more are no part of the backup, left out."
    )
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as book:
        for name in ("a/woodcalc-backup.txt", "a/logs.csv", "a/../../logs.csv"):
            book.writestr(name, "log")
    with pytest.raises(disk.SaveError, match="does not belong"):  # in the folder the same names are refused
        backups.restore(wood, out.getvalue())


def test_tables_in_a_backup_that_do_not_read_are_told(tmp_path):
    bad = "log,species,small_in,length_ft\n1,white oak,12,10\n2,wite oka,12,10\n"
    done = backups.restore(
        tmp_path / "wood", zipped(**{"logs.csv": bad, "boards.csv": "", "holiday.jpg": "1"})
    )
    assert set(done.files) == {"logs.csv", "boards.csv"} and not (tmp_path / "wood" / "holiday.jpg").exists()
    words = ("holiday.jpg is not the book's, left out", "logs.csv, row 3", "boards.csv: found an empty file")
    assert all(word in told for word, told in zip(words, done.told, strict=True))
    assert (tmp_path / "wood" / "logs.csv").read_text() == bad


def test_a_disk_that_fills_up_during_a_restore(wood, monkeypatch):
    data = backups.backup(wood)
    for name in ("logs.csv", "readings.csv"):
        (wood / name).write_text("log,species\n")
    real = keep._written

    def written(target, content, *more, **how):
        if target.name == "readings.csv":
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(target, content, *more, **how)

    monkeypatch.setattr(keep, "_written", written)
    with pytest.raises(
        disk.SaveError, match=r"logs\.csv.* are back\. \S*/readings.csv was not saved: the disk is full"
    ):
        backups.restore(wood, data)
    assert (wood / "readings.csv").read_text() == "log,species\n"


def test_of_two_names_that_differ_in_capitals_the_one_that_is_read_is_kept(wood):
    (wood / "Logs.csv").write_text(TABLE)
    read = (wood / "logs.csv").read_bytes()
    data = backups.backup(wood)
    assert backups.unpacked(data)["logs.csv"] == read
    assert "Logs.csv" in str(backups.contents(data))  # told as left out


def test_a_table_that_comes_back_under_a_name_that_is_not_read_is_told(tmp_path):
    mine, other = tmp_path / "mine", tmp_path / "other"
    for folder in (mine, other):
        folder.mkdir()
    (mine / "Logs.csv").write_text(TABLE)
    data = backups.backup(mine)
    told = "Logs.csv is not read under this name: the book reads logs.csv. Rename it."
    assert told in history.backup_changes(other, data) and told in backups.restore(other, data).told
    (other / "logs.csv").write_text(TABLE)
    told = "Logs.csv is not read under this name: logs.csv lies beside it, and the book reads that one."
    assert told in history.backup_changes(other, data) and told in backups.restore(other, data).told


def test_warnings_are_only_of_history(path):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for text in ("one", "two"):
            put(path, text)


def test_a_quoted_cell_is_told_as_it_was_typed():
    now = 'log,species,small_in,length_ft,note\n1,red oak,14,12,"café ""big"", by the barn"\n'
    told = held.changes(now.encode(), now.replace("14", "15").encode(), "logs")
    assert told == [
        'row 2: 1, red oak, 14, 12, café "big", by the barn becomes 1, red oak, 15, 12, café "big", by the barn'
    ]


@pytest.mark.parametrize("cut", range(1, 40, 3))
def test_a_broken_backup_is_told_in_plain_words(tmp_path, cut):
    (tmp_path / "logs.csv").write_text("log,species,small_in,length_ft\n1,red oak,14,12\n")
    whole = backups.backup(tmp_path)
    for data in (whole[cut:], whole[:-cut], whole[: len(whole) // 2], b"a letter"):
        try:
            backups.unpacked(data)
        except disk.SaveError as error:
            assert "seek" not in str(error) and "offset" not in str(error) and "central" not in str(error)
