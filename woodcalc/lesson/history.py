"""What the form and the doctor page say about earlier versions of a table: when, and what would change."""

from __future__ import annotations

import base64
import functools
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import ipywidgets as w

from woodcalc import disk
from woodcalc.disk import in_words
from woodcalc.lesson.box import NOT_LOST, Ask, labelled, note
from woodcalc.lesson.held import changes, rows
from woodcalc.records import backup as backups
from woodcalc.records import keep
from woodcalc.records.keep import content

_NONE = [("none yet", 0)]
_TOLD = 8  # sentences about a backup
_TOLD_BACK = 5  # ... that was put back


def dated(path: str | Path) -> list[tuple[str, keep.Version]]:
    """Return the kept versions of a file as (when and how large, version), newest first.

    Examples
    --------
    >>> dated("no-such-folder/logs.csv")
    []
    """
    table = Path(path).stem.lower()
    return [
        (f"{v.when.day} {v.when:%b %Y, %H:%M:%S}, {_rows_of(v.path, v.path.stat().st_mtime_ns, table)}", v)
        for v in keep.versions(path)
        if is_there(v.path)
    ]


@functools.lru_cache(maxsize=1000)
def _rows_of(path, when, table):
    """How many rows a version holds: it stays as it is, and counting is slow in a long table."""
    return rows(content(path), table)


def is_there(path: Path) -> bool:
    """True if a file is there, or may be: in a folder that cannot be looked into it may.

    Examples
    --------
    >>> from pathlib import Path
    >>> is_there(Path("no-such-folder/logs.csv"))
    False
    """
    try:
        return path.exists()
    except OSError:
        return True


@dataclass(frozen=True)
class Undo:
    """What undoing would do, as a page tells it: to this file, as it was then, and to no other.

    Attributes
    ----------
    label : str
        When the version before was saved, and how large it is.
    version : keep.Version
    says : tuple of str
        What changes, in lines.
    shown : str
        The fingerprint of what the file held.
    """

    label: str
    version: keep.Version
    says: tuple[str, ...]
    shown: str


def undoes(path: Path) -> Undo | None:
    """Return what undoing the last save would do; None if there is no version before it.

    Examples
    --------
    >>> from pathlib import Path
    >>> undoes(Path("no-such-folder/logs.csv")) is None
    True
    """
    now = content(path)
    if not (earlier := dated(path)):
        return None
    label, version = earlier[0]
    return Undo(
        label, version, tuple(changes(now, content(version.path), path.stem.lower())), keep.fingerprint(now)
    )


def undo(path: Path, told: Undo | None = None) -> str:
    """Put the version before the last save back, and return what that changed, in a sentence.

    The version that goes is kept like any other, so that undoing twice brings it back.

    Parameters
    ----------
    path : Path
    told : Undo, optional
        What was told of it; what `undoes` says now if left out.

    Raises
    ------
    ChangedError
        The file is not as it was when that was told.
    SaveError
        Nothing was kept, or the file cannot be written.
    """
    told = told or undoes(path)
    if told is None:
        raise disk.SaveError(f"There is no earlier version of {path.name} to go back to.")
    label, version, said = told.label, told.version, told.says
    aside = ""
    if path.is_dir():  # in the file's place
        free = path.with_name(f"{path.name} set aside")
        aside = f" The folder that stood in its place is now called {free.name!r}."
        path.rename(free)
    keep.restore_version(path, version, told.shown)
    what = f": {'; '.join(said)}" if said else ""
    return f"Undone{what}. {path.name} is as it was on {label}.{aside or ' Undo once more brings the later one back.'}"


def backup_changes(folder: Path, data: bytes) -> list[str]:
    """Say in lines what a backup would change in a folder.

    Parameters
    ----------
    folder : Path
    data : bytes
        The backup, as `backups.backup` makes it.

    Returns
    -------
    list of str

    Raises
    ------
    SaveError
        It is no backup.
    """
    files, told = backups.looked_through(data)
    told += backups.not_read(folder, files)
    said = []
    for name, then in sorted(files.items()):
        there, table = folder / name, Path(name).stem.lower()
        now = content(there)
        if not is_there(there):
            said.append(f"{name} comes back{f': {rows(then, table)}' if name.endswith('.csv') else ''}")
        elif now == then:
            said.append(f"{name} stays as it is")
        elif name.endswith(".csv"):
            said.append(f"{name}: {rows(then, table)} in place of {rows(now, table)}")
        else:
            said.append(f"{name} goes back to what it was")
    more = len(told) - _TOLD
    return [*said, *told[:_TOLD], *([f"and {more:,} more such sentences"] if more > 0 else [])]


