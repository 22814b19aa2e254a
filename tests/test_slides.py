"""Slides hold every task of a lesson, each with its picture and its answer, and nothing of the screen."""

import re

import nbformat
import pytest

from woodcalc.leader import handouts, slides

LESSONS = handouts.lesson_files()


@pytest.mark.parametrize("number", LESSONS)
def test_every_task_has_its_slide_and_its_answer(number):
    book = nbformat.read(LESSONS[number], as_version=4)
    made = slides.slides(book)
    tried = "\n".join(
        cell.source for cell in handouts.sections(book)["Try it"] if cell.cell_type == "markdown"
    )
    tasks = [
        int(n)
        for n in re.findall(
            r"^(?:\*\*Task )?(\d+)\.", re.sub(r"<details>.*?</details>", "", tried, flags=re.S), re.M
        )
    ]
    found = [slide for slide in made if ": task " in slide.heading]
    assert [int(slide.heading.rpartition(" ")[2]) for slide in found] == tasks and tasks
    assert sum(bool(slide.answer) for slide in found) == tried.count("<summary>Answer</summary>")
    assert all(slide.picture for slide in found)
    assert made[0].heading == handouts.title(book) and made[-1].heading == "Take care"
    words = " ".join(slide.words + slide.answer for slide in made)
    assert "Run this lesson" not in words and "<details" not in words


def test_the_desk_writes_the_slides_of_the_lessons_that_are_ticked(tmp_path, monkeypatch):
    from woodcalc.checks import InputError
    from woodcalc.leader import desk, paper
    from woodcalc.records import choices

    monkeypatch.setattr(paper.shutil, "which", lambda name: None)
    (made,) = desk.write_slides(tmp_path, ["05"], choices.Choices(place="Duluth, MN"))
    text = made.read_text(encoding="utf-8")
    assert made.name == "05-wood-and-the-air-slides.html" and text.count("<section") > 8
    with pytest.raises(InputError, match="at least one lesson"):
        desk.write_slides(tmp_path, [], choices.Choices())
