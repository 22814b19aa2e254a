"""A reading room: chosen lessons as pages for a room full of phones, from the leader's own computer.

Nobody but the leader installs anything. A visitor sees pages with dials and forms, no code and no files; each has
records of their own, which go when the visitor has gone. The pages are served by voila (`reading_room_server`).

    python -m woodcalc room                           # all lessons, on this computer alone
    python -m woodcalc room --lessons 5 7 --network   # two lessons, to everybody on the network of the hall
"""

from __future__ import annotations

import argparse
import re
import socket
import sys
import tempfile
import webbrowser
from collections.abc import Sequence
from pathlib import Path

import nbformat
import psutil

from woodcalc import tables
from woodcalc.checks import InputError
from woodcalc.leader import handouts

A_VISITOR_MB = 250  # what lesson 8 takes with its page; measured: lesson 5 93 MB, lesson 7 108, lesson 11 362
KEPT_FREE_MB = 1500  # for the leader's own browser and the system
MOST_VISITORS = 60
_NO_ROOM = (
    "The reading room needs two more programs. With the network on, once:\n\n"
    "    python -m pip install voila segno\n\n(the python of this book, as README's line has it), then start it again."
)


def seats(asked: int | None = None, free_mb: float | None = None) -> int:
    """Return how many visitors this computer can hold at once.

    Parameters
    ----------
    asked : int, optional
        No more than so many.
    free_mb : float, optional
        Free memory, MB; this computer's if left out.

    Returns
    -------
    int

    Raises
    ------
    InputError
        Not even one.

    Examples
    --------
    >>> seats(free_mb=9000), seats(12, 9000)
    (30, 12)
    """
    free = psutil.virtual_memory().available / 2**20 if free_mb is None else free_mb
    held = min(int((free - KEPT_FREE_MB) // A_VISITOR_MB), MOST_VISITORS)
    if held < 1:
        raise InputError(
            f"This computer has {free:,.0f} MB of memory free. A reading room of one takes "
            f"{KEPT_FREE_MB + A_VISITOR_MB:,} MB. Close other programs, then start it again."
        )
    if asked is not None and asked < 1:
        raise InputError(f"{asked} visitors: expected at least one.")
    return min(held, asked or held)


def offered(numbers: Sequence[int] = ()) -> list[Path]:
    """Return the lessons of a reading room.

    Parameters
    ----------
    numbers : sequence of int
        Numbers of lessons, 0 to 11; all if empty.

    Raises
    ------
    InputError
        A number that no lesson has.

    Examples
    --------
    >>> [path.name for path in offered([7])]
    ['07-dry-outdoors.ipynb']
    """
    there = {int(number): path for number, path in handouts.lesson_files().items()}
    if strange := [number for number in numbers if number not in there]:
        raise InputError(f"There is no lesson {strange[0]}: they go from {min(there)} to {max(there)}.")
    return [there[number] for number in sorted(set(numbers) or there)]


def prepare(lessons: Sequence[Path], folder: Path) -> dict[str, str]:
    """Write the lessons as a reading room shows them into a folder; return the heading of each by its name.

    They hold no outputs, say nothing of a button to run them, link to no lesson that is not there, and end with the
    way back to all lessons.

    Parameters
    ----------
    lessons : sequence of path
    folder : path
        Empty, and there.
    """
    headings = {lesson.name: "" for lesson in lessons}
    for lesson in lessons:
        book = nbformat.read(lesson, as_version=4)
        for cell in book.cells:
            if cell.cell_type == "code":
                cell.outputs, cell.execution_count = [], None
            else:
                cell.source = _for_readers(cell.source, headings)
        book.cells.append(
            nbformat.v4.new_markdown_cell(
                "[All lessons of this room](/) | [Take my records home](/take-home)\n\n"
                "*What you type here is yours alone, and is wiped when you have gone.*"
            )
        )
        book.metadata["title"] = headings[lesson.name] = handouts.title(book)
        nbformat.write(book, folder / lesson.name)
    pictures = tables.lessons() / "pictures"
    if pictures.is_dir():
        (folder / "pictures").mkdir()
        for picture in pictures.iterdir():
            (folder / "pictures" / picture.name).write_bytes(picture.read_bytes())
    return headings


def _for_readers(markdown, names):
    """A cell of text without the lab's button and without links that lead nowhere here."""
    text = handouts.without_the_button(markdown)

    def link(found):
        words, target = found[1], found[2]
        stays = target.startswith(("#", "http")) or target.split("#")[0] in names
        return found[0] if stays or target.startswith("pictures/") else words

    return re.sub(r"(?<!!)\[([^\]]+)\]\(([^)\s]+)\)", link, text)


def own_address() -> str:
    """Return this computer's address on the network that it is on; "127.0.0.1" if it is on none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # sends nothing: only asks which way it would go
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def _options(arguments):
    parser = argparse.ArgumentParser(
        prog="python -m woodcalc room",
        description="The lessons as pages for visitors with phones, from this computer. Stop it with Ctrl-C.",
    )
    parser.add_argument(
        "--lessons", type=int, nargs="+", default=[], help="numbers of lessons; all if left out"
    )
    parser.add_argument(
        "--network",
        action="store_true",
        help="serve everybody on the network that this computer is on; without it, this computer alone",
    )
    parser.add_argument(
        "--visitors", type=int, help="no more than so many at once; as memory allows if left out"
    )
    parser.add_argument("--port", type=int, default=8877)
    parser.add_argument("--no-browser", dest="browser", action="store_false")
    return parser.parse_args(arguments)


def main(arguments: Sequence[str]) -> int:
    """Open the reading room until it is stopped; return what the program ends with.

    Parameters
    ----------
    arguments : list of str
        What follows `python -m woodcalc room`.
    """
    asked = _options(arguments)
    try:
        from woodcalc.leader import reading_room_server as server
    except ImportError:
        print(f"\n{_NO_ROOM}\n", file=sys.stderr)
        return 1
    try:
        lessons, most = offered(asked.lessons), seats(asked.visitors)
    except InputError as reason:
        print(f"\n{reason}\n", file=sys.stderr)
        return 1
    with tempfile.TemporaryDirectory(prefix="woodcalc-room-", ignore_cleanup_errors=True) as folder:
        pages = Path(folder) / "lessons"
        pages.mkdir()
        headings = prepare(lessons, pages)
        host = own_address() if asked.network else "127.0.0.1"
        room = server.open_room(
            pages, Path(folder) / "visitors", headings, most, "0.0.0.0" if asked.network else host, asked.port
        )
        address = f"http://{host}:{room.port}/"
        print(_opened(address, most, asked.network), flush=True)
        if asked.browser:
            webbrowser.open(f"http://127.0.0.1:{room.port}/slide")
        room.address = address
        room.stay_open()
    print("The reading room is closed. What visitors typed is wiped.")
    return 0


def _opened(address, most, network):
    whom = (
        "Everybody on the network that this computer is on can open it: guests of the hall's Wi-Fi, too. They see the "
        "lessons and their own records, nothing else of this computer. Nothing is encrypted on the way. If this "
        "computer asks whether Python may take connections, say yes."
        if network
        else "It can be opened on this computer alone. For the phones of a room, add --network."
    )
    return (
        f"\nThe reading room is open: {address}\n"
        f"As a slide with a code for phones: {address}slide\n"
        f"Up to {most} visitors at once.\n{whom}\nTo close it: Ctrl-C in this window.\n"
    )
