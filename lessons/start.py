"""Start the lessons: `python3 lessons/start.py`, on Windows `py lessons/start.py`.

It needs nothing but Python. The first time it installs the libraries into the folder `.venv` beside `lessons`; after
that it goes straight to the lessons, and looks for newer libraries only when the book itself is a newer one. What
follows the command goes to `python -m woodcalc`: a folder of your own for the lessons, `--no-browser`, `--port`.
"""

import contextlib
import hashlib
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

BOOK = Path(__file__).absolute().parents[1]
VERSION = "{}.{}".format(*sys.version_info)
OLDER = "py -3.13 lessons/start.py" if os.name == "nt" else "python3.13 lessons/start.py"
# Folders that a service copies to its own computers, file by file, and holds while it does
CLOUDS = ("onedrive", "dropbox", "google drive", "icloud", "mobile documents")
MINUTES = "one to five minutes"
LONGEST_S = 1800  # on a slow line, for a window that waits for another one to install
ROOM_MB = 1000  # free disk for a first install; two thirds of it stay in use
# What an install leaves in the environment beside the libraries: when one of them changes, it is done again.
PARTS = (
    "pyproject.toml",
    "woodcalc/lesson/lab-settings.json",
    "woodcalc/lesson/server-extension.json",
    "woodcalc/lesson/lab-extension/package.json",
    "woodcalc/lesson/lab-extension/page.js",
)
# What pip says; what that means at a kitchen table; what to do. The first that fits counts.
REASONS = (
    (
        r"No space left on device|WinError 112",
        "The disk is full.",
        f"Free about {ROOM_MB} MB and start again.",
    ),
    (
        r"CERTIFICATE_VERIFY_FAILED|SSLError",
        "A company's filter or a virus scanner opens what comes over the network, and Python does not trust it.",
        "Use another network for the first start, or ask whoever looks after this one.",
    ),
    (
        r"NewConnectionError|NameResolutionError|ConnectTimeout|ReadTimeout|Read timed out|ProtocolError|ProxyError|"
        r"Temporary failure|ConnectionReset|Connection broken|IncompleteRead",
        "The network could not be reached.",
        "The first start needs it, once. Connect and start again; what has arrived is kept.",
    ),
    (
        r"Permission denied|WinError 5\b|Access is denied",
        "A file in this folder can't be written.",
        "Close other windows of the book. Or copy the whole folder to a place of your own, such as your home folder, "
        "and start it there.",
    ),
    (
        r"WinError 32\b|being used by another process",
        "Another program holds a file of this folder. A cloud service or a virus scanner does that.",
        "Wait a minute and start again. If it stays so, move the whole folder to a place of its own, such as C:\\wood.",
    ),
    (
        r"WinError 206|Long Path|File name too long|path is too long",
        "The folder's name is too long.",
        "Move the whole folder to a short place, such as C:\\wood, and start it there.",
    ),
    (
        r"No matching distribution|Failed building|metadata-generation-failed|subprocess-exited-with-error",
        f"A library is not ready for this Python ({VERSION}) on this computer.",
        f"Install Python 3.13 from python.org too, and start with that one, once: {OLDER}",
    ),
)


class CannotStart(Exception):
    """The lessons can't start: `what` is the matter in a sentence, and what to `do`."""

    def __init__(self, what, do):
        super().__init__(f"{what} {do}")
        self.what = what


