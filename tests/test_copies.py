"""Lessons handed out: nothing that a learner changed is overwritten, and nothing in the way stops the rest."""

import asyncio
import contextlib
import json
import os
import subprocess
import sys
import types
from pathlib import Path

import pytest

from woodcalc.lesson import copies, opening
from woodcalc.lesson.copies import hand_out, mend_lessons
from woodcalc.records import choices

NEW = choices.NEW_VERSIONS


@pytest.fixture
def book(tmp_path):
    folder = tmp_path / "book"
    (folder / "pictures").mkdir(parents=True)
    (folder / "leader").mkdir()
    (folder / "00-start-here.ipynb").write_text("start")
    (folder / "01.ipynb").write_text("one")
    (folder / "pictures" / "a.png").write_bytes(b"\x89PNG")
    (folder / "leader" / "desk.ipynb").write_text("for the leader")
    (folder / ".hidden").write_text("x")
    return folder


@pytest.fixture
def mine(tmp_path, book):
    hand_out(book, tmp_path / "mine")
    return tmp_path / "mine"


def ledger(mine):
    return json.loads((mine / choices.HANDED_OUT).read_text())


def test_new_same_and_updated(book, tmp_path):
    mine = tmp_path / "mine"
    assert hand_out(book, mine) == dict.fromkeys(("00-start-here.ipynb", "01.ipynb", "pictures/a.png"), "new")
    shown = sorted(p.name for p in mine.iterdir() if not p.name.startswith("."))
    assert shown == ["00-start-here.ipynb", "01.ipynb", "pictures"]
    (book / "01.ipynb").write_text("one, better")
    assert hand_out(book, mine)["01.ipynb"] == "updated"
    assert set(hand_out(book, mine).values()) == {"same"}
    assert (mine / "01.ipynb").read_text() == "one, better"


def test_what_a_learner_wrote_in_new_versions_stays(book, mine):
    (mine / "01.ipynb").write_text("my work")
    for text in ("two", "three"):  # untouched, the newest takes its place
        (book / "01.ipynb").write_text(text)
        assert hand_out(book, mine)["01.ipynb"] == "kept"
        assert (mine / NEW / "01.ipynb").read_text() == text
    assert [p.name for p in (mine / NEW).iterdir()] == ["01.ipynb"]
    (mine / NEW / "01.ipynb").write_text("my work on the newer one")
    for text in ("four", "five"):
        (book / "01.ipynb").write_text(text)
        assert hand_out(book, mine)["01.ipynb"] == "kept"
        assert (mine / NEW / "01.ipynb").read_text() == "my work on the newer one"
        assert (mine / NEW / "01 (2).ipynb").read_text() == text
    (mine / NEW / "01 (2).ipynb").write_text("and on that")
    (book / "01.ipynb").write_text("six")
    hand_out(book, mine)
    assert (mine / NEW / "01 (2).ipynb").read_text() == "and on that"
    assert (mine / NEW / "01 (3).ipynb").read_text() == "six"
    assert (mine / "01.ipynb").read_text() == "my work"


def lesson(text, output):
    cell = {"cell_type": "code", "source": [text], "outputs": [output], "metadata": {}}
    return json.dumps({"cells": [cell], "metadata": {"woodcalc": {"lesson": "01"}}})


def test_a_lesson_that_was_only_run_is_brought_up_to_date(book, mine):
    path = mine / "01.ipynb"
    (book / "01.ipynb").write_text(lesson("one", "Kettle Hollow's oak"))
    hand_out(book, mine)
    path.write_text(lesson("one", "my own oak"))
    assert hand_out(book, mine)["01.ipynb"] == "same" and "my own oak" in path.read_text()
    (book / "01.ipynb").write_text(lesson("one, better", "Kettle Hollow's oak"))
    assert hand_out(book, mine)["01.ipynb"] == "updated" and "better" in path.read_text()
    (book / "01.ipynb").write_text(lesson("one, better", "a better picture"))
    assert hand_out(book, mine)["01.ipynb"] == "updated" and "a better picture" in path.read_text()
    path.write_text(lesson("one, with my own line", "Kettle Hollow's oak"))
    assert hand_out(book, mine)["01.ipynb"] == "kept" and "my own line" in path.read_text()
    assert hand_out(book, mine)["01.ipynb"] == "kept" and len(list((mine / NEW).iterdir())) == 1


