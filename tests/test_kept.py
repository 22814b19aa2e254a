"""What a learner writes into a lesson is there again the next time, and nothing that was kept is lost on the way."""

import json
import multiprocessing
import os
import signal
import subprocess
import sys
import time

import pytest

from woodcalc.disk import SaveError, locked
from woodcalc.lesson import answers, kept
from woodcalc.lesson.answers import AnswerBox, ask, guess, hidden_truth, start_over
from woodcalc.lesson.box import plain
from woodcalc.lesson.exercise import every
from woodcalc.lesson.saved import question, with_words
from woodcalc.records import choices

PROMPT = 'How many board feet are in a log of 16 in & 12 ft, "sound"?'


@pytest.fixture
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "my-wood"))
    monkeypatch.setattr(answers, "on_page", {})
    monkeypatch.setattr(answers, "told_once", set())
    return tmp_path / "my-wood"


def the_page_runs_again():
    answers.on_page.clear()
    answers.told_once.clear()


def truth(box):
    return f"{box.exercise.solve(**box.numbers):.6g}"


def test_a_guess_comes_back(my_wood):
    guess(PROMPT, "bf").field.value = "150"
    mine = guess(PROMPT, "bf")
    assert mine.field.value == "150" and "Noted: 150 bf" in mine.said_line.value
    assert "Your guess was 150 bf; the answer is 144 bf." in mine.again(144, "So it is.").children[1].value
    assert guess("Another question?", "bf").field.value == ""
    mine.field.value = ""
    assert guess(PROMPT, "bf").field.value == ""


def test_an_answer_comes_back_with_its_numbers_and_its_mark(my_wood):
    box = ask("doyle-one-log")
    box.new_numbers()
    box.new_numbers()
    box.field.value = truth(box)
    again = ask("doyle-one-log")
    assert (again.numbers, again.field.value) == (box.numbers, box.field.value)
    assert "Right" in again.feedback.value and again.question_line.value == box.question_line.value
    assert f"You wrote {box.field.value}." in again.still()
    again.new_numbers()
    later = ask("doyle-one-log")
    assert later.numbers == again.numbers and later.field.value == later.feedback.value == ""


def test_a_wrong_answer_and_what_is_no_number_come_back_too(my_wood):
    box = ask("doyle-one-log")
    for typed, says in (("1", "Not yet"), ("about ten", "expected a number like")):
        box.field.value = typed
        again = ask("doyle-one-log")
        assert again.field.value == typed and says in again.feedback.value


def test_a_groups_truth_comes_back_to_the_panel(my_wood):
    key, shown = "a-stack-to-save", []
    exercise = every()[key]

    def show(**numbers):
        shown.append(numbers)
        return AnswerBox(every()["doyle-one-log"], "first")

    whole = hidden_truth(key, show)
    whole.children[1].children[1].value = "Table 3"
    whole.box.field.value = "1.5"
    again = hidden_truth(key, show)
    assert again.children[1].children[1].value == "table 3"
    assert again.box.numbers == whole.box.numbers == shown[-1] and again.box.field.value == "1.5"
    again.box.start_over()
    assert again.children[1].children[1].value == "" and again.box.group == ""
    assert shown[-1] == hidden_truth(key, show).box.numbers
    assert str(exercise.solve(**whole.box.numbers)) not in (my_wood / "written.json").read_text()


def test_a_class_that_has_numbers_of_its_own_gets_them(my_wood):
    box = ask("doyle-one-log")
    box.field.value = "1"
    theirs = ask("doyle-one-log", "Tuesday")
    assert theirs.group == "Tuesday" and theirs.field.value == ""
    theirs.field.value = "2"
    assert ask("doyle-one-log", "Tuesday").field.value == "2"


def test_an_answer_to_numbers_that_are_dealt_no_more_stays_away(my_wood):
    """A later version of the book may deal other numbers: an answer beside the wrong question would mislead."""
    ask("doyle-one-log").field.value = "1"
    path = my_wood / "written.json"
    there = json.loads(path.read_text())
    for change in (
        {"numbers": "0"},
        {"asked": "Something else?"},
        {"turn": "two"},
        {"group": None},
        {"typed": 3},
    ):
        path.write_text(json.dumps({"doyle-one-log": there["doyle-one-log"] | change}))
        box = ask("doyle-one-log")
        assert box.field.value == "" and box.turn == 0


