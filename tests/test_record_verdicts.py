"""One awkward row at a time through every page that reads the tables: they all say the same of it."""

import re
from dataclasses import dataclass, field

import pytest

from woodcalc import disk, records
from woodcalc.lesson import doctor, drying, kiln, logs, moisture, plan, sawing, stack
from woodcalc.lesson import records as lesson_8
from woodcalc.lesson.box import plain
from woodcalc.lesson.form import records_form
from woodcalc.plan import make_plan
from woodcalc.records import choices
from woodcalc.records.usable import read_usable

KEPT = {
    "logs": "log,species,small_in,large_in,length_ft\n1,northern red oak,16,18,12\n2,white oak,14,16,10\n",
    "boards": "board,log,species,nominal,width_in,length_ft\n"
    "1-1,1,northern red oak,4/4,8,12\n1-2,1,northern red oak,4/4,6,12\n",
    "stacks": "stack,species,nominal,place,stacked,start_mc_pct,board_feet,width_ft\n"
    "A,northern red oak,4/4,Madison,2025-05-10,,430,4\nB,black walnut,8/4,Madison,2025-06-02,,95,3\n",
    "readings": "date,stack,board,kind,value,unit,temp_f\n"
    "2025-05-10,A,1-1,oven-dry,9.32,lb,\n"
    "2025-05-10,A,1-1,weight,16.60,lb,\n"
    "2025-05-24,A,1-1,weight,14.90,lb,\n"
    "2025-06-07,A,1-1,weight,13.70,lb,\n"
    "2025-06-21,A,1-1,weight,12.70,lb,\n"
    "2025-07-19,B,1-2,meter,28,%,78\n",
}
USED, DOUBTFUL, OUT, ASIDE, WAITS = "used", "used, but doubtful", "left out", "set aside", "waits for"


@dataclass(frozen=True)
class Kind:
    """One awkward row: in which table, what becomes what, which row it is, and its verdict."""

    name: str
    table: str
    old: str
    new: str
    row: int
    verdict: str
    drop: tuple = field(default=())  # tables that are not there at all

    @property
    def files(self):
        assert self.old in KEPT[self.table], self.name
        kept = {table: text for table, text in KEPT.items() if table not in self.drop}
        return kept | {self.table: KEPT[self.table].replace(self.old, self.new, 1)}


