"""Starting the book: the README's line the first time, ever after and with no network, and what can be in the way."""

import ast
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pandas as pd
import pytest
from lab_client import LabClient

from woodcalc.disk import locked

ROOT = Path(__file__).parents[1]
LINE = re.search(r"## Start\n.*?```sh\n(.*?)\n```", (ROOT / "README.md").read_text(encoding="utf-8"), re.S)[1]
LESSON = "05-wood-and-the-air.ipynb"
PARTS = ("README.md", "LICENSE", "pyproject.toml", "data", "woodcalc", "lessons")
LAUNCHER = "Start on macOS or Linux.command"

spec = importlib.util.spec_from_file_location("start", ROOT / "lessons/start.py")
start = importlib.util.module_from_spec(spec)
spec.loader.exec_module(start)


def copy_book(target):
    """What a learner unpacks: the book without anything that a checkout gathers."""
    target.mkdir(parents=True)
    leave = shutil.ignore_patterns("__pycache__", "my-wood", "new versions", ".*")
    for name in PARTS:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, target / name, ignore=leave)
        else:
            shutil.copy(ROOT / name, target / name)
    return target


def offline(command):
    """Give a command a network namespace of its own, where there is a loopback and nothing else."""
    return ["unshare", *(["-n"] if os.geteuid() == 0 else ["-rn"]), *command]


def can_be_cut_off():
    if sys.platform != "linux" or not shutil.which("unshare"):
        return False
    return subprocess.run(offline(["true"]), capture_output=True).returncode == 0


needs_namespace = pytest.mark.skipif(
    not can_be_cut_off() and not os.environ.get("CI"), reason="no network namespace may be made here"
)
on_posix = pytest.mark.skipif(os.name != "posix", reason="the line of the README for Linux and macOS")


class Learner:
    """Somebody with an empty home and the book unpacked in a folder with an umlaut, an apostrophe and spaces."""

    def __init__(self, folder):
        self.home, self.book = folder / "home", copy_book(folder / "Jörg's wood book")
        self.home.mkdir()
        self.browser = folder / "browser"  # stands for a browser: keeps what it was asked to open
        self.browser.write_text(f'#!/bin/sh\necho "$1" >> "{folder}/opened"\n')
        self.browser.chmod(0o755)
        self.opened = folder / "opened"

    @property
    def environment(self):
        own = {
            k: v
            for k, v in os.environ.items()
            if not k.startswith(("JUPYTER_", "WOODCALC_", "PYTHON", "MPL"))
        }
        # pip asks a Rust compiler for its version where there is one, and some of those make notes of their own
        elsewhere = {"RUSTUP_HOME": str(self.home.parent / "rustup")}
        return own | elsewhere | {"HOME": str(self.home), "BROWSER": str(self.browser)}

    def say(self, command, cut_off=False):
        """Type a command in the book's folder; return what it ended with and what it said."""
        command = ["sh", "-c", command]
        if cut_off:
            command = offline(command)
        done = subprocess.run(
            command, cwd=self.book, env=self.environment, capture_output=True, text=True, timeout=900
        )
        return done.returncode, done.stdout + done.stderr

    def use(self, command, cut_off=False):
        """Type a command that opens the lab, run a lesson there, end it; return what was seen."""
        client = [sys.executable, str(ROOT / "tests/lab_client.py"), "lessons", LESSON, command]
        if cut_off:
            client = offline([*client, "--cut-off"])
        done = subprocess.run(
            client, cwd=self.book, env=self.environment, capture_output=True, text=True, timeout=900
        )
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout)


@pytest.fixture(scope="module")
def learner(tmp_path_factory):
    somebody = Learner(tmp_path_factory.mktemp("start"))
    yield somebody
    shutil.rmtree(somebody.book, ignore_errors=True)  # 700 MB


@pytest.fixture(scope="module")
def first(learner):
    """The README's first line in a fresh copy: this installs everything, once for all tests here."""
    return learner.use(LINE)


def ran_the_lesson(seen, book):
    said = seen["window"]
    assert seen["seconds"] is not None, said
    assert seen["page"] and seen["cells"] > 5
    assert seen["said"] == [str(book / "woodcalc/__init__.py"), str(book / "lessons/my-wood")]
    assert "Traceback" not in said and "Leave this window open" in said


