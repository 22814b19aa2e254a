"""The second day: every lesson, the plan and the desks on records that are half kept, absurd or out of reach.

A lesson is run whole once, on good records. Its cells that read the learner's folder, and those that use what such a
cell made, are then run again for each state of the records: the others cannot know of it. That this gives what a
whole run gives is itself tested, a state for each lesson.
"""

import ast
import contextlib
import ctypes
import functools
import html
import io
import os
import re
import shutil
import sys
import warnings
from dataclasses import dataclass, field
from pathlib import Path

import nbformat
import pytest

from woodcalc import records
from woodcalc.leader import desk
from woodcalc.lesson import lists, mine, own, plan
from woodcalc.records import choices

LESSONS = sorted((Path(__file__).parents[1] / "lessons").glob("[0-9]*.ipynb"))
TABLES = ("logs", "boards", "stacks", "readings")
KEPT = {
    "logs": "log,species,small_in,large_in,length_ft,defect_pct,note\n"
    "1,northern red oak,18.5,21,12,0,butt log\n"
    "2,northern red oak,16,18.5,12,0,\n"
    "3,white oak,17,19.5,10,5,\n"
    "4,black walnut,14,16,8,0,fence wire\n",
    "boards": "board,log,species,nominal,thickness_in,width_in,length_ft\n"
    "1-1,1,northern red oak,4/4,1.0625,8.5,12\n"
    "1-2,1,northern red oak,4/4,1.0625,6,12\n"
    "2-1,2,northern red oak,4/4,1.0625,7,12\n"
    "4-1,4,black walnut,8/4,2.125,8,8\n",
    "stacks": "stack,species,nominal,place,stacked,start_mc_pct,board_feet,width_ft\n"
    "A,northern red oak,4/4,Madison,2025-05-10,,430,4\n"
    "B,black walnut,8/4,Madison,2025-06-02,,95,3\n",
    "readings": "date,stack,board,kind,value,unit,temp_f\n"
    "2025-05-10,A,1-1,oven-dry,9.32,lb,\n"
    "2025-05-10,A,1-1,weight,16.60,lb,\n"
    "2025-05-24,A,1-1,weight,14.90,lb,\n"
    "2025-06-07,A,1-1,weight,13.70,lb,\n"
    "2025-07-05,A,1-2,meter,28,%,78\n"
    "2025-07-19,B,4-1,meter,29,%,81\n",
}
GOOD = {f"{table}.csv": text for table, text in KEPT.items()}


@dataclass(frozen=True)
class State:
    """What lies in the learner's folder, and words that must be read where a table is used."""

    name: str
    files: dict  # name: text; empty: no folder
    words: dict = field(default_factory=dict)  # table: words that a lesson which uses it must say
    plan: tuple = ()  # words that the plan's desk must say
    of_a_row: bool = False  # the words tell of a row, so that the doctor page of lesson 00 says them, too
    mode: int | None = None  # of the folder


def changed(name, table, old, new, words, plan=None, **more):
    """Good records with one change; lessons that read the table say the words, and so does the plan."""
    text = KEPT[table]
    assert old in text
    said = {table: words} if isinstance(words, tuple) else words
    files = GOOD | {f"{table}.csv": text.replace(old, new, 1)}
    return State(name, files, said, words if plan is None else plan, of_a_row=True, **more)


def many(rows):
    """Tables as long as those of somebody who keeps every stick: numbers that differ, dates over three years."""
    import random

    draw = random.Random(11)
    logs = [f"{i},white oak,{8 + draw.randrange(24) / 2},,{draw.choice((8, 10, 12))},0," for i in range(rows)]
    boards = [f"b{i},{i},white oak,4/4,1.125,{4 + draw.randrange(16) / 2},12" for i in range(rows)]
    stacks = [f"S{i},white oak,4/4,Madison,2025-0{1 + i % 9}-10,,430,4" for i in range(20)]
    readings = [
        f"{2025 + i % 2}-{10 + i % 3}-{1 + i // 20 % 28:02},S{i % 20},p{i % 40},meter,{14 + draw.randrange(8)},%,60"
        for i in range(rows)
    ]
    rest = {"logs": logs, "boards": boards, "stacks": stacks, "readings": readings}
    return {f"{t}.csv": KEPT[t].partition("\n")[0] + "\n" + "\n".join(rest[t]) + "\n" for t in TABLES}