BROKEN = [
    b"",
    b"{",
    b"[]",
    b"\xff\xfe\x00{",
    b"\x00" * 4096,
    b"null",
    b"[" * 100_000,
    b"a note of mine: buy chalk",
]


@pytest.mark.parametrize("there", BROKEN, ids=lambda b: str(b[:6]))
def test_a_file_that_is_not_the_books_stops_no_box_and_stays(my_wood, there):
    my_wood.mkdir()
    path = my_wood / "written.json"
    path.write_bytes(there)
    box, mine = ask("doyle-one-log"), guess(PROMPT, "bf")
    box.field.value = truth(box)
    said = plain(box.feedback.value)
    assert said.startswith("Right") and "can't be kept" in said
    assert "written.json can't be read" in said and "Move it out of" in said
    mine.field.value = "150"
    assert "Noted: 150 bf" in mine.said_line.value and "kept" not in mine.said_line.value  # said once
    assert (box.field.value, mine.field.value) == (truth(box), "150")
    box.new_numbers()
    assert path.read_bytes() == there


@pytest.mark.parametrize(
    "entry", [None, 3, "x", [], {}, {"asked": 1, "typed": 2}, {"asked": "a", "typed": None}]
)
def test_an_entry_of_another_shape_is_passed_over_and_stays(my_wood, entry):
    my_wood.mkdir()
    path = my_wood / "written.json"
    path.write_text(json.dumps({"doyle-one-log": entry, "something else": entry}))
    box = ask("doyle-one-log")
    assert box.field.value == ""
    box.field.value = "7"
    assert json.loads(path.read_text())["something else"] == entry
    assert ask("doyle-one-log").field.value == "7"


def in_the_way(path):
    path.mkdir()