def main(options):
    """Make the libraries ready and open the lessons; return what the program ends with."""
    try:
        python = ready(BOOK)
    except CannotStart as reason:
        print(f"\n{reason}\n", file=sys.stderr)
        return 1
    except OSError as error:
        print(f"\n{explain(str(error)) or error}\n", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("\nStopped. Start it again and it goes on where it was.", file=sys.stderr)
        return 1
    command = [str(python), "-m", "woodcalc", *options]
    # The book that was started is the one that runs, wherever it was when it was installed.
    environment = {**os.environ, "PYTHONPATH": str(BOOK)}
    environment.pop("PYTHONHOME", None)
    if os.name == "posix":
        os.execve(python, command, environment)
    try:  # Windows has no way to hand a window over
        return subprocess.run(command, env=environment).returncode
    except KeyboardInterrupt:
        return 0


def ready(book):
    """Return the Python of `book`'s own environment, with all libraries in it.

    Raises
    ------
    CannotStart
        It is not there and cannot be made.
    """
    if not (book / "pyproject.toml").is_file():
        raise CannotStart(
            f"Only a part of the book is here ({book}).",
            "If it came as a ZIP, unpack all of it first, then start it from the unpacked folder.",
        )
    home = book / ".venv"
    python = home / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    stamp = home / "woodcalc-installed.json"
    wanted, had = wants(book, python), has(stamp)
    if wanted["python"] and had == wanted:
        return python
    if sys.version_info < (3, 11):  # noqa: UP036 - said to whoever has an older one
        if had and had["python"] == wanted["python"]:  # made with a newer one
            print(
                f"The book is newer than its libraries. Start it with a newer Python than {VERSION} next time."
            )
            return python
        raise CannotStart(
            f"This is Python {VERSION}, and the lessons need 3.11 or newer.",
            f"Get it from python.org, then start again. If you have it already, type its name: {OLDER}",
        )
    sys.path.insert(0, str(book))
    with contextlib.ExitStack() as stack:
        alone(book, stack)
        wanted, had = wants(book, python), has(stamp)
        if wanted["python"] and had == wanted:  # the other window did it
            return python
        # what an install that failed has left was made with the Python of then: another one begins anew
        left = not had and wanted["python"] not in (None, VERSION) and not works(python)
        if left or wanted["python"] is None or had.get("python", wanted["python"]) != wanted["python"]:
            make(home, book)
            wanted["python"], had = version_of(python), {}
        elif had:
            print("The book is newer than its libraries. Bringing them up to date ...", flush=True)
        try:
            install(python, book, first=not had)
        except CannotStart as reason:
            if not works(python):
                raise
            print(
                f"Not done. {reason.what} The lessons open with the libraries that are here, and the next start "
                "tries again.",
                flush=True,
            )
        else:
            stamp.write_text(json.dumps(wanted), encoding="utf-8")
    return python


def alone(book, stack):
    """Have `stack` hold the right to install; where another window is at it, wait until it is done."""
    from woodcalc.disk import SaveError, locked

    lock = book / "lessons/.lab/installing"
    try:
        try:
            stack.enter_context(locked(lock, wait_s=1))
        except SaveError as error:
            if error.__cause__:  # not the other window: the folder
                raise
            print("Another window is installing the book. This one goes on when that is done.", flush=True)
            stack.enter_context(locked(lock, wait_s=LONGEST_S))
    except SaveError as error:
        raise CannotStart(
            f"This folder can't be written, or another window is installing the book in it ({error}).",
            "Wait for that window. Or copy the whole folder to a place of your own and start it there.",
        ) from None


def wants(book, python):
    """Return what the environment has to be for `book`, with the Python that is in it."""
    return {"parts": parts(book), "python": version_of(python)}


def has(stamp):
    """Return what was installed last; nothing if nothing was."""
    try:
        return json.loads(stamp.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}


def parts(book):
    """Return a short text that changes when an install has something new to do."""
    return hashlib.sha256(b"".join((book / name).read_bytes() for name in PARTS)).hexdigest()[:16]


def version_of(python):
    """Return the version of a Python program, "3.13"; None if it is not there or does not run any more."""
    code = "import sys; print('%d.%d' % sys.version_info[:2])"
    try:
        return subprocess.check_output([str(python), "-c", code], stderr=subprocess.DEVNULL).decode().strip()
    except (OSError, subprocess.CalledProcessError):
        return None


def make(home, book):
    """Make an empty environment, in place of one that does not run any more."""
    room = shutil.disk_usage(book).free / 1e6
    if room < ROOM_MB:
        raise CannotStart(
            f"There is room for {room:.0f} MB on this disk, and the first start needs {ROOM_MB}.",
            "Make room, or copy the whole folder to another disk, and start again.",
        )
    if os.pathsep in str(book):
        raise CannotStart(
            f"Python can't work in a folder with {os.pathsep} in its name ({book}).",
            "Rename the folder, then start again.",
        )
    if importlib.util.find_spec("ensurepip") is None or importlib.util.find_spec("venv") is None:
        raise CannotStart(
            "A part of Python is missing here.",
            "On Debian, Ubuntu and Mint type this line, then start again:\n\n    sudo apt install python3-venv",
        )
    cloud = next((part for part in book.parts if part.lower().startswith(CLOUDS)), None)
    if cloud:
        print(
            f"This folder lies in {cloud}. If a cloud service copies it, the first start takes long and may fail: "
            "press Ctrl and C, move the whole folder to a place of its own, and start it there.",
            flush=True,
        )
    print(
        f"First start: fetching the libraries, once. It takes {MINUTES} on an ordinary connection. Leave this window "
        "open.",
        flush=True,
    )
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", home], capture_output=True, text=True, errors="replace"
    )
    if made.returncode:
        said = (made.stderr + made.stdout).strip()
        raise explain(said) or CannotStart(
            f"Python could not make its folder {home} ({said.splitlines()[-1] if said else made.returncode}).",
            "Copy the whole folder to your own disk and start it there.",
        )