def test_a_ledger_of_an_earlier_version_still_counts(book, mine):
    old = {name: seals.split()[0] for name, seals in ledger(mine).items()}  # it held one checksum a file
    (mine / choices.HANDED_OUT).write_text(json.dumps(old))
    (book / "01.ipynb").write_text("two")
    (mine / "00-start-here.ipynb").write_text("my work")
    assert hand_out(book, mine) == {
        "00-start-here.ipynb": "kept",
        "01.ipynb": "updated",
        "pictures/a.png": "same",
    }


@pytest.mark.parametrize(
    "text",
    [b"", b'{"01.ipynb": "12', b"[1, 2]", b"\xff\xfe\x00", b'{"01.ipynb": 5}', b"null", b"[" * 100_000],
)
def test_a_ledger_that_is_cut_off_or_not_ours_stops_nothing(book, mine, text):
    (mine / choices.HANDED_OUT).write_bytes(text)
    (book / "01.ipynb").write_text("two")
    done = hand_out(book, mine)
    assert done == {"00-start-here.ipynb": "same", "01.ipynb": "kept", "pictures/a.png": "same"}
    assert (
        mine / "01.ipynb"
    ).read_text() == "one"  # perhaps the learner's: what is not known is not overwritten
    assert (mine / NEW / "01.ipynb").read_text() == "two"
    assert len(ledger(mine)) == 3


def test_a_ledger_that_cannot_be_written_or_read(book, mine):
    (mine / choices.HANDED_OUT).unlink()
    (mine / choices.HANDED_OUT).mkdir()
    (book / "02.ipynb").write_text("two")
    done = hand_out(book, mine)
    assert done["02.ipynb"] == "new" and done[choices.HANDED_OUT].startswith("not copied: ")


@pytest.mark.parametrize("written", [1, 2, 3])
def test_a_handing_out_that_was_cut_off_leaves_no_lesson_for_the_learners_own(
    book, mine, written, monkeypatch
):
    """The power fails after some of the lessons are written: the next version still finds them untouched."""
    (mine / "01.ipynb").write_text("my work")
    (book / "02.ipynb").write_text("two")

    def version(number):
        for name in ("00-start-here.ipynb", "01.ipynb", "02.ipynb"):
            (book / name).write_text(f"{name}, version {number}")

    class Cut(BaseException):
        pass

    def cut(path, data, left=[written]):  # noqa: B006 - counts across calls
        if not left[0]:
            raise Cut
        left[0] -= 1
        write(path, data)

    write = copies._write
    version(2)
    monkeypatch.setattr(copies, "_write", cut)
    with contextlib.suppress(Cut):
        hand_out(book, mine)
    monkeypatch.setattr(copies, "_write", write)
    (book / "pictures" / "a.png").write_bytes(b"another")
    version(3)
    done = hand_out(book, mine)
    assert done.pop("02.ipynb") == ("new" if written < 3 else "updated")
    assert done == {"00-start-here.ipynb": "updated", "01.ipynb": "kept", "pictures/a.png": "updated"}
    assert [p.name for p in (mine / NEW).iterdir()] == ["01.ipynb"]
    assert (mine / "01.ipynb").read_text() == "my work"
    assert (mine / NEW / "01.ipynb").read_text() == "01.ipynb, version 3"
    (mine / "02.ipynb").write_text("my own words")
    version(4)
    assert hand_out(book, mine)["02.ipynb"] == "kept"


def test_things_in_the_way_are_told_and_the_others_go_on(book, mine, tmp_path):
    for name in ("02", "03", "04", "05"):
        (book / f"{name}.ipynb").write_text(name)
    (book / "09.ipynb").symlink_to(tmp_path / "nowhere")
    (book / "maps").mkdir()
    (book / "maps" / "a.txt").write_text("a map")
    outside = tmp_path / "outside.ipynb"
    outside.write_text("somebody's")
    (mine / "02.ipynb").mkdir()
    (mine / "03.ipynb").symlink_to(outside)
    (mine / "04.ipynb").symlink_to(tmp_path / "nothing there")
    (mine / "maps").write_text("a file where a folder should be")
    done = hand_out(book, mine)
    assert done["05.ipynb"] == "new" and done["01.ipynb"] == "same"
    assert "a folder of the name 02.ipynb stands in its place" in done["02.ipynb"]
    assert "03.ipynb is a link there" in done["03.ipynb"]
    assert done["04.ipynb"].startswith("not copied: ") and done["maps/a.txt"].startswith("not copied: ")
    assert outside.read_text() == "somebody's"
    assert not (tmp_path / "nothing there").exists()
    assert "09.ipynb" not in done