@on_posix
def test_the_first_line_of_the_readme_installs_and_a_lesson_runs(learner, first, report):
    ran_the_lesson(first, learner.book)
    assert "First start" in first["window"]
    page = learner.opened.read_text().split()[0]  # the browser got a file that leads to the first lesson
    assert page.startswith("file://") and "J%C3%B6rg%27s%20wood%20book/lessons/.lab/runtime" in page
    assert not (learner.book / ".venv/fetched").exists()
    size = sum(
        f.stat().st_size for f in (learner.book / ".venv").rglob("*") if f.is_file() and not f.is_symlink()
    )
    again = learner.use(LINE)
    ran_the_lesson(again, learner.book)
    assert "First start" not in again["window"] and "up to date" not in again["window"]
    rows = [("first start", first["seconds"]), ("next start", again["seconds"])]
    table = pd.DataFrame(rows, columns=["README's line", "seconds until the lab answers"])
    report(f"starting the book; its libraries take {size / 1e6:.0f} MB", table)


@on_posix
@needs_namespace
def test_the_same_line_runs_a_lesson_with_no_network(learner, first):
    seen = learner.use(LINE, cut_off=True)
    ran_the_lesson(seen, learner.book)
    assert seen["seconds"] < 60, "it must not wait for a network that is not there"


@on_posix
@needs_namespace
def test_a_newer_book_needs_no_network_if_its_libraries_are_here(learner, first):
    project = learner.book / "pyproject.toml"
    project.write_text(project.read_text() + "\n# newer\n")
    code, said = learner.say(f"{LINE} --help", cut_off=True)
    assert code == 0 and "Bringing them up to date" in said and "Not done" not in said
    code, said = learner.say(f"{LINE} --help", cut_off=True)
    assert code == 0 and "up to date" not in said


@on_posix
@needs_namespace
def test_a_newer_book_that_cannot_fetch_a_library_opens_all_the_same(learner, first):
    project = learner.book / "pyproject.toml"
    before = project.read_text()
    project.write_text(before.replace('"jinja2>=3.1,<4"', '"jinja2>=3.1,<4", "nbval"'))
    seen = learner.use(LINE, cut_off=True)
    ran_the_lesson(seen, learner.book)
    assert "Not done. The network could not be reached. The lessons open" in seen["window"]
    project.write_text(before)


@on_posix
@needs_namespace
def test_a_book_that_was_moved_starts_at_its_new_place(learner, first):
    old, learner.book = learner.book, learner.book.with_name("moved")
    old.rename(learner.book)
    try:
        ran_the_lesson(learner.use(LINE, cut_off=True), learner.book)
    finally:
        learner.book.rename(old)
        learner.book = old


@on_posix
def test_the_file_to_double_click_opens_the_book(learner, first, tmp_path):
    launcher = learner.book / "lessons" / LAUNCHER
    assert os.access(launcher, os.X_OK)
    subprocess.run(["sh", "-n", launcher], check=True)
    done = subprocess.run(
        [launcher, "--help"], cwd=tmp_path, env=learner.environment, capture_output=True, text=True, input=""
    )
    assert done.returncode == 0 and "Open the lessons in JupyterLab" in done.stdout


@pytest.fixture(scope="module")
def lab(learner, first):
    """The book left open."""
    with subprocess.Popen(
        ["sh", "-c", f"exec {LINE} --no-browser"], cwd=learner.book, env=learner.environment,
        stdout=subprocess.DEVNULL,
    ) as window:  # fmt: skip
        try:
            yield LabClient(learner.book / "lessons", lambda: window.poll() is None)
        finally:
            window.terminate()


@on_posix
def test_a_second_start_shows_the_book_that_is_open(learner, lab):
    before = len(learner.opened.read_text().split())
    code, said = learner.say(LINE)
    assert code == 0 and "open already" in said
    opened = learner.opened.read_text().split()[before:]
    assert len(opened) == 1 and opened[0] in said
    assert f"/lab/tree/00-start-here.ipynb?token={lab.token}" in opened[0]


@on_posix
def test_the_list_of_files_shows_lessons_and_not_what_starts_them(lab):
    names = {row["name"] for row in lab.ask("api/contents/")["content"]}
    assert {"00-start-here.ipynb", LESSON} <= names and not {"start.py", LAUNCHER, "first-start.md"} & names


@on_posix
def test_the_home_folder_is_left_alone(learner, lab):
    """After all the starts above, and a press of the Tab key in a cell, which some libraries keep notes about."""
    tab = (
        "import os\n"
        "from IPython.core.completer import provisionalcompleter\n"
        "with provisionalcompleter():\n"
        "    print(len(list(get_ipython().Completer.completions('os.pa', 5))))\n"
        "import matplotlib.pyplot as plt\n"
        "plt.figure().savefig('/dev/null', format='png')\n"
    )
    assert int(lab.run([tab])) > 1
    lab.run(lab.cells("leader/leaders-desk.ipynb"), "leader")
    assert list(learner.home.rglob("*")) == []