def full(monkeypatch):
    def no_room(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", no_room)


def no_locks(monkeypatch):
    def none(*_):
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr("woodcalc.disk._take", none)


def busy(monkeypatch):
    monkeypatch.setattr("woodcalc.disk._take", lambda _: False)
    monkeypatch.setattr(kept, "WAIT_S", 0.01)


@pytest.mark.parametrize(
    "trouble", [full, no_locks, busy, "folder", "file"], ids=lambda t: getattr(t, "__name__", t)
)
def test_whatever_is_wrong_with_the_folder_the_box_goes_on_and_says_why(my_wood, monkeypatch, trouble):
    if trouble == "folder":
        my_wood.write_text("a file where the folder should be")
    elif trouble == "file":
        in_the_way(my_wood)
        in_the_way(my_wood / "written.json")
    else:
        trouble(monkeypatch)
    box = ask("doyle-one-log")
    box.field.value = truth(box)
    said = plain(box.feedback.value)
    assert said.index("Right") < said.index("can't be kept") and "Traceback" not in said
    assert box.field.value == truth(box)


def test_what_is_odd_to_type_is_kept_as_it_is(my_wood):
    for typed in ('<script>"x"</script>', "7 ½ \ud83d", "\u2028\x00", "9" * 5000):
        ask("doyle-one-log").field.value = typed
        assert "Right" not in ask("doyle-one-log").feedback.value
    guess(PROMPT, "bf").field.value = "<b>150"
    assert "<b>150" not in guess(PROMPT, "bf").still()


def test_starting_over_asks_first_and_wipes_this_lesson_only(my_wood):
    kept.keep("water-in-a-board", "00", "?", "61")
    box, mine = ask("doyle-one-log"), guess(PROMPT, "bf")
    box.new_numbers()
    box.field.value, mine.field.value = "1", "150"
    end = mine.again(144, "So it is.")
    over = start_over("01")
    over.button.click()
    assert "This wipes your guess and 1 answer in this lesson." in over.sure.asked
    over.sure.no.click()
    assert over.sure.asked == "" and box.field.value == "1"
    over.button.click()
    over.sure.yes.click()
    assert "starts over" in over.said
    assert box.field.value == box.feedback.value == mine.field.value == "" and box.turn == 0
    assert "no guess" in end.children[1].value
    assert list(kept.written()) == ["water-in-a-board"]
    the_page_runs_again()
    assert ask("doyle-one-log").field.value == guess(PROMPT, "bf").field.value == ""


def test_starting_over_before_a_run_wipes_the_answers_of_the_file(my_wood):
    ask("doyle-one-log").field.value = "1"
    the_page_runs_again()
    over = start_over("01")
    over.button.click()
    over.sure.yes.click()
    assert kept.written() == {}


def test_starting_over_says_what_it_could_not_wipe(my_wood, monkeypatch):
    box = ask("doyle-one-log")
    box.field.value = "1"
    over = start_over("01")
    over.button.click()
    full(monkeypatch)
    over.sure.yes.click()
    assert box.field.value == "" and "stands as before" in over.said and "disk is full" in over.said


def test_nothing_to_wipe_writes_nothing(my_wood):
    over = start_over("01")
    over.button.click()
    over.sure.yes.click()
    assert "starts over" in over.said and not my_wood.exists()


def test_a_page_that_opens_shows_what_was_written(my_wood):
    mine = guess(PROMPT, "bf")
    before = mine.still()
    assert before == question("Guess", PROMPT)
    mine.field.value = "150"
    words = {w["asked"]: w["typed"] for w in kept.written().values()}
    shown = with_words(f"<p>x</p>{before}<p>y</p>", words)
    assert "You wrote 150. Run this lesson to go on." in shown and shown.startswith("<p>x</p>")
    assert with_words(shown, {}) == f"<p>x</p>{before}<p>y</p>"


def _write_many(folder, name):
    os.environ[choices.VARIABLE] = folder
    for n in range(25):
        kept.keep(f"{name}-{n}", "01", "?", str(n))


def test_two_lessons_open_at_once_lose_nothing(my_wood):
    context = multiprocessing.get_context("spawn")
    jobs = [context.Process(target=_write_many, args=(str(my_wood), name)) for name in ("ash", "elm")]
    for job in jobs:
        job.start()
    for job in jobs:
        job.join(60)
        assert job.exitcode == 0
    assert {w["typed"] for w in kept.written().values()} == {str(n) for n in range(25)}
    assert len(kept.written()) == 50


WRITES = """
from woodcalc.lesson import kept
n = 0
while True:
    kept.keep(f"box-{n % 20}", "01", "?", str(n))
    print(n, flush=True)
    n += 1
"""


def test_nothing_confirmed_is_lost_when_the_engine_is_killed(my_wood):
    for n in range(12):
        child = subprocess.Popen([sys.executable, "-c", WRITES], stdout=subprocess.PIPE, text=True)
        child.stdout.readline()
        time.sleep(0.004 * n)
        child.send_signal(signal.SIGKILL)
        told = [int(line) for line in child.stdout.read().split()]
        child.wait()
        last = told[-1] if told else 0
        found = {box: int(words["typed"]) for box, words in kept.written().items()}
        for box in range(min(last + 1, 20)):
            newest = last - (last - box) % 20
            assert found[f"box-{box}"] in (newest, newest + 20), "told that it was kept"
        with locked(my_wood / "written.json", 1):  # the lock of one that died is gone
            pass
        (my_wood / "written.json").unlink()


def test_a_broken_file_is_told_with_its_name_and_place(my_wood):
    my_wood.mkdir()
    (my_wood / "written.json").write_text("[1]")
    with pytest.raises(SaveError, match=r"written.json can't be read.*stays as it is"):
        kept.keep("x", "01", "?", "1")


def test_half_a_letter_in_the_file_is_a_question_mark(my_wood):
    my_wood.mkdir()
    box = ask("doyle-one-log")
    box.field.value = "100"
    path = my_wood / kept.FILE
    path.write_text(path.read_text().replace('"100"', '"\\ud800 5"'))
    the_page_runs_again()
    assert ask("doyle-one-log").field.value == "? 5"


def test_a_guess_is_noted_as_it_was_written(my_wood):
    mine = guess("How many days?", "days")
    for typed, noted in (
        ("1/8", "1/8 days"),
        ("1 1/2 days", "1 1/2 days"),
        ("1e3", "1000 days"),
        ("12", "12 days"),
    ):
        mine.field.value = typed
        assert f"Noted: {noted}." in mine.said_line.value