def test_a_linked_folder_is_left_alone(book, mine, tmp_path):
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (mine / NEW).symlink_to(elsewhere)
    (mine / "01.ipynb").write_text("my work")
    (book / "01.ipynb").write_text("two")
    assert "is a link there" in hand_out(book, mine)["01.ipynb"]
    assert list(elsewhere.iterdir()) == []


def test_a_file_that_cannot_be_read(book, mine, monkeypatch):
    real = type(book).read_bytes

    def read_bytes(path):
        if path.name == "01.ipynb":
            raise PermissionError(13, "Permission denied")
        return real(path)

    (book / "02.ipynb").write_text("two")
    monkeypatch.setattr(type(book), "read_bytes", read_bytes)
    assert hand_out(book, mine) == {
        "00-start-here.ipynb": "same",
        "01.ipynb": "not copied: Permission denied",
        "02.ipynb": "new",
        "pictures/a.png": "same",
    }


def test_read_only_lessons_give_copies_that_can_be_written(book, tmp_path):
    for path in book.rglob("*.ipynb"):
        path.chmod(0o444)
    hand_out(book, tmp_path / "mine")
    for name in ("00-start-here.ipynb", "01.ipynb"):
        assert os.stat(tmp_path / "mine" / name).st_mode & 0o200
    (tmp_path / "mine" / "01.ipynb").chmod(0o444)  # the learner's own lock
    (book / "01.ipynb").chmod(0o644)
    (book / "01.ipynb").write_text("two")
    assert "read-only" in hand_out(book, tmp_path / "mine")["01.ipynb"]