READ = "2025-06-21,A,1-1,weight,12.70,lb,\n"
THREE = f"2025-05-24,A,1-1,weight,14.90,lb,\n2025-06-07,A,1-1,weight,13.70,lb,\n{READ}"
KINDS = [
    Kind("nothing wrong", "readings", "16.60", "16.60", 3, USED),
    Kind("bad cell", "logs", "16,18,12", "wide,18,12", 2, ASIDE),
    Kind("absurd log", "logs", "16,18,12", "1850,2100,12", 2, ASIDE),
    Kind("a log of 100 ft", "logs", "16,18,12", "16,18,100", 2, ASIDE),
    Kind("a log of 1,000 ft", "logs", "16,18,12", "16,18,1000", 2, ASIDE),
    Kind("a log of 200 in", "logs", "16,18,12", "200,210,12", 2, ASIDE),
    Kind("the thickest and longest log", "logs", "16,18,12", "80,120,60", 2, ASIDE),
    Kind("a log that no truck carries", "logs", "16,18,12", "78,80,60", 2, ASIDE),
    Kind("ends swapped", "logs", "16,18,12", "18,16,12", 2, ASIDE),
    Kind("absurd board", "boards", ",8,12", ",800,12", 2, ASIDE),
    Kind("a board of 52/4", "boards", "oak,4/4,8", "oak,52/4,8", 2, ASIDE),
    Kind("a timber", "boards", "oak,4/4,8", "oak,32/4,8", 2, USED),
    Kind("a board of another wood", "boards", "1,northern red oak,4/4,8", "1,white oak,4/4,8", 2, DOUBTFUL),
    Kind("a board of no log", "boards", "1-1,1,", "1-1,9,", 2, DOUBTFUL),
    Kind("a stack of 48/4", "stacks", "walnut,8/4", "walnut,48/4", 3, ASIDE),
    Kind("a place that nobody knows", "stacks", "8/4,Madison", "8/4,Nowhere", 3, ASIDE),
    Kind("no such day", "stacks", "2025-06-02", "2/30/2025", 3, ASIDE),
    Kind("start 250 %", "stacks", "2025-06-02,,95", "2025-06-02,250,95", 3, ASIDE),
    Kind("start 900 %", "stacks", "2025-06-02,,95", "2025-06-02,900,95", 3, ASIDE),
    Kind("100,000 board feet", "stacks", "2025-06-02,,95", "2025-06-02,,100000", 3, ASIDE),
    Kind("stacked in 2062", "stacks", "2025-06-02", "2062-06-02", 3, DOUBTFUL),
    Kind("4 for 4/4", "stacks", "walnut,8/4", "walnut,4", 3, DOUBTFUL),
    Kind("another wood", "stacks", "black walnut,8/4", "blck walnut,8/4", 3, ASIDE),
    Kind("oven-dry 93.2", "readings", "9.32", "93.2", 2, OUT),
    Kind("two oven-dry rows", "readings", READ, f"{READ}2025-06-22,A,1-1,oven-dry,8.8,lb,\n", 7, OUT),
    Kind("no oven-dry row", "readings", "2025-05-10,A,1-1,oven-dry,9.32,lb,\n", "", 2, WAITS),
    Kind("a point lost", "readings", "16.60", "1.66", 3, OUT),
    Kind("under oven-dry", "readings", "13.70", "9.10", 5, OUT),
    Kind("kilograms", "readings", "13.70,lb", "6.21,kg", 5, USED),
    Kind("kilograms called pounds", "readings", "13.70,lb", "6.21,lb", 5, OUT),
    Kind("a reading twice", "readings", READ, READ + READ, 7, OUT),
    Kind("another stack's name", "readings", "2025-07-19,B", "2025-07-19,Bee", 7, WAITS),
    Kind("a date before stacking", "readings", "2025-07-19,B", "2025-04-19,B", 7, ASIDE),
    Kind("year 2035", "readings", "2025-06-07", "2035-06-07", 5, ASIDE),
    Kind("a date that is none", "readings", "2025-06-07", "soon", 5, ASIDE),
    Kind("a meter at 45 %", "readings", "meter,28", "meter,45", 7, USED),
    Kind("a meter at 450 %", "readings", "meter,28", "meter,450", 7, ASIDE),
    Kind("readings against the forecast", "readings", THREE, "2025-08-24,A,1-1,weight,16.40,lb,\n"
         "2025-09-07,A,1-1,weight,16.30,lb,\n2025-09-21,A,1-1,weight,16.20,lb,\n", 6, DOUBTFUL),
    Kind("readings that stand still", "readings", THREE, "2025-05-24,A,1-1,weight,16.60,lb,\n"
         "2025-07-07,A,1-1,weight,16.60,lb,\n2025-07-27,A,1-1,weight,16.60,lb,\n", 6, DOUBTFUL),
    Kind("readings and no stack", "readings", "16.60", "16.60", 3, WAITS, drop=("stacks",)),
    Kind("no board", "readings", "2025-06-07,A,1-1", "2025-06-07,A,", 5, WAITS),
    Kind("another stack", "readings", "2025-06-21,A,1-1", "2025-06-21,B,1-1", 6, OUT),
    Kind("an oven-dry weight that was not bone dry", "readings", "9.32", "11.95", 2, DOUBTFUL),
    Kind("a meter at 3 %", "readings", "meter,28", "meter,3", 7, OUT),
    Kind("the wrong year of stacking", "stacks", "2025-05-10", "2024-05-10", 2, DOUBTFUL),
]  # fmt: skip
PAGES = {
    "01": (logs.own_tally, "logs"),
    "02": (sawing.own_sawing, "logs"),
    "03": (sawing.own_sheet, "logs"),
    "04": (moisture.own_readings, "readings stacks"),
    "06": (stack.own_panel, "boards"),
    "07": (drying.own_stacks, "stacks readings"),
    "08": (lesson_8.own_stack_panel, "stacks readings"),
    "09": (kiln.own_three_ways, "stacks readings"),
}
SAYS = {DOUBTFUL: "Used, but doubtful.", OUT: "Left out.", ASIDE: "Set aside.", WAITS: "Waits for "}
# what no page may say beside "All is well"
TROUBLE = re.compile(
    r"looks wrong|set aside|left out|doubtful|contradict|cannot|can't be used|not used|is refused|waits? for",
    re.I,
)
PARAMETER = re.compile(r"\b[a-z][a-z0-9]*(?:_[a-z0-9]+)+(?= =| outside|:)")