@on_posix
@needs_namespace
def test_no_network_at_the_first_start_is_said_in_a_sentence(tmp_path):
    learner = Learner(tmp_path)
    code, said = learner.say(f"PIP_RETRIES=1 {LINE}", cut_off=True)
    assert code == 1 and "Traceback" not in said
    assert "The network could not be reached. The first start needs it, once." in said
    assert len(said.splitlines()) < 8
    assert list(learner.home.rglob("*")) == []


@on_posix
def test_a_zip_that_was_not_unpacked_is_said(tmp_path):
    shutil.copy(ROOT / "lessons/start.py", tmp_path / "start.py")
    done = subprocess.run([sys.executable, tmp_path / "start.py"], capture_output=True, text=True)
    assert done.returncode == 1 and "unpack all of it first" in done.stderr and "Traceback" not in done.stderr


@pytest.fixture
def unpacked(tmp_path, monkeypatch):
    """A book that was never started, as `start.ready` looks at it."""
    book = tmp_path / "book"
    for name in start.PARTS:
        (book / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, book / name)
    (book / "lessons").mkdir()
    monkeypatch.setattr(sys, "path", list(sys.path))
    return book


def test_an_old_python_is_told_where_to_get_a_new_one(unpacked, monkeypatch):
    ast.parse(
        (ROOT / "lessons/start.py").read_text(encoding="utf-8"), feature_version=(3, 6)
    )  # it can be read at all
    monkeypatch.setattr(start.sys, "version_info", (3, 9, 6))
    with pytest.raises(start.CannotStart, match=r"need 3.11 or newer. Get it from python.org"):
        start.ready(unpacked)
    assert not (unpacked / ".venv").exists()


def test_a_full_disk_is_told_before_anything_is_fetched(unpacked, monkeypatch):
    monkeypatch.setattr(
        start.shutil, "disk_usage", lambda _: shutil._ntuple_diskusage(10**10, 10**10, 3 * 10**8)
    )
    with pytest.raises(
        start.CannotStart, match=r"room for 300 MB on this disk, and the first start needs 1000"
    ):
        start.ready(unpacked)
    assert not (unpacked / ".venv").exists()