def heads(rows):
    return {
        f"{table}.csv": "".join(text.splitlines(keepends=True)[: 1 + rows]) for table, text in KEPT.items()
    }


def kettle_hollows(table, **less):
    """A season's table of the invented woodlot, in a file of its own."""
    rows = records.read(records.KETTLE_HOLLOW / f"{table}.csv").assign(**less)
    return {f"{table}.csv": rows.to_csv(index=False)}


# a place need not be named, nor how wet and how wide a stack is
BARE = dict(place="", start_mc_pct=float("nan"), width_ft=float("nan"))
ANY_WOOD = {"northern red oak": "bur oak", "white oak": "overcup oak", "black walnut": "noble fir"}
THEIRS = ("Kettle Hollow",)
NO_PLAN = ("The plan was not made", "logs")
STATES = [
    State("no records", {}, dict.fromkeys(TABLES, THEIRS)),
    *(State(f"only {table}", {f"{table}.csv": KEPT[table]},
            {other: (f"{other}.csv",) for other in TABLES if other != table}) for table in TABLES),
    *(State(f"a season of {table}", kettle_hollows(table, **(BARE if table == "stacks" else {})))
      for table in TABLES if table != "boards"),
    State("header only", heads(0), dict.fromkeys(TABLES, THEIRS), NO_PLAN),
    State("one row", heads(1), {"readings": ("reading",)}),
    changed("bad cell in logs", "logs", "1,northern red oak,18.5", "1,northern red oak,wide",
            ("logs.csv, row 2", "wide")),
    changed("bad cell in boards", "boards", ",8.5,12", ",broad,12", ("boards.csv, row 2", "broad")),
    changed("bad cell in stacks", "stacks", "2025-06-02", "2/30/2025", ("stacks.csv, row 3", "2/30/2025")),
    changed("bad cell in readings", "readings", "2025-06-07", "soon", ("readings.csv, row 5", "soon")),
    changed("absurd log", "logs", "18.5,21,12", "1850,2100,12", ("logs.csv, row 2", "1850")),
    changed("absurd board", "boards", ",7,12", ",700,12", ("boards.csv, row 4", "700")),
    changed("absurd stack", "stacks", "2025-05-10,,430", "2025-05-10,900,430", ("stacks.csv, row 2", "900")),
    changed("absurd reading", "readings", "14.90", "99999", ("readings.csv, row 4", "99999")),
    changed("a point lost", "readings", "16.60", "1.66", ("readings.csv, row 3", "1.66", "16.6")),
    State("no oven-dry weight", {"stacks.csv": KEPT["stacks"], "logs.csv": KEPT["logs"],
          "readings.csv": "date,stack,board,kind,value,unit\n2025-05-10,A,1-1,weight,16.60,lb\n"},
          {"readings": ("One weighing", "oven-dry")}, ("readings.csv, row 2: waits for", "oven-dry")),
    changed("under oven-dry", "readings", "oven-dry,9.32", "oven-dry,93.2", ("readings.csv, row 2", "93.2")),
    changed("kilograms", "readings", "13.70,lb", "6.21,kg", ()),
    changed("kilograms called pounds", "readings", "13.70,lb", "6.21,lb", ("readings.csv, row 5", "kg")),
    changed("another stack's name", "readings", "2025-07-19,B", "2025-07-19,Bee", ("readings.csv", "Bee")),
    changed("before stacking", "readings", "2025-07-19,B", "2025-04-19,B", ("readings.csv, row 7", "2025-04-19")),
    changed("year 2035", "readings", "2025-06-07", "2035-06-07", ("readings.csv, row 5", "2035")),
    changed("year 2062", "stacks", "2025-06-02", "2062-06-02", ("stacks.csv, row 3", "2062")),
    changed("meter at 45 %", "readings", "meter,28", "meter,45", ("row 6", "45", "not trusted")),
    State("empty files", dict.fromkeys(GOOD, ""), dict.fromkeys(TABLES, ("an empty file",)), NO_PLAN),
    State("1,000 rows", many(1_000)),
    State("new and own woods", {
        **{f"{table}.csv": re.sub("northern red oak|white oak|black walnut", lambda m: ANY_WOOD[m[0]], text)
           for table, text in KEPT.items()},
        "choices.json": '{"species": "bur oak", "own woods": {"bur oak": {"name": "bur oak", "kind": "hardwood"}}}'}),
    State("broken choices", GOOD | {"choices.json": '{"place": "Madi'}),
    State("impossible choices", GOOD | {"choices.json": '{"thickness": "48/4", "place": "Atlantis", "month": 13}'}),
    State("read-only folder", GOOD | {"choices.json": "{}"}, mode=0o555),
    State("unreadable folder", GOOD | {"choices.json": "{}"}, dict.fromkeys(TABLES, ("cannot be",)), ("cannot be",),
          mode=0),
]  # fmt: skip
NAMED = {state.name: state for state in [*STATES, State("10,000 rows", many(10_000))]}
OF_CHOICES = (
    "broken choices",
    "impossible choices",
    "unreadable folder",
)  # each panel reads the choices, too
DUMP = re.compile(
    r"<woodcalc\S* object at|<function |Traceback|\b[A-Z]\w+(?:Error|Exception)\b|VBox\(children|has no attribute"
    r"|\bnan\b|\bNaT\b"
)


