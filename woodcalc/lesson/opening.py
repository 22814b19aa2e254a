"""Open the lessons in JupyterLab: what `python -m woodcalc` does.

In a checkout it opens the lessons there. From an installed package, or with a folder named, it first puts a copy of
the lessons into a folder of the learner's own, and a newer version never overwrites what was changed there.
JupyterLab, its kernels and matplotlib keep what they write in `.lab` inside that folder, not in the home folder.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import platform
import subprocess
import sys
import urllib.error
import urllib.request
import webbrowser
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import BinaryIO

from woodcalc import disk, tables
from woodcalc.lesson.copies import STARTERS, hand_out, mend_lessons
from woodcalc.records.choices import VARIABLE

FIRST, LEADERS_DESK = "00-start-here.ipynb", "leaders-desk.ipynb"
USUAL = Path("~/wood-lessons")  # where an installed package puts a learner's lessons
# Jupyter's own list, and what is for starting the book rather than for reading in it.
HIDDEN = ("__pycache__", "*.pyc", "*.pyo", ".DS_Store", "*~", *STARTERS)
STARTS_WITHIN_S = 60  # a slow computer, the first time
KERNEL = """c.IPKernelApp.log_level = 40  # the window shows what went wrong, and nothing else
c.IPCompleter.use_jedi = False  # it would keep its notes in the home folder
"""


class NoFolder(Exception):
    """The lessons cannot be put or opened there; the message says why and what to do."""


def main(arguments: Sequence[str]) -> int:
    """Put the lessons in place, open them; return what the program ends with.

    Parameters
    ----------
    arguments : list of str
        What follows `python -m woodcalc`.
    """
    asked = _options(arguments)
    with contextlib.suppress(KeyboardInterrupt), contextlib.ExitStack() as stack:
        try:
            held = alone(place(asked.folder), stack)
            folder = prepare(asked.folder, asked.leader)
        except NoFolder as reason:
            print(f"\n{reason}\n", file=sys.stderr)
            return 1
        if address := running(folder):
            print(f"\nThe lessons are open already, in another window. Their page is\n\n    {address}\n")
            if asked.browser:
                webbrowser.open(address)
            return 0
        return open_lab(folder, asked.browser, asked.port, held)
    return 0


def alone(folder: Path, stack: contextlib.ExitStack) -> BinaryIO | None:
    """Have `stack` hold the right to open `folder`; return the file that holds it, None if it is open elsewhere.

    Of two windows that start at the same moment the second waits until the lab of the first answers.
    """
    for second in range(STARTS_WITHIN_S):
        if running(folder):
            return None
        try:
            return stack.enter_context(disk.locked(folder / ".lab/open", wait_s=1))
        except disk.SaveError as error:
            if error.__cause__:  # not another window: the folder, and that is told when it is filled
                return None
            if second == 0:
                print("Another window is opening the lessons. This one waits for it.", flush=True)
    return None  # it does not answer, whatever it is


def open_lab(folder: Path, browser: bool, port: int | None, held: BinaryIO | None) -> int:
    """Open JupyterLab in `folder`; it keeps the file `held` open as long as it runs."""
    print(
        f"\nOpening the lessons in your browser. They lie in {folder}\n"
        "Leave this window open while you work. To stop, press Ctrl and C in it, or close it.",
        flush=True,
    )
    command = [sys.executable, "-m", "jupyterlab", *lab_options(browser, port)]
    os.chdir(folder)
    if os.name == "posix":
        if held:
            os.set_inheritable(held.fileno(), True)
        os.execve(sys.executable, command, surroundings(folder))
    return subprocess.run(command, env=surroundings(folder)).returncode  # Windows can't hand a window over


def _options(arguments):
    parser = argparse.ArgumentParser(prog="python -m woodcalc", description="Open the lessons in JupyterLab.")
    parser.add_argument(
        "folder", nargs="?", type=Path,
        help=f"a folder of your own for the lessons; made if it is not there (from an installed package: {USUAL})",
    )  # fmt: skip
    parser.add_argument(
        "--leader", action="store_true", help="the leader's desk as well, for whoever teaches"
    )
    parser.add_argument("--no-browser", dest="browser", action="store_false", help="only show the address")
    parser.add_argument(
        "--port", type=int, help="the door to use on this computer; 8888 or the next that is free"
    )
    return parser.parse_args(arguments)


def place(folder: str | Path | None = None) -> Path:
    """Return where the lessons of a learner lie or will lie.

    Parameters
    ----------
    folder : path, optional
        As for `prepare`.

    Raises
    ------
    NoFolder
        It holds other things.
    """
    book = tables.lessons()
    if folder is None and not tables.installed():
        folder = book
    folder = Path(folder or USUAL).expanduser().absolute()
    try:
        taken = folder != book and folder.is_dir() and any(folder.iterdir())
        if taken and not any((folder / own).exists() for own in (FIRST, ".lab")):
            raise NoFolder(f"{folder} holds other files. Name a new folder, such as {folder / USUAL.name}")
    except OSError as error:
        raise _no_use(folder, error) from error
    return folder


def _no_use(folder, error):
    return NoFolder(
        f"{folder} can't be used ({error.strerror or error}). Name a folder of your own at the end of the line, "
        f"such as {USUAL}"
    )


def prepare(folder: str | Path | None = None, leader: bool = False) -> Path:
    """Return the folder whose lessons are to be opened, with the newest lessons in it.

    Parameters
    ----------
    folder : path, optional
        A folder of the learner's own. Left out: the lessons of the checkout, or `USUAL` for an installed package.
    leader : bool
        Put the leader's notebooks there, too.

    Raises
    ------
    NoFolder
        The folder holds other things, or cannot be written.
    """
    book, folder = tables.lessons(), place(folder)
    try:
        if folder.is_dir():
            _say_mended(mend_lessons(folder, book), folder)
        if folder != book:
            _say(hand_out(book, folder), folder)
        if leader:
            desk = folder / "leader"
            if folder != book:
                _say(hand_out(book / "leader", desk), desk)
            print(
                f"The leader's desk is {desk / LEADERS_DESK}. It is in the folder leader, in the list of files."
            )
        settings = folder / ".lab/ipython/profile_default/ipython_kernel_config.py"
        settings.parent.mkdir(parents=True, exist_ok=True)
        settings.write_text(KERNEL, encoding="utf-8")
    except OSError as error:
        raise _no_use(folder, error) from error
    return folder


def _say(done, folder):
    count = Counter(done.values())
    if count["new"]:
        print(f"New in {folder}: {_files(count['new'])} of the book.")
    if count["updated"]:
        print(f"Brought up to date: {_files(count['updated'])}.")
    if count["kept"]:
        print(
            f"Left as you changed them: {_files(count['kept'])}. The book's own version is in 'new versions'."
        )
    for name, what in done.items():
        if what.startswith("not copied"):
            print(f"{name}: {what}")


def _say_mended(done, folder):
    for name, what in done.items():
        if what == "put back":
            print(
                f"{name} was no longer there. The copy of the last time that it was opened is in its place again."
            )
            continue
        told = "It is whole again" if what == "mended" else f"It could not be mended: {what}"
        print(f"{name} was damaged, as by a power cut. {told}.")
    if "mended" in done.values():
        print(
            "What you wrote in its boxes comes back when you run it. What was left of the file lies in "
            f"{folder / '.lab/damaged'}."
        )


def _files(count):
    return "1 file" if count == 1 else f"{count} files"


def surroundings(folder: Path) -> dict[str, str]:
    """Return the environment in which all that JupyterLab writes stays in `folder`.

    Examples
    --------
    >>> from pathlib import Path
    >>> surroundings(Path("lessons"))["JUPYTER_DATA_DIR"].replace("\\\\", "/")
    'lessons/.lab/data'
    """
    lab = folder / ".lab"
    own = {
        "JUPYTER_CONFIG_DIR": lab / "config",
        "JUPYTER_DATA_DIR": lab / "data",
        "JUPYTER_RUNTIME_DIR": lab / "runtime",
        "IPYTHONDIR": lab / "ipython",
        "MPLCONFIGDIR": lab / "matplotlib",
        VARIABLE: os.environ.get(VARIABLE) or folder / "my-wood",
    }
    return os.environ | {name: str(place) for name, place in own.items()}


def lab_options(browser: bool = True, port: int | None = None) -> list[str]:
    """Return what follows `jupyterlab` on the command line.

    Examples
    --------
    >>> "--no-browser" in lab_options(browser=False), "--port=9000" in lab_options(port=9000)
    (True, True)
    """
    options = [
        f"--LabApp.default_url=/lab/tree/{FIRST}",
        "--ServerApp.answer_yes=True",  # one Ctrl-C is enough
        "--Application.log_level=ERROR",  # the window shows the address and what went wrong
        "--LanguageServerManager.autodetect=False",  # it would look through the whole computer for other programs
        *(f"--ContentsManager.hide_globs={name}" for name in HIDDEN),
    ]
    if not browser:
        options.append("--no-browser")
    if port:
        options.append(f"--port={port}")
    if shut_in():
        options.append("--ServerApp.use_redirect_file=False")
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        options.append("--allow-root")  # it listens on this computer only, and asks for its key
    return options


def shut_in(system: str = sys.platform, release: str | None = None, snaps: Path = Path("/snap/bin")) -> bool:
    """Return True if the browser may be one that cannot read JupyterLab's file with the address in a hidden folder.

    So it is with a browser installed as a snap, and with one on the Windows side of a Linux there. Elsewhere the file
    is the better way: nobody else on the computer sees the key that is in it.
    """
    if system != "linux":
        return False
    release = platform.release() if release is None else release
    return "microsoft" in release.lower() or any((snaps / name).exists() for name in ("firefox", "chromium"))


def running(folder: Path) -> str | None:
    """Return the address of a JupyterLab that has `folder` open already, or None."""
    for path in (folder / ".lab/runtime").glob("jpserver-*.json"):
        try:
            told = json.loads(path.read_text(encoding="utf-8"))
            key = f"?token={told['token']}"
            with urllib.request.urlopen(f"{told['url']}api/status{key}", timeout=2):
                return f"{told['url']}lab/tree/{FIRST}{key}"
        except (OSError, ValueError, KeyError):  # one that has ended and left its note behind
            continue
    return None
