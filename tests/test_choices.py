"""Choices: kept for the other lessons, checked, and never a reason for a lesson not to open."""

import json
import subprocess
import sys
import warnings

import pytest

from woodcalc import records
from woodcalc.checks import InputError, RangeWarning
from woodcalc.disk import SaveError
from woodcalc.records import choices, keep


@pytest.fixture(autouse=True)
def my_wood(tmp_path, monkeypatch):
    monkeypatch.setenv(choices.VARIABLE, str(tmp_path / "mine"))
    return tmp_path / "mine"


def test_usual_choices_and_no_file_made(my_wood):
    assert choices.read() == choices.Choices("Madison, WI", "northern red oak", "4/4", 5)
    assert not my_wood.exists()


def test_kept_one_at_a_time(my_wood):
    choices.keep(species="Hard maple")
    choices.keep(thickness="1.25", month=9)
    assert choices.read() == choices.Choices("Madison, WI", "sugar maple", "5/4", 9)
    assert choices.read().thickness_in == 1.25
    assert (my_wood / "choices.json").exists()


@pytest.mark.parametrize(
    "change",
    [{"species": "plastic"}, {"place": "Atlantis"}, {"thickness": "thick"}, {"month": 13}, {"color": "red"}],
)
def test_nonsense_is_refused_and_nothing_kept(my_wood, change):
    with pytest.raises(InputError):
        choices.keep(**change)
    assert not my_wood.exists()


@pytest.mark.parametrize(
    "data",
    [
        b"", b"{", b"[1, 2]", b"12", b"null", b"\xff\xfe{", b"\x00\x01", b"[" * 100_000, b'{"month": 5', b"\xff" * 40,
        b'{"month": "soon"}', b'{"species": "plastic"}', b'{"thickness": "48/4"}', b'{"thickness": "2/4"}',
        b'{"thickness": 1e300}', b'{"month": NaN}', b'{"month": Infinity}', b'{"month": null}', b'{"month": [5, 6]}',
        b'{"month": 5.5}', b'{"month": true}', b'{"month": 1e400}', b'{"place": ["Madison"]}', b'{"place": null}',
        b'{"place": 53703.5}', b'{"species": {}}', b'{"species": 7}',
        b'{"larger_print": "yes"}', b'{"keep_answers": 1}',
        b'{"place": "' + b"x" * 2_000_000 + b'"}',
    ],
)  # fmt: skip
def test_a_spoiled_file_gives_the_usual_choices_and_one_sentence(my_wood, data):
    my_wood.mkdir()
    (my_wood / "choices.json").write_bytes(data)
    with pytest.warns(RangeWarning, match=r"choices\.json") as said:
        assert choices.read() == choices.Choices()
    assert len(said) == 1 and len(str(said[0].message)) < 250
    assert (my_wood / "choices.json").read_bytes() == data
    choices.keep(
        place="Duluth, MN",
        species="sugar maple",
        thickness="8/4",
        month=6,
        larger_print=False,
        keep_answers=False,
    )
    assert choices.read() == choices.Choices("Duluth, MN", "sugar maple", "8/4", 6)
    assert [v.path.read_bytes() for v in keep.versions(my_wood / "choices.json")] == ([data] if data else [])


def test_all_that_is_wrong_is_said_at_once_and_the_rest_is_used(my_wood):
    my_wood.mkdir()
    (my_wood / "choices.json").write_text(
        '{"place": "Atlantis", "thickness": "48/4", "month": 9, "mill": "ours"}'
    )
    with pytest.warns(RangeWarning) as said:
        assert choices.read() == choices.Choices(month=9)
    assert [str(w.message) for w in said] == [
        "choices.json holds place 'Atlantis', thickness '48/4', which cannot be used; the usual choice stands in "
        "(Madison, WI, 4/4)"
    ]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le"])
def test_encodings_that_editors_write(my_wood, encoding):
    my_wood.mkdir()
    data = '{"month": 9, "note": "f\u00fcr uns"}'.encode(encoding)
    (my_wood / "choices.json").write_bytes(b"\xff\xfe" + data if encoding == "utf-16-le" else data)
    assert choices.read().month == 9
    choices.keep(thickness="8/4")
    assert choices.read() == choices.Choices(month=9, thickness="8/4")
    assert json.loads((my_wood / "choices.json").read_text())["note"] == "f\u00fcr uns"


def test_keeping_one_choice_loses_no_other(my_wood):
    my_wood.mkdir()
    path = my_wood / "choices.json"
    path.write_text('{"place": "Duluth, MN", "species": "plastic", "later": {"a": [1]}}')
    with pytest.warns(RangeWarning, match="plastic"):
        assert choices.keep(month=7) == choices.read()
    kept = json.loads(path.read_text())
    assert (kept["place"], kept["species"], kept["later"], kept["month"]) == (
        "Duluth, MN",
        "plastic",
        {"a": [1]},
        7,
    )