# --- a lesson's cells


@dataclass
class Cell:
    """One code cell, what it read of the learner's folder in the run on good records, and what it showed then."""

    source: str
    opened: set = field(default_factory=set)
    asked: set = field(
        default_factory=set
    )  # tables that it works with; all are looked into, to judge its rows
    shown: str = ""

    @functools.cached_property
    def names(self):
        """(names that it makes, names that it uses)."""
        made, used = set(), set()
        for node in ast.walk(ast.parse(self.source)):
            if isinstance(node, ast.Name):
                (used if isinstance(node.ctx, ast.Load) else made).add(node.id)
            elif isinstance(node, ast.FunctionDef):
                made.add(node.name)
            elif isinstance(node, ast.alias):
                made.add((node.asname or node.name).partition(".")[0])
        return made, used


_opened, _watched = set(), []


def _audit(event, args):
    if event == "open" and _watched and isinstance(args[0], str | bytes):
        path = os.fsdecode(args[0])
        if path.startswith(_watched[0]):
            _opened.add(os.path.basename(path))


sys.addaudithook(_audit)


def run(cell, names):
    """Run a cell as a notebook does and return all that a reader would see."""
    tree = ast.parse(cell.source)
    last = tree.body.pop() if isinstance(tree.body[-1], ast.Expr) else None
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), warnings.catch_warnings():
        warnings.simplefilter("error")
        exec(compile(tree, "cell", "exec"), names)  # noqa: S102 - the lesson's own cells
        value = eval(compile(ast.Expression(last.value), "cell", "eval"), names) if last else None
        shown = seen(value)
    assert err.getvalue() == ""
    return out.getvalue() + shown


def seen(value):
    """All words of what a cell shows: of a box each text in it, and its saved picture's sentence."""
    if value is None:
        return ""
    if hasattr(value, "children") or hasattr(value, "still"):
        return "\n".join([*inside(value), value.still() if hasattr(value, "still") else ""])
    if hasattr(value, "_repr_html_") and (told := value._repr_html_()):
        return told
    return repr(value)


def inside(widget):
    for name in ("value", "description", "placeholder"):
        if isinstance(text := getattr(widget, name, None), str):
            yield text
    for child in getattr(widget, "children", ()):
        yield from inside(child)


def words(shown):
    """What can be read, without tags and pictures."""
    shown = re.sub(r'srcdoc="[^"]*"', lambda m: html.unescape(m[0]), shown)
    shown = re.sub(r"<style>.*?</style>|<img[^>]*>|<svg.*?</svg>|href=\S+", " ", shown, flags=re.S)
    shown = re.sub(r"/\S*/(?:my-wood|good-[\w-]+)|\d+ ms each", " ", shown)  # where it lies, how fast it is
    return html.unescape(re.sub(r"<[a-z/!][^>]*>", " ", shown))


@pytest.fixture(scope="session")
def desk_top(tmp_path_factory):
    """A folder to work in, beside the lessons' pictures."""
    folder = tmp_path_factory.mktemp("matrix")
    shutil.copytree(LESSONS[0].parent / "pictures", folder / "pictures")
    return folder


SETTINGS = mine.all_settings


def leave_out_settings(patch):
    """What panels offer as settings is theirs to leave out: it has a test of its own."""
    patch.setattr(mine, "all_settings", lambda state: ([], [], []))


@pytest.fixture(autouse=True)
def at_the_desk(desk_top, monkeypatch):
    monkeypatch.chdir(desk_top)
    leave_out_settings(monkeypatch)