@pytest.fixture
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "mine"))
    (tmp_path / "mine").mkdir()
    return tmp_path / "mine"


def put(folder, files):
    for table, text in files.items():
        (folder / f"{table}.csv").write_text(text, encoding="utf-8")


def words(made):
    told = made.still() if hasattr(made, "still") else made._repr_html_()
    return plain(re.sub(r"<img[^>]*>", "", told))


def pages(table):
    """What each page says that reads a table."""
    told = {name: words(make()) for name, (make, tables) in PAGES.items() if table in tables.split()}
    told["00"] = plain(doctor.doctor_panel().said)
    told["11"] = "\n".join(make_plan(choices.folder(), start="2026-05-15").remarks)
    return told


def verdict_in_the_form(table, row):
    """What the form of lesson 8 says becomes of a row of the table that it shows."""
    form = records_form(table)
    [option] = [text for text, n in form.marked.options if n == row]
    if option.startswith(f"row {row}, set aside"):
        return ASIDE
    return option.rpartition(" (")[2].rstrip(")") if option.endswith(")") else USED


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.name.replace(" ", "-"))
def test_every_page_gives_a_row_the_same_verdict(kind, my_wood):
    put(my_wood, kind.files)
    found, file = read_usable(), f"{kind.table}.csv"
    verdict = found.verdict(file, kind.row)
    assert verdict == kind.verdict or (kind.verdict == WAITS and verdict.startswith(WAITS))
    assert verdict_in_the_form(kind.table, kind.row) == verdict
    told = pages(kind.table)
    here = re.compile(rf"{re.escape(file)}, rows? (?:\d+, )*{kind.row}\b")
    for page, text in told.items():
        lines = [line for line in text.splitlines() if here.search(line) and "kept, not trusted" not in line]
        for line in lines:
            others = [says for name, says in SAYS.items() if name != kind.verdict and says in line]
            assert not others, f"{page} says of a row that is {verdict}: {line}"
        assert not lines or verdict != USED, f"{page}: {lines}"
        names = [name for name in PARAMETER.findall(text) if name not in disk.COLUMNS]
        assert not names, f"{page}: {names}"
    if kind.verdict != USED:
        assert "All is well" not in told["00"]
    if "All is well" in told["00"]:
        assert not found.problems and not found.doubts and not found.waiting and not found.left_out
        del told["00"]  # 0 set aside
        doubting = {page: TROUBLE.findall(text) for page, text in told.items() if TROUBLE.search(text)}
        assert not doubting
    if kind.verdict in (OUT, ASIDE, DOUBTFUL) and not found.contradict:
        for page in ("00", "11"):  # they read all tables
            assert here.search(told[page]), f"{page} does not speak of the row: {told[page][:2000]}"


