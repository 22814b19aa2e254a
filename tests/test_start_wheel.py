"""The wheel: lessons and data are in it and nobody's own files are; it gives a learner a folder and opens it."""

import os
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import zipfile
from pathlib import Path

import pytest
from lab_client import use_once
from test_start import LESSON, ROOT, copy_book

from woodcalc.lesson import opening

# What lies about in a folder that has been used: none of it is for others.
PERSONAL = (
    "lessons/my-wood/logs.csv", "lessons/my-wood/history/logs.csv", "lessons/.lab/data/notebook_secret",
    "lessons/.ipynb_checkpoints/05-wood-and-the-air-checkpoint.ipynb", "lessons/new versions/05-wood-and-the-air.ipynb",
    "lessons/05-wood-and-the-air-Copy1.ipynb", "lessons/my notes.txt", "lessons/Untitled.ipynb",
    "lessons/leader/.ipynb_checkpoints/leaders-desk-checkpoint.ipynb", "lessons/leader/my-wood/logs.csv",
    "letter.txt", ".venv/lib/secret.py",
)  # fmt: skip


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """A wheel and an archive of the sources, built from a folder that somebody has used."""
    folder = tmp_path_factory.mktemp("wheel")
    book = copy_book(folder / "book")
    for name in (".gitignore", "DEVELOPERS.md"):
        shutil.copy(ROOT / name, book / name)
    for name in PERSONAL:
        (book / name).parent.mkdir(parents=True, exist_ok=True)
        (book / name).write_text("personal")
    subprocess.run([sys.executable, "-m", "hatchling", "build", "-d", folder / "made"], cwd=book, check=True)
    (wheel,), (archive,) = (folder / "made").glob("*.whl"), (folder / "made").glob("*.tar.gz")
    return wheel, archive


def test_nobodys_own_files_are_in_it(built):
    wheel, archive = built
    with zipfile.ZipFile(wheel) as packed, tarfile.open(archive) as sources:
        inside = {*packed.namelist(), *(name.split("/", 1)[1] for name in sources.getnames())}
        assert not [name for name in packed.namelist() if packed.read(name) == b"personal"]
        assert not [m.name for m in sources if m.isfile() and sources.extractfile(m).read() == b"personal"]
    assert "lessons/start.py" in inside and "woodcalc/_lessons/start.py" not in inside


def test_every_lesson_and_table_is_in_it(built):
    with zipfile.ZipFile(built[0]) as packed:
        inside = set(packed.namelist())
    kept = subprocess.run(["git", "ls-files", "data", "lessons"], cwd=ROOT, capture_output=True, text=True)
    names = [name for name in kept.stdout.splitlines() if Path(name).name not in opening.STARTERS]
    if not names:  # not a checkout
        names = [p.relative_to(ROOT).as_posix() for p in ROOT.glob("lessons/*.ipynb")]
    names = [name.strip('"') for name in names if "Start on" not in name]
    assert len(names) >= 12
    assert [name for name in names if f"woodcalc/_{name}" not in inside] == []


@pytest.fixture(scope="module")
def python(built, tmp_path_factory):
    """An environment with nothing but the wheel; the libraries are borrowed from the one that runs the tests."""
    home, here = tmp_path_factory.mktemp("empty") / "env", Path(sys.prefix)
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", home], check=True)
    python = home / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    for name in ("share/jupyter", "etc/jupyter"):  # JupyterLab itself looks for its parts in the environment
        shutil.copytree(here / name, home / name, ignore=shutil.ignore_patterns("woodcalc.json"))
    install = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        python,
        "install",
        "-q",
        "--no-deps",
        "--no-index",
        built[0],
    ]
    subprocess.run(install, check=True)
    where = "import sysconfig; print(sysconfig.get_path('purelib'))"
    packages = subprocess.run(
        [python, "-c", where], capture_output=True, text=True, check=True
    ).stdout.strip()
    (Path(packages) / "borrowed.pth").write_text(sysconfig.get_path("purelib") + "\n")
    return python