def put(folder, files, monkeypatch):
    """Put files into the learner's folder and name it; none: there is no folder."""
    monkeypatch.setenv(choices.VARIABLE, str(folder))
    if files:
        folder.mkdir()
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")


@functools.cache
def on_good_records(path, desk_top):
    """(cells of a lesson that has been run on good records, the names that it made)."""
    folder = desk_top / f"good-{path.stem}"
    with pytest.MonkeyPatch.context() as patch:
        put(folder, GOOD, patch)
        leave_out_settings(patch)
        asked = set()

        def own_wood(*needed, also=(), lesson="", look=own.own_wood):
            asked.update(needed, also)
            return look(*needed, also=also, lesson=lesson)

        patch.setattr(own, "own_wood", own_wood)
        cells, names = [], {}
        _watched[:] = [str(folder)]
        try:
            for source in nbformat.read(path, as_version=4).cells:
                if source.cell_type == "code":
                    _opened.clear()
                    asked.clear()
                    cell = Cell(source.source)
                    cell.shown = run(cell, names)
                    cell.opened, cell.asked = set(_opened), set(asked)
                    cells.append(cell)
        finally:
            _watched.clear()
    return tuple(cells), names


def again(path, desk_top, files):
    """Run the cells of a lesson that read some of these files, and those that use what such a cell made.

    Not the plan's desk, which takes the longest and has a test of its own.
    """
    cells, names = on_good_records(path, desk_top)
    names, made, shown = dict(names), set(), []
    for cell in cells:
        makes, uses = cell.names
        if (cell.opened & files or uses & made) and "plan_desk()" not in cell.source:
            made |= makes
            shown.append(run(cell, names))
        else:
            shown.append(None)
    return shown


def files_of(state):
    tables = {f"{table}.csv" for table in TABLES}
    return tables | {"choices.json", "written.json"} if state.name in OF_CHOICES else tables


class _Caps(ctypes.Structure):
    _fields_ = [
        ("effective", ctypes.c_uint32),
        ("permitted", ctypes.c_uint32),
        ("inheritable", ctypes.c_uint32),
    ]


@contextlib.contextmanager
def like_anybody():
    """Root reads and writes what it likes: for a while, let it be bound by a file's marks as a learner is."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        yield
        return
    libc, head, caps = ctypes.CDLL(None, use_errno=True), (ctypes.c_uint32 * 2)(0x20080522, 0), (_Caps * 2)()
    assert libc.capget(head, caps) == 0
    was = caps[0].effective
    caps[0].effective = was & ~0b1110  # without CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH, CAP_FOWNER
    assert libc.capset(head, caps) == 0
    try:
        yield
    finally:
        caps[0].effective = was
        assert libc.capset(head, caps) == 0


@contextlib.contextmanager
def lying(state, tmp_path, monkeypatch):
    """The state's files in the learner's folder; afterwards they are as they were, byte for byte."""
    folder = tmp_path / "my-wood"
    put(folder, state.files, monkeypatch)
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in folder.glob("*")}
    if state.mode is None:
        yield folder
    else:
        for path in before:
            path.chmod(0o444)
        folder.chmod(state.mode)
        try:
            with like_anybody():
                with pytest.raises(PermissionError):
                    (folder / "a-new-file").touch()
                yield folder
        finally:
            folder.chmod(0o755)
    for path, (data, when) in before.items():
        assert path.read_bytes() == data
        assert path.stat().st_mtime_ns == when
    if not state.files:
        assert not folder.exists() or not list(folder.glob("*.csv"))


def wrong(shown, said, where):
    """What a learner should not read, and what is missing of that which a learner should."""
    if dump := DUMP.search(shown):
        yield f"{where}: {shown[max(dump.start() - 150, 0) : dump.end() + 150]}"
    yield from (f"{where}: does not say {word!r}: {shown[-1500:]}" for word in said if word not in shown)


@pytest.mark.parametrize("state", STATES, ids=lambda s: s.name.replace(" ", "-"))
def test_each_lesson_says_what_it_can_use(state, desk_top, tmp_path, monkeypatch):
    found = []
    for path in LESSONS:  # before the folder is another
        on_good_records(path, desk_top)
    with lying(state, tmp_path, monkeypatch):
        for path in LESSONS:
            cells, _ = on_good_records(path, desk_top)
            used = {table for cell in cells for table in cell.asked}
            if path.stem.startswith("00"):  # the doctor page
                used = set(TABLES)
            said = [word for table in state.words if table in used for word in state.words[table]]
            if path.stem.startswith("11") or (path.stem.startswith("00") and not state.of_a_row):
                said = []  # the plan's desk has a test of its own; the doctor page speaks of rows and files alone
            try:
                shown = words("\n".join(filter(None, again(path, desk_top, files_of(state)))))
            except Exception as error:
                found.append(f"{path.stem}: {type(error).__name__}: {error}")
                continue
            found += wrong(shown, said, path.stem)
    assert not found, "\n\n".join(found)


@pytest.fixture(scope="module", autouse=True)
def one_minute():
    """Boxes say as of when they stand, and the minute may turn between two runs."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(own, "hour_in_words", lambda: "1 June, 12:00")
        yield


