"""The handout is the notebook on paper: nothing that is computed differs, and nothing is given away."""

import html
import re
import shutil
import subprocess
from pathlib import Path

import nbformat
import pytest

from woodcalc.leader import handouts as handout
from woodcalc.leader.desk import lesson_files
from woodcalc.lesson.settle import run
from woodcalc.records.choices import Choices

LESSONS = lesson_files()
IMG = re.compile(r"<img [^>]*>")
# printed text; the others are examples in the prose
PRE = re.compile(r"<pre(?: style[^>]*)?>(?!<code>|<span>)(.*?)</pre>", re.S)
# running takes seconds: these two stand for all, and each has a part on the learner's own wood
RUN_ANEW = (
    "05",
    "07",
)


@pytest.fixture(scope="module")
def books():
    return {n: nbformat.read(path, as_version=4) for n, path in LESSONS.items()}


def shown(book):
    """Return (heading, output) for all outputs of a lesson that are for the learner."""
    return [
        (heading, output)
        for heading, cells in handout.sections(book).items()
        for cell in cells
        if heading != "For the leader" and cell.cell_type == "code"
        for output in cell.outputs
    ]


def words(text):
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", text)))


@pytest.mark.parametrize("number", LESSONS)
def test_every_picture_and_printed_number_is_the_notebooks_own(number, books):
    page = handout.body(books[number])
    out = shown(books[number])
    pictures = [i for _, o in out for i in IMG.findall(o.get("data", {}).get("text/html", ""))]
    assert IMG.findall(page) == pictures and pictures  # all of them, in order, to the last point of the line
    printed = [o.text.rstrip() for heading, o in out if o.output_type == "stream" and heading != "Try it"]
    assert [html.unescape(t) for t in PRE.findall(page)] == printed and printed
    for heading, output in out:
        text = output.get("data", {}).get("text/html", "")
        for sentence in (
            re.findall(r"<p>([^<>]{30,})</p>", text) if heading != "Try it" or "<img" in text else ()
        ):
            assert sentence in page  # what reads a picture out, and the questions


@pytest.mark.parametrize("number", LESSONS)
def test_two_pages_to_take_home(number, books, tmp_path, monkeypatch):
    monkeypatch.setattr(handout, "run", lambda book, folder, wood: None)
    made = handout.make(LESSONS[number], tmp_path, Choices(), whole=False)
    page = made[0].read_text()
    read = words(re.sub(r"<style>.*?</style>", "", page, flags=re.S))
    found = handout.sections(books[number])
    asked = re.search(r"^\*(.*?)\*$", found["The question"][0].source, re.M | re.S)[1]
    assert words(asked).strip() in read and "Take care" in read and "Your own numbers" in read
    assert "<summary>" not in page and "For the leader" not in read
    if number != "00":  # its subject is the screen
        screen = re.findall(
            r"\b(?:[Pp]ress (?:the|it|[A-Z])|sliders?|panels?|dials?|screens?|cells? below|click)\b", read
        )
        assert not screen, screen
        assert 1 <= page.count("<img") <= 2 and page.count("By hand") == 1
    if made[1:]:
        told = subprocess.run(["pdfinfo", str(made[1])], capture_output=True, text=True).stdout
        assert int(re.search(r"Pages:\s+(\d+)", told)[1]) <= 2, (
            f"lesson {number}: more than two pages to take home"
        )


@pytest.mark.parametrize("number", LESSONS)
def test_nothing_is_given_away(number, books):
    book = books[number]
    page = handout.body(book)
    read = words(page)
    for cell in book.cells:
        if cell.cell_type == "code":
            for line in cell.source.splitlines():
                if re.match(r"(from|import|print)\b", line):
                    assert line not in read
        for answer in re.findall(r"<details>\s*<summary>.*?</summary>(.*?)</details>", cell.source, re.S):
            told = words(handout.markdown(answer)).strip()
            assert told and told not in read
    leader = words(
        handout.markdown("".join(c.source for c in handout.sections(book)["For the leader"]))
    ).strip()
    assert len(leader) > 400 and leader[60:200] not in read
    assert (
        "<details" not in page and "ipynb" not in page and "Run this lesson</b> in the toolbar to" not in page
    )
    asked = page.count("<b>Question.</b>") + page.count("<b>Guess.</b>")
    folded = sum(
        c.source.count("<details>")
        for heading, cells in handout.sections(book).items()
        for c in cells
        if heading != "For the leader"
    )
    # room to write, wherever something is asked
    assert page.count('<div class="rules">') == asked + folded > 3


