"""Tables that are laid out otherwise than the book's: asked about once, and no cell of a row is lost by an answer."""

from datetime import date

import pytest

from woodcalc.lesson.box import plain
from woodcalc.lesson.doctor import doctor_panel
from woodcalc.records.questions import questions, settle
from woodcalc.records.usable import read_usable

TODAY = date(2026, 12, 1)


@pytest.fixture
def mine(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path))
    return tmp_path


def put(folder, table, text):
    path = folder / f"{table}.csv"
    path.write_text(text, encoding="utf-8", newline="")
    return path


def asked(folder):
    return questions(read_usable(folder, today=TODAY), TODAY)


def answer(folder, path, start):
    """Press the button whose words begin so, and read again."""
    found = [(q, a) for q in asked(folder) for a in q.answers if a.says.startswith(start)]
    assert len(found) == 1, [a.says for q in asked(folder) for a in q.answers]
    settle(path, *found[0])
    return read_usable(folder, today=TODAY).tables[path.stem]


# No header.


@pytest.mark.parametrize(
    ("table", "text", "says"),
    [
        ("logs", "1,red oak,14,12\n2,ash,15,12\n3,ash,16,12\n", "log 1, species red oak, small_in 14, length_ft 12"),
        ("logs", "1;red oak;14,5;12\n2;ash;15,5;12\n", "log 1, species red oak, small_in 14,5, length_ft 12"),
        ("logs", "red oak,14.5,10\nash,15,12\n", "species red oak, small_in 14.5, length_ft 10"),
        ("logs", "# from the yard\n1,ash,14,16,12\n2,ash,15,18,12\n", "log 1, species ash, small_in 14, large_in 16"),
        ("boards", "1-1,1,ash,4/4,7.5,10\n1-2,1,ash,4/4,8,10\n", "board 1-1, log 1, species ash, nominal 4/4"),
        ("stacks", "A,ash,4/4,Madison,2026-05-10\n", "stack A, species ash, nominal 4/4, place Madison, stacked 20"),
        (
            "readings",
            "2026-05-10,A,1,weight,16.6,lb\n2026-06-10,A,1,weight,14,lb\n",
            "date 2026-05-10, stack A, board 1, kind weight, value 16.6, unit lb",
        ),
        ("logs", "14,12,ash\n15,12,ash\n", "small_in 14, length_ft 12, species ash"),
    ],
)  # fmt: skip
def test_a_header_is_put_above_a_table_that_has_none(mine, table, text, says):
    path = put(mine, table, text)
    (question,) = asked(mine)
    assert question.asks.startswith("There is no header. Is the first row a ")
    before = text.splitlines()
    frame = answer(mine, path, f"Yes: {says}")
    after = path.read_text(encoding="utf-8").splitlines()
    assert [line for line in after if line in before] == before and len(after) == len(before) + 1
    assert len(frame) == sum(not line.startswith("#") for line in before)


def test_a_table_without_a_header_is_told_in_one_question(mine):
    put(mine, "logs", "1,red oak,14,12\n2,ash,15,12\n3,ash,16,12\n")
    page = doctor_panel()
    assert [says for says in page.buttons if says != "Look again"] == [
        "Yes: log 1, species red oak, small_in 14, length_ft 12"
    ]
    assert "There is no header. Is the first row a log? Then a header is put above it." in plain(page.said)


@pytest.mark.parametrize("text", ["1,red oak,14\n2,ash,15\n", "1,oka,14,12\n2,ash,15,12\n", "1,14,,12\n2,15,,12\n"])
def test_no_name_is_written_over_a_cell_of_a_row(mine, text):
    put(mine, "logs", text)
    assert not [a.says for q in asked(mine) for a in q.answers]
    assert "no header" in plain(doctor_panel().said) or "no such column" in plain(doctor_panel().said)


def test_a_header_with_odd_names_is_still_one(mine):
    put(mine, "logs", "log,what,thick,far\n1,ash,14,12\n2,ash,15,12\n")
    assert [a.says for q in asked(mine) for a in q.answers if a.says == "'what' is species"]