@pytest.mark.parametrize(
    "kind", [k for k in KINDS if k.name.startswith("readings ") and not k.drop], ids=lambda k: k.name
)
def test_no_page_tells_a_date_that_the_readings_disprove(kind, my_wood):
    put(my_wood, kind.files)
    told = pages("readings")
    for page in ("00", "07", "08", "11"):
        assert "the readings contradict its forecast, so no date is told from them" in told[page], page
    [line] = [line for line in told["07"].splitlines() if line.startswith("Stack A, ")]
    assert " % from " not in line
    assert "likely" not in told["08"].partition("Stack A, northern red oak")[2]


def test_a_stack_that_cannot_be_is_refused_by_the_form_with_a_sentence(my_wood):
    for name, value, asked in (
        ("nominal", "48/4", "from 3/4 to 16/4, like 4/4 or 8/4: 48/4 is 12 in. Did you mean 4/4 or 8/4?"),
        ("place", "Baraboo, WI", "In that state it knows Madison, WI"),
        ("place", "Nowhere", "Look for your nearest larger town in the list"),
        ("start_mc_pct", "250", "a number from 5 to 131 %: northern red oak cannot hold more water"),
    ):
        row = {
            "stack": "B",
            "species": "northern red oak",
            "nominal": "4/4",
            "stacked": "2025-05-10",
            name: value,
        }
        problems = records.problems_in(row, "stacks")[1]
        assert [p.column for p in problems] == [name] and asked in problems[0].expected
        with pytest.raises(records.RecordsError):
            records.append(my_wood / "stacks.csv", row)
    assert not (my_wood / "stacks.csv").exists()


def test_another_stacks_picture_never_stands_under_a_name(my_wood, monkeypatch):
    put(my_wood, KEPT)
    panel = lesson_8.own_stack_panel()
    assert "Stack A" in panel.reading and "<table" in panel.below.value
    real = lesson_8.drying.of_stack

    def refused(row, site):
        if row.name == "B":
            raise ValueError("thickness_in = 12: expected 0.25 to 6 in.")
        return real(row, site)

    monkeypatch.setattr(lesson_8.drying, "of_stack", refused)
    panel.dials["stack"].value = "B"
    assert panel.reading == "Stack B has no forecast: thickness_in = 12: expected 0.25 to 6 in."
    assert panel.below.value == "" and "Stack A" not in panel.picture.value
    panel.dials["stack"].value = "A"
    assert "Stack A" in panel.reading and "<table" in panel.below.value


def test_the_plans_desk_says_what_the_plan_says(my_wood):
    kind = next(k for k in KINDS if k.name == "a stack of 48/4")
    put(my_wood, kind.files)
    said = plain(re.sub("<iframe.*", "", plan.plan_desk(start="2026-05-15").showing.value, flags=re.S))
    assert "stacks.csv, row 3, column nominal: found '48/4' (stack B)" in said and "Set aside." in said


def test_centimeters_are_shown_and_saved_as_they_were_written(my_wood):
    text = "log,species,small_in,length_ft\n1,white oak,30cm,12\n2,white oak,14,12\n"
    (my_wood / "logs.csv").write_bytes(text.encode("utf-16"))  # two bytes a letter
    form = records_form("logs")
    assert [label for label, _ in form.marked.options][1] == "row 2: 1, white oak, 30 cm"
    form.marked.value = 2
    assert form.fields["small_in"].value == "30cm"
    form.fields["length_ft"].value = "10"
    form.save()
    assert (my_wood / "logs.csv").read_bytes().decode("utf-16") == text.replace("30cm,12", "30cm,10")
    for name, value in {"log": "3", "species": "white oak", "small_in": "15", "length_ft": "8"}.items():
        form.fields[name].value = value
    form.save()
    assert "you have 3 logs now." in plain(form.said)


def test_the_names_that_stay_are_those_of_the_columns():
    columns = {c.name for table in records.TABLES.values() for c in table if "_" in c.name}
    assert columns == set(disk.COLUMNS)