def test_a_copy_cut_off_by_a_full_disk_is_no_copy(book, tmp_path):
    """A limit on file size stands for the full disk."""
    (book / "02.ipynb").write_text("two" * 5000)
    code = f"""
import resource
resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))
from woodcalc.lesson.copies import hand_out, mend_lessons
print(hand_out({str(book)!r}, {str(tmp_path / "mine")!r})["02.ipynb"])
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "the disk is full" in done.stdout
    assert not (tmp_path / "mine" / "02.ipynb").exists()
    assert hand_out(book, tmp_path / "mine")["02.ipynb"] == "new"


def test_a_folder_inside_the_book_is_not_handed_out_again(book):
    hand_out(book, book / "copy")
    assert set(hand_out(book, book / "copy").values()) == {"same"}
    assert not (book / "copy" / "copy").exists()


def test_the_command_says_why_it_could_do_nothing(book, tmp_path):
    (tmp_path / "a file").write_text("x")
    command = [sys.executable, "-m", "woodcalc.lesson.copies", str(book)]
    failed = subprocess.run([*command, str(tmp_path / "a file")], capture_output=True, text=True)
    assert failed.returncode == 1 and "Traceback" not in failed.stderr
    assert failed.stderr.startswith("No lessons were handed out: ")
    done = subprocess.run([*command, str(tmp_path / "mine")], capture_output=True, text=True, check=True)
    assert "new      01.ipynb" in done.stdout


def test_lessons_opened_from_new_versions_use_the_same_folder(book, mine, monkeypatch):
    monkeypatch.delenv(choices.VARIABLE, raising=False)
    (mine / NEW).mkdir()
    (mine / NEW / "00-start-here.ipynb").write_text("newer")
    monkeypatch.chdir(mine)
    assert choices.folder() == mine / "my-wood"
    monkeypatch.chdir(mine / NEW)
    assert choices.folder() == mine / "my-wood"
    assert choices.folder(mine / NEW) == mine / "my-wood"
    (mine / "leader").mkdir()
    assert choices.folder(mine / "leader") == mine / "my-wood"


@pytest.mark.parametrize(
    "trouble",
    [subprocess.CalledProcessError(1, "hand_out"), subprocess.TimeoutExpired("hand_out", 60), OSError("no")],
)
def test_the_hub_starts_a_server_whatever_the_handing_out_did(tmp_path, monkeypatch, trouble):
    said = []

    class Spawner:
        log = types.SimpleNamespace(warning=lambda *words: said.append(words))
        user = types.SimpleNamespace(name="ash")

        async def start(self):
            return "started"

    def run(*_args, **_more):
        raise trouble

    class Anything:
        def __getattr__(self, name):
            if name.startswith("__"):
                raise AttributeError(name)
            self.__dict__[name] = Anything()
            return self.__dict__[name]

    monkeypatch.setitem(sys.modules, "jupyterhub", types.ModuleType("jupyterhub"))
    monkeypatch.setitem(sys.modules, "jupyterhub.spawner", types.SimpleNamespace(LocalProcessSpawner=Spawner))
    monkeypatch.setenv("WOODCALC_HUB_STATE", str(tmp_path))
    (tmp_path / "class-list.txt").write_text("ash\n")
    path = Path(__file__).parents[1] / "lessons/leader/hosting/jupyterhub_config.py"
    names = {"__file__": str(path), "get_config": Anything, "__name__": "config"}
    before = os.umask(0o022)
    try:
        exec(compile(path.read_text(), str(path), "exec"), names)  # noqa: S102 - as JupyterHub does
        person = types.SimpleNamespace(pw_uid=1, pw_gid=1, pw_dir=str(tmp_path))
        monkeypatch.setattr("pwd.getpwnam", lambda _name: person)
        monkeypatch.setattr(subprocess, "run", run)
        assert asyncio.run(names["LearnerSpawner"]().start()) == "started"
    finally:
        os.umask(before)
    assert said and said[0][2] is trouble


def test_asking_for_the_leaders_desk_says_what_was_put_where(tmp_path, capsys):
    mine = tmp_path / "mine"
    for first in (True, False):
        opening.prepare(mine, leader=True)
        said = capsys.readouterr().out
        assert f"The leader's desk is {mine / 'leader' / 'leaders-desk.ipynb'}." in said
        assert (f"New in {mine / 'leader'}: " in said) is first
    assert (mine / "leader" / "leaders-desk.ipynb").is_file()
    opening.prepare(mine)
    assert "leader" not in capsys.readouterr().out


CUTS = {
    "half": lambda whole: whole[: len(whole) // 2],
    "empty": lambda whole: b"",
    "zeros": lambda whole: bytes(len(whole)),
}


@pytest.mark.parametrize("cut", CUTS)
def test_a_lesson_cut_off_in_a_saving_is_whole_again_at_the_next_start(tmp_path, capsys, cut):
    """With what the learner had changed in it the last time that it was opened, and the rest set aside."""
    mine = tmp_path / "mine"
    opening.prepare(mine, leader=True)
    lesson, desk = mine / "08-keep-the-records.ipynb", mine / "leader/leaders-desk.ipynb"
    own = lesson.read_text(encoding="utf-8").replace("Keep the records", "Keep my records")
    lesson.write_text(own, encoding="utf-8")
    opening.prepare(mine, leader=True)
    left, whole = CUTS[cut](lesson.read_bytes()), desk.read_bytes()
    for path in (lesson, desk):
        path.write_bytes(CUTS[cut](path.read_bytes()))
    capsys.readouterr()
    opening.prepare(mine, leader=True)
    told = capsys.readouterr().out
    assert lesson.read_text(encoding="utf-8") == own and desk.read_bytes() == whole
    assert (mine / ".lab/damaged" / lesson.name).read_bytes() == left
    for name in (lesson.name, "leader/leaders-desk.ipynb"):
        assert f"{name} was damaged, as by a power cut. It is whole again." in told
    assert "What you wrote in its boxes comes back" in told
    opening.prepare(mine, leader=True)
    assert "damaged" not in capsys.readouterr().out


def test_a_lesson_that_is_gone_is_put_back_at_the_next_start(tmp_path, capsys):
    mine = tmp_path / "mine"
    opening.prepare(mine)
    opening.prepare(mine)
    lesson, renamed = mine / "08-keep-the-records.ipynb", mine / "05-a-newer-name.ipynb"
    own = lesson.read_bytes()
    lesson.unlink()
    (old,) = mine.glob("05-*.ipynb")
    old.rename(renamed)
    capsys.readouterr()
    opening.prepare(mine)
    told = capsys.readouterr().out
    assert lesson.read_bytes() == own and f"{lesson.name} was no longer there." in told
    assert renamed.exists() and f"{old.name} was no longer there" not in told


def test_a_damaged_lesson_without_any_sound_copy_is_named(tmp_path):
    """In a checkout that was never opened: nothing else is touched."""
    (tmp_path / "03.ipynb").write_text('{"cells": [')
    (tmp_path / "note.ipynb").write_text('{"cells": [], "metadata": {}}')
    assert mend_lessons(tmp_path, tmp_path) == {
        "03.ipynb": "there is no sound copy of it; get this file of the book anew"
    }
    assert (tmp_path / "03.ipynb").read_text() == '{"cells": [' and not (tmp_path / ".lab").exists()