def install(python, book, first):
    """Install what pyproject.toml asks for; pip's own words go to a file."""
    log = python.parents[1] / "install-log.txt"
    import tomllib  # an old Python has to get past the top of this file to say that it is old

    with open(book / "pyproject.toml", "rb") as file:
        asked = tomllib.load(file)
    environment = {**os.environ, "PIP_USER": "0", "PIP_NO_INPUT": "1"}
    environment.pop("PYTHONPATH", None)
    environment.setdefault("PIP_DISABLE_PIP_VERSION_CHECK", "1")
    fetched = python.parents[1] / "fetched"  # kept until all is there: a line that breaks down costs little
    environment.setdefault("PIP_CACHE_DIR", str(fetched))
    if not first:
        environment.setdefault("PIP_RETRIES", "1")  # no network is no reason to wait: the lessons are here
    pip = [python, "-m", "pip", "install", "--prefer-binary", "--progress-bar", "off"]
    # The tools that put the book itself in place stay, so that a newer one needs no network if its libraries are here.
    steps = [
        *([[*pip, "--upgrade", "pip"]] if first else []),  # an old one searches for minutes
        [*pip, *asked["build-system"]["requires"], *asked["project"]["dependencies"]],
        [*pip, "--no-build-isolation", "--no-deps", "-e", "."],
    ]
    with open(log, "w", encoding="utf-8") as file:
        for command in steps:
            with subprocess.Popen(
                command,
                cwd=book,
                env=environment,
                stdout=subprocess.PIPE,
                stderr=subprocess.STDOUT,
                text=True,
                errors="replace",
            ) as run:
                for line in run.stdout:
                    file.write(line)
                    tell(line)
            if run.returncode:
                file.flush()
                said = log.read_text(encoding="utf-8", errors="replace")
                raise explain(said) or CannotStart(
                    "The libraries could not be installed.",
                    f"Show somebody who knows Python this file: {log}",
                )
    shutil.rmtree(fetched, ignore_errors=True)


def tell(line):
    """Say in a short line each time that pip begins something long."""
    found = re.match(r"\s*Downloading (?:http\S*/)?([A-Za-z0-9_.]+?)-\d\S* \(([\d.]+ MB)\)", line)
    if found:
        print(f"  {found[1]}, {found[2]}", flush=True)
    elif line.startswith("Installing collected packages") and line.count(",") > 10:
        print(f"  All here. Putting {line.count(',') + 1} libraries in place ...", flush=True)


def explain(said):
    """Return as `CannotStart` what went wrong, by what pip said; None for the unknown.

    Examples
    --------
    >>> print(explain("ERROR: Could not install packages: [Errno 28] No space left on device"))
    The disk is full. Free about 1000 MB and start again.
    """
    return next((CannotStart(what, do) for pattern, what, do in REASONS if re.search(pattern, said)), None)


def works(python):
    """Return True if the libraries that are there can run the lessons."""
    code = "import anywidget, ipywidgets, jupyterlab, matplotlib, nbclient, pandas, psychrolib, pvlib, scipy"
    environment = {
        **os.environ,
        "MPLCONFIGDIR": str(python.parents[1]),
    }  # or it makes a folder in the home folder
    return subprocess.run([python, "-c", code], env=environment, capture_output=True).returncode == 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