def test_a_python_without_its_installer_names_the_line_that_adds_it(unpacked, monkeypatch):
    monkeypatch.setattr(start.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(start.CannotStart, match="sudo apt install python3-venv"):
        start.ready(unpacked)


def test_a_folder_that_cannot_be_written_is_said(unpacked):
    (unpacked / "lessons/.lab").write_text("a file in the way")
    with pytest.raises(start.CannotStart, match="can't be written.*Copy|can't be written.*copy"):
        start.ready(unpacked)


def test_a_second_window_waits_for_the_first_to_install(unpacked, monkeypatch, capsys):
    done, other = [], threading.Event()

    def make(home, book):
        (home / "bin").mkdir(parents=True)
        (home / "bin/python").symlink_to(sys.executable)

    def install(python, book, first):
        done.append(python)
        assert other.wait(20)

    def say(*words, **_):
        done.append(words[0])
        other.set()

    monkeypatch.setattr(start, "make", make)
    monkeypatch.setattr(start, "install", install)
    monkeypatch.setattr(start, "print", say, raising=False)
    with ThreadPoolExecutor(2) as windows:
        both = list(windows.map(start.ready, [unpacked, unpacked]))
    python = unpacked / ".venv/bin/python"
    assert both == [python, python]
    assert done == [python, "Another window is installing the book. This one goes on when that is done."]


def test_a_second_window_does_not_wait_for_ever(unpacked, monkeypatch):
    monkeypatch.setattr(start, "LONGEST_S", 0)
    with (
        locked(unpacked / "lessons/.lab/installing"),
        pytest.raises(start.CannotStart, match="another window is installing"),
    ):
        start.ready(unpacked)
    assert not (unpacked / ".venv").exists()


@on_posix
def test_two_starts_at_the_same_moment_open_one_lab(tmp_path):
    """A double click too many: both windows end up at the same page, and the first can be closed and opened again."""
    lessons, line = tmp_path / "wood", [sys.executable, "-m", "woodcalc", tmp_path / "wood", "--no-browser"]
    for _ in "first", "again":
        windows = [
            subprocess.Popen(line, cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
            for _ in range(2)
        ]
        try:
            lab = LabClient(lessons, wait_s=60)
            end = time.monotonic() + 30
            while all(window.poll() is None for window in windows) and time.monotonic() < end:
                time.sleep(0.05)
            second = next(window for window in windows if window.poll() is not None)
            said = second.communicate()[0]
            assert second.returncode == 0 and f"00-start-here.ipynb?token={lab.token}" in said
            assert len(list((lessons / ".lab/runtime").glob("jpserver-*.json"))) == 1
        finally:
            for window in windows:
                window.terminate()
                window.communicate(timeout=30)


def test_an_environment_that_does_not_run_any_more_is_made_anew(unpacked, monkeypatch):
    """The Python that it was made with is gone, as after an upgrade of the system."""
    dead = unpacked / ".venv/bin/python"
    dead.parent.mkdir(parents=True)
    dead.symlink_to("/nowhere/python3.11")
    (unpacked / ".venv/woodcalc-installed.json").write_text(
        json.dumps({"parts": start.parts(unpacked), "python": "3.11"})
    )
    done = []
    monkeypatch.setattr(start, "make", lambda home, book: done.append("made"))
    monkeypatch.setattr(start, "install", lambda python, book, first: done.append(f"first={first}"))
    start.ready(unpacked)
    assert done == ["made", "first=True"]


def test_an_install_that_failed_with_one_python_begins_anew_with_another(unpacked, monkeypatch):
    """The libraries are not ready for the newest Python, and the learner takes an older one, as the sentence says."""
    there = unpacked / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    there.parent.mkdir(parents=True)
    there.write_text('#!/bin/sh\ncase "$2" in *version_info*) echo 3.99;; *) exit 1;; esac\n')
    there.chmod(0o755)
    done = []
    monkeypatch.setattr(start, "make", lambda home, book: done.append("made"))
    monkeypatch.setattr(start, "install", lambda python, book, first: done.append(f"first={first}"))
    start.ready(unpacked)
    assert done == ["made", "first=True"]


def test_a_folder_that_a_cloud_service_copies_is_told_at_the_first_start(tmp_path, monkeypatch, capsys):
    book = tmp_path / "OneDrive - José" / "wood"
    book.mkdir(parents=True)
    made = subprocess.CompletedProcess([], 0, "", "")
    monkeypatch.setattr(start.subprocess, "run", lambda *_, **__: made)
    start.make(book / ".venv", book)
    assert "This folder lies in OneDrive - José. If a cloud service copies it" in capsys.readouterr().out
    start.make(tmp_path / "wood/.venv", tmp_path)
    assert "cloud" not in capsys.readouterr().out


@pytest.mark.parametrize(
    ("pip_says", "meaning"),
    [
        ("ERROR: Could not install packages: [Errno 28] No space left on device", "The disk is full."),
        ("WARNING: Retrying after connection broken by 'NewConnectionError'", "The network could not be reached."),
        ("pip._vendor.urllib3.exceptions.ReadTimeoutError: Read timed out.", "The network could not be reached."),
        ("SSLCertVerificationError: [SSL: CERTIFICATE_VERIFY_FAILED]", "A company's filter or a virus scanner"),
        ("ERROR: Could not find a version that satisfies the requirement scipy\nERROR: No matching distribution found",
         "A library is not ready for this Python"),
        ("OSError: [WinError 5] Access is denied: 'C:\\\\wood\\\\.venv'", "A file in this folder can't be written."),
        ("PermissionError: [WinError 32] The process cannot access the file: it is being used by another process",
         "Another program holds a file of this folder."),
        ("OSError: [Errno 2] No such file. HINT: This error might have occurred since this system does not have Windows"
         " Long Path support enabled.", "The folder's name is too long."),
    ],
)  # fmt: skip
def test_what_pip_says_becomes_a_sentence(pip_says, meaning):
    assert str(start.explain(pip_says)).startswith(meaning)


def test_the_windows_file_is_what_its_reader_expects():
    """Not run: there is no Windows here. It has the line ends that its labels need, and calls what is there."""
    text = (ROOT / "lessons/Start on Windows.bat").read_bytes()
    assert text.isascii() and text.count(b"\n") == text.count(b"\r\n")
    lines = text.decode().split("\r\n")
    assert (
        sum("start.py %*" in line for line in lines) == 2 and 'pushd "%~dp0"' in lines
    )  # a network folder, too
    assert all(f":{word}" in lines for word in re.findall(r"goto (\w+)", text.decode()))
