"""Choices: kept for the other lessons, checked, and never a reason for a lesson not to open."""

import pytest

from woodcalc import choices
from woodcalc.checks import InputError, RangeWarning
from woodcalc.keep import SaveError


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


@pytest.mark.parametrize("text", ["", "{", "[1, 2]", "12", '{"month": "soon"}', '{"species": "plastic"}'])
def test_a_spoiled_file_gives_the_usual_choices_and_says_so(my_wood, text):
    my_wood.mkdir()
    (my_wood / "choices.json").write_text(text)
    with pytest.warns(RangeWarning, match=r"choices\.json"):
        assert choices.read() == choices.Choices()
    choices.keep(month=6)
    assert choices.read().month == 6


def test_read_only_file(my_wood):
    choices.keep(month=6)
    (my_wood / "choices.json").chmod(0o444)
    with pytest.raises(SaveError, match="still there"):
        choices.keep(month=7)
    assert choices.read().month == 6