def test_a_file_that_cannot_be_read_or_a_folder_in_its_place(my_wood, monkeypatch):
    (my_wood / "choices.json").mkdir(parents=True)
    with pytest.warns(RangeWarning, match="cannot be read"):
        assert choices.read() == choices.Choices()
    with pytest.raises(SaveError, match=r"choices\.json was not saved"):
        choices.keep(month=7)


def test_the_folder_of_the_lesson_is_gone(tmp_path, monkeypatch):
    monkeypatch.delenv(choices.VARIABLE)
    here = tmp_path / "lessons"
    here.mkdir()
    monkeypatch.chdir(here)
    here.rmdir()
    with pytest.raises(InputError, match="is gone. Was it moved or deleted"):
        choices.folder()
    with pytest.warns(RangeWarning, match="is gone"):
        assert choices.read() == choices.Choices()
    with pytest.raises(InputError, match="is gone"):
        choices.keep(month=7)
    assert "is gone" in records.read_usable().problems[0].found
    assert records.folder() == records.KETTLE_HOLLOW
    monkeypatch.chdir(tmp_path)


def test_four_lessons_keep_at_once(my_wood):
    code = (
        "import sys; from woodcalc.records import choices; "
        "[choices.keep(**{sys.argv[1]: v}) for v in eval(sys.argv[2])]"
    )
    said = {"month": "[1, 2, 9]", "thickness": "['5/4', '8/4']", "species": "['white oak', 'sugar maple']"}
    children = [subprocess.Popen([sys.executable, "-c", code, name, values]) for name, values in said.items()]
    assert [child.wait(timeout=60) for child in children] == [0, 0, 0]
    assert choices.read() == choices.Choices(month=9, thickness="8/4", species="sugar maple")


def test_read_only_file(my_wood):
    choices.keep(month=6)
    (my_wood / "choices.json").chmod(0o444)
    with pytest.raises(SaveError, match="still there"):
        choices.keep(month=7)
    assert choices.read().month == 6


@pytest.mark.parametrize("left", [b"", b"{", b"\0" * 40, b'{"place": "Madison, WI",}'])
def test_what_was_typed_outlives_a_damaged_file_of_choices(my_wood, left):
    """A wood and a mill of one's own are in no list to pick from: the next choice writes them again."""
    choices.keep(month=5)
    path = my_wood / choices.FILE
    held = json.loads(path.read_text(encoding="utf-8"))
    held |= {choices.OWN_WOODS: {"my burr": {"kind": "hardwood"}}, "mill": {"kerf_in": 0.1}}
    path.write_text(json.dumps(held), encoding="utf-8")
    choices.keep(month=6)  # the version before has them, too
    path.write_bytes(left)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        choices.keep(month=7)
    now = json.loads(path.read_text(encoding="utf-8"))
    assert now["month"] == 7 and now["mill"] == {"kerf_in": 0.1} and "my burr" in now[choices.OWN_WOODS]


@pytest.mark.parametrize("answer", ["put back", "meant"])
def test_a_wood_that_an_older_file_takes_away_is_told_and_comes_back(my_wood, answer):
    path = my_wood / choices.FILE
    choices.keep(place="Burlington, VT")
    older = path.read_bytes()
    choices.keep_wood(name="Our mulberry", kind="hardwood", basic_sg=0.6)
    assert not choices.lost_parts()
    path.write_bytes(older)
    for month in range(1, 50):
        (part,) = choices.lost_parts()
        assert part.what == choices.OWN_WOODS and "Your wood Our mulberry is no longer in" in str(part)
        choices.keep(month=1 + month % 12)
    if answer == "meant":
        choices.lost_parts_meant()
        assert not choices.lost_parts() and not choices.kept_woods()
        return
    choices.bring_back(choices.lost_parts())
    assert not choices.lost_parts()
    assert [each["name"] for each in choices.kept_woods()] == ["Our mulberry"]
    assert choices.read().month == 2 and choices.read().place == "Burlington, VT"
    choices.take_out(choices.OWN_WOODS, "Our mulberry")
    assert not choices.lost_parts()


def test_an_older_file_that_takes_nothing_away_is_not_asked_about(my_wood):
    path = my_wood / choices.FILE
    choices.keep(month=3)
    older = path.read_bytes()
    choices.keep(month=4)
    path.write_bytes(older)
    choices.keep(month=6)
    for month in range(1, 50):
        choices.keep(month=1 + month % 12)
    assert not choices.lost_parts() and len(list((my_wood / "history").glob("*.json"))) <= 32