@pytest.mark.parametrize("path", LESSONS, ids=lambda p: p.stem[:2])
def test_the_cells_run_again_show_what_a_whole_run_shows(path, desk_top, tmp_path, monkeypatch):
    """A state for each lesson; the questions and the panels that read no records stay as they were."""
    on_good_records(path, desk_top)
    state = STATES[(7 * int(path.stem[:2]) + 5) % len(STATES)]
    with lying(state, tmp_path, monkeypatch):
        some = again(path, desk_top, files_of(state))
        names = {}
        for cell, shown in zip(on_good_records(path, desk_top)[0], some, strict=True):
            if "plan_desk()" not in cell.source:
                whole = run(cell, names)
                assert words(whole) == words(cell.shown if shown is None else shown)


@pytest.mark.parametrize("state", NAMED.values(), ids=lambda s: s.name.replace(" ", "-"))
def test_the_plans_desk_says_what_it_can_use(state, tmp_path, monkeypatch):
    with lying(state, tmp_path, monkeypatch) as folder, warnings.catch_warnings():
        warnings.simplefilter("error")
        made = plan.plan_desk(start="2026-05-15")
        shown = words("\n".join(inside(made)))
        found = list(wrong(shown, state.plan, "plan"))
        if state.mode is not None:
            made.write()
            said = "plan.html was not saved" if made.plan else "Make a plan first"
            found += wrong(made.said, (said,), "written")
    assert not found, "\n\n".join(found)
    assert not (folder / "plan").exists()


@pytest.mark.parametrize("name", ["no records", "10,000 rows", *OF_CHOICES, "read-only folder"])
def test_the_leaders_desk_stands_whatever_lies_there(name, tmp_path, monkeypatch):
    state = NAMED[name]
    with lying(state, tmp_path, monkeypatch), warnings.catch_warnings():
        warnings.simplefilter("error")
        evening, sheets, gathered, switch = (
            desk.evening(),
            desk.sheets(),
            desk.gathered(),
            desk.larger_print(),
        )
        press(gathered, "Read the answers")
        found = list(wrong(words("\n".join(inside(evening))), ("Measure the log",), "evening"))
        found += wrong(words("\n".join(inside(sheets))), ("Worksheet 1 of 6",), "sheets")
        found += wrong(words("\n".join(inside(gathered))), ("class-answers",), "answers")
        if state.mode is not None:
            next(w for w in everything(switch) if hasattr(w, "indent")).value = True
            press(sheets, "Write worksheets and key")
            found += wrong(words("\n".join(inside(switch))), ("choices.json was not saved",), "larger print")
            found += wrong(
                words("\n".join(inside(sheets))), ("cannot be used (permission denied)",), "written"
            )
    assert not found, "\n\n".join(found)


def everything(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from everything(child)


def press(box, label):
    next(w for w in everything(box) if getattr(w, "description", "") == label and hasattr(w, "click")).click()


@pytest.mark.parametrize("state", [s for s in STATES if s.name != "1,000 rows"], ids=lambda state: state.name)
def test_what_panels_offer_of_the_learners_own_is_found_or_left_out(state, tmp_path, monkeypatch):
    monkeypatch.setattr(mine, "all_settings", SETTINGS)
    with lying(state, tmp_path, monkeypatch):
        for dials in (
            {"small_in": "Small end (in)"},
            {"place": "Place", "wood": "Wood", "month": "Month of stacking"},
        ):
            for says, values in mine.offers(dials):
                assert values and says.startswith("my ") and not DUMP.search(says)
        assert "Madison, WI" in lists.place_names()