class Keeping(w.VBox):
    """Earlier versions of a table, and all of the learner's folder in one file; hidden until it is asked for.

    Parameters
    ----------
    folder : Path
        The learner's own folder.
    done : callable
        Called with what to say and the look of it, after something was put back.
    tell : callable
        Called with what to say and the look of it, if something could not be done.
    """

    def __init__(
        self, folder: Path, done: Callable[[str, str], Any], tell: Callable[[str, str], Any]
    ) -> None:
        self._folder, self._done, self._tell = folder, done, tell
        self._path: Any = None  # the file that is shown
        auto = w.Layout(width="auto")
        self.versions = w.Dropdown(options=_NONE, layout=w.Layout(width="240px"))
        self.back = w.Button(description="Go back to this one", layout=auto, disabled=True)
        self.make = w.Button(description="Make a backup file", layout=auto)
        self.link = w.HTML()
        self.upload = w.FileUpload(accept=".zip", description="", layout=auto)
        self.upload.add_class(
            "woodcalc-upload"
        )  # its words stand in the style: the widget adds a count to its own
        self.question = Ask()
        row = w.Layout(flex_flow="row wrap", align_items="flex-end")
        super().__init__(
            [
                w.Box([labelled("Earlier versions of this table", self.versions), self.back], layout=row),
                w.Box([self.make, self.upload, self.link], layout=row),
                w.HTML(note(_IN_A_BACKUP)),
                self.question,
            ],
            layout=w.Layout(display="none"),
        )
        self.back.on_click(lambda _: self._safely(self.ask_back))
        self.make.on_click(lambda _: self._safely(self.back_up))
        self.upload.observe(lambda change: self._safely(self.ask_restore), "value")

    def _safely(self, do):
        try:
            do()
        except Exception as error:
            self._tell(f"{in_words(error)}\n{NOT_LOST}", "warn")

    def show(self, path: Path, earlier: list[tuple[str, keep.Version]]) -> None:
        """List the versions of a table."""
        self._path = path
        self.question.hide()
        self.versions.options = earlier or _NONE
        self.back.disabled = not earlier

    def ask_back(self, *first: str) -> None:
        """Say what an earlier version would change, and ask."""
        version = self.versions.value
        label = self.versions.label
        now = content(self._path)
        table = self._path.stem.lower()
        said = changes(now, content(version.path), table) or ["Nothing would change."]
        self.question.ask(
            "\n".join(
                [
                    *first,
                    f"Put back {self._path.name} as it was on {label}?",
                    *said,
                    "The version of now is kept, too.",
                ]
            ),
            "Go back to it",
            "Leave it as it is",
            lambda: self._safely(lambda: self._go_back(version, label, keep.fingerprint(now))),
        )

    def _go_back(self, version, label, shown):
        try:
            keep.restore_version(self._path, version, shown)
        except disk.ChangedError as error:  # another answer may be right now
            self.ask_back(str(error))
            return
        self._done(f"{self._path.name} is as it was on {label}. Undo brings the later one back.", "good")

    def back_up(self) -> None:
        """Pack the learner's folder into one file, to be saved by a link."""
        data = backups.backup(self._folder)
        name = f"my-wood-{date.today().isoformat()}.zip"
        code = base64.b64encode(data).decode()
        self.link.value = (
            f'<div class="woodcalc-note"><a download="{name}" href="data:application/zip;base64,{code}">Save {name} '
            f"({max(1, round(len(data) / 1000)):,} kB)</a></div>"
        )
        held = backups.contents(data)
        self._tell(
            f"The backup is ready but not saved yet: click the link, and keep the file somewhere safe.\n{held}",
            "warn" if held.left_out else "",
        )

    def ask_restore(self) -> None:
        """Say what a backup would change, and ask."""
        if not self.upload.value:
            return
        file = self.upload.value[0]
        self.upload.value = ()
        self._ask_restore(file["name"], bytes(file["content"]))

    def _ask_restore(self, name, data, *first):
        said = backup_changes(self._folder, data)
        self.question.ask(
            "\n".join(
                [
                    *first,
                    f"Put back what is in {name}?",
                    *said,
                    "What is there now is kept among the earlier versions.",
                ]
            ),
            "Put it back",
            "Leave everything as it is",
            lambda: self._safely(lambda: self._restore(name, data, said)),
        )

    def _restore(self, name, data, said):
        if backup_changes(self._folder, data) != said:
            self._ask_restore(name, data, "Your files have changed meanwhile. Nothing was put back.")
            return
        done = backups.restore(self._folder, data)
        what = "What the book wrote" if done.told else "Everything"
        back = f"{what} in {name} is back in {self._folder}. Run the lessons again to see it."
        self._done("\n".join([back, *done.told[:_TOLD_BACK]]), "warn" if done.told else "good")


_IN_A_BACKUP = (
    "A backup holds your records, choices and answers as they are now. It doesn't hold the earlier versions: they stay "
    f"in the folder {keep.HISTORY} on this computer. Photos and notes of yours go in as far as there is room. Restore "
    "doesn't put those back: to get them, open the zip yourself."
)