@pytest.fixture
def at_home(tmp_path, monkeypatch):
    for name in [n for n in os.environ if n.startswith(("JUPYTER_", "WOODCALC_", "PYTHON"))]:
        monkeypatch.delenv(name)
    (tmp_path / "home").mkdir()
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    return tmp_path / "home"


def test_it_gives_a_learner_a_folder_of_lessons_and_opens_it(python, at_home):
    lessons = at_home / "wood-lessons"
    seen = use_once(lessons, LESSON, f"exec '{python}' -m woodcalc --no-browser")
    assert seen["seconds"] is not None and seen["page"] and seen["cells"] > 5, seen["window"]
    package, own = seen["said"]
    assert Path(package).is_relative_to(python.parents[1]) and own == str(lessons / "my-wood")
    assert str(lessons) in seen["window"] and "Traceback" not in seen["window"]
    assert {p.name for p in at_home.iterdir()} == {"wood-lessons"}
    there = {p.name for p in lessons.iterdir() if not p.name.startswith(".")} - {"my-wood"}
    assert there == {p.name for p in ROOT.glob("lessons/[0-9]*.ipynb")} | {"pictures"}


def test_the_button_and_the_checks_of_the_first_lesson_find_all_they_need(python, at_home):
    code = (
        "from woodcalc.leader import desk; from woodcalc.lesson import start; from woodcalc import tables\n"
        "print([c.what for c in start.checks() if not c.good], len(desk.lesson_files()), tables.installed())"
    )
    said = subprocess.run([python, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.strip() == "[] 12 True"


def test_what_a_learner_changed_stays(python, at_home):
    code = (
        "import sys; from pathlib import Path; from woodcalc.lesson.opening import prepare\n"
        "folder = prepare(Path(sys.argv[1]), leader=True)\n"
        "(folder / '05-wood-and-the-air.ipynb').write_text('{\"cells\": [1]}')\n"
        "(folder / 'my-wood').mkdir(); (folder / 'my-wood/logs.csv').write_text('my logs')\n"
        "prepare(folder)"
    )
    folder = at_home / "mine"
    said = subprocess.run([python, "-c", code, folder], capture_output=True, text=True, check=True).stdout
    assert (folder / LESSON).read_text() == '{"cells": [1]}' and (
        folder / "my-wood/logs.csv"
    ).read_text() == "my logs"
    assert (folder / "new versions" / LESSON).is_file() and "Left as you changed them: 1 file." in said
    assert (folder / "leader/leaders-desk.ipynb").is_file()


def test_a_folder_that_holds_other_things_is_not_filled(tmp_path):
    (tmp_path / "taxes.txt").write_text("2026")
    with pytest.raises(
        opening.NoFolder, match="holds other files. Name a new folder, such as .*wood-lessons"
    ):
        opening.prepare(tmp_path)
    assert [p.name for p in tmp_path.iterdir()] == ["taxes.txt"]


def test_a_folder_that_cannot_be_made_is_said(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(opening.NoFolder, match="can't be used .*Name a folder of your own"):
        opening.prepare(tmp_path / "file/lessons")


def test_a_checkout_opens_its_own_lessons(tmp_path, monkeypatch):
    book = copy_book(tmp_path / "book")
    monkeypatch.setattr(opening.tables, "PACKAGE", book / "woodcalc")
    assert opening.prepare() == book / "lessons"
    assert opening.running(book / "lessons") is None


def test_a_browser_that_is_shut_in_gets_the_address_itself(tmp_path):
    (tmp_path / "firefox").touch()
    assert opening.shut_in("linux", "6.8.0-generic", tmp_path)
    assert opening.shut_in("linux", "5.15.0-microsoft-standard", tmp_path / "none")
    assert not opening.shut_in("linux", "6.8.0-generic", tmp_path / "none")
    assert not opening.shut_in("darwin", "23.0", tmp_path)