@pytest.mark.parametrize("number", LESSONS)
def test_the_headings_and_prose_are_the_lessons(number, books):
    read = words(handout.body(books[number]))
    assert handout.title(books[number]) in read
    assert 10 <= handout.minutes(books[number]) <= 60
    for heading in handout.sections(books[number]):
        assert heading == "For the leader" or heading in read
    for cell in books[number].cells:
        for line in cell.source.splitlines() if cell.cell_type == "markdown" else ():
            if line.startswith("- **"):  # cautions, words to know, sources
                start = words(handout.markdown(line)).strip()[:40]
                assert start in read or start in words(
                    handout.markdown(
                        "".join(c.source for c in handout.sections(books[number])["For the leader"])
                    )
                )


def by_heading(book):
    return {
        heading: "".join(h for c in cells if c.cell_type == "code" for h in handout.outputs(c))
        for heading, cells in handout.sections(book).items()
    }


@pytest.mark.parametrize("number", RUN_ANEW)
def test_a_handout_with_the_usual_choices_is_the_settled_notebook(number, books, tmp_path):
    made = handout.make(LESSONS[number], tmp_path, Choices())
    text = made[0].read_text()
    settled = handout.body(books[number])
    assert settled in text
    assert made[0].name == f"{LESSONS[number].stem}.html"
    if shutil.which("chromium"):
        pdf = made[1].read_bytes()
        assert set(re.findall(rb"/MediaBox\s*\[([^\]]*)\]", pdf)) == {b"0 0 612 792"}
        assert 4 <= len(re.findall(rb"/Type\s*/Page\b", pdf)) <= 16
        read = subprocess.run(["pdftotext", made[1], "-"], capture_output=True, text=True).stdout
        assert handout.title(books[number]) in read and "Check yourself" in read


@pytest.mark.parametrize("number", RUN_ANEW)
def test_another_place_and_wood_change_only_the_part_on_ones_own_wood(number, books, tmp_path):
    (tmp_path / "choices.json").write_text(
        '{"place": "Duluth, MN", "species": "sugar maple", "thickness": "8/4", "month": 9}'
    )
    book = nbformat.read(LESSONS[number], as_version=4)
    run(book, LESSONS[number].parent, tmp_path)
    usual, other = by_heading(books[number]), by_heading(book)
    changed = [heading for heading in usual if usual[heading] != other[heading]]
    assert changed == ["On your own wood"]
    assert "Duluth, MN" in other["On your own wood"] and "Duluth, MN" not in usual["On your own wood"]


def test_larger_print(tmp_path, books, monkeypatch):
    # as settled: only the size matters here
    monkeypatch.setattr(handout, "run", lambda book, folder, wood: None)
    page = handout.make(LESSONS["05"], tmp_path, Choices(), large_print=True)[0]
    assert page.name.endswith("-large.html") and "font-size: 16pt;" in page.read_text()


def test_a_printed_table_keeps_its_columns_on_the_page():
    page = handout.printed_text("x" * 96 + "\n" + "y" * 90)
    size_pt = float(re.search(r"min\(0.78em, ([\d.]+)pt\)", page)[1])
    # the page is 7 in wide; DejaVu Sans Mono is 0.602 em
    assert 8 <= size_pt and 96 * 0.602 * size_pt <= 7 * 72
    assert handout.printed_text("8.0 bf\n") == "<pre>8.0 bf</pre>"


def test_it_needs_nothing_from_elsewhere(books):
    for book in books.values():
        for source in re.findall(r'<img [^>]*src="([^"]{0,40})', handout.body(book)):
            assert source.startswith("data:image/")
    assert Path(LESSONS["05"]).exists()
