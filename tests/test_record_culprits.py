"""Where several cells contradict each other, the one that is out of line is asked about, and the right ones are not."""

from datetime import date

import pytest

from woodcalc.lesson.box import plain
from woodcalc.lesson.doctor import doctor_panel
from woodcalc.records.usable import read_usable

TODAY = date(2026, 6, 30)
# A sample board as it dries, 9.32 lb oven-dry: Kettle Hollow's stack A (invented).
DAYS = ("2025-05-10", "2025-05-24", "2025-06-07", "2025-06-21", "2025-07-05")
WEIGHED = ("16.60", "14.90", "13.70", "12.70", "11.95")
STACK = "stack,species,nominal,place,stacked,start_mc_pct\nA,northern red oak,4/4,Madison,2025-05-10,{}\n"


@pytest.fixture
def mine(tmp_path, monkeypatch):
    monkeypatch.setenv("WOODCALC_MY_WOOD", str(tmp_path))
    return tmp_path


def put(folder, start="", dry="9.32", at=0, many=5):
    rows = [f"{day},A,1-3,weight,{lb},lb\n" for day, lb in zip(DAYS[:many], WEIGHED, strict=False)]
    rows.insert(at, f"2025-06-14,A,1-3,oven-dry,{dry},lb\n")
    (folder / "readings.csv").write_text("date,stack,board,kind,value,unit\n" + "".join(rows))
    (folder / "stacks.csv").write_text(STACK.format(start))
    return read_usable(folder, today=TODAY)


def test_nothing_is_asked_of_sound_rows(mine):
    assert put(mine).doubts == () and put(mine, at=3).doubts == ()


@pytest.mark.parametrize("start", ["8", "20", "30", "50", "120"])
@pytest.mark.parametrize("many", [1, 3, 5])
def test_a_wrong_moisture_at_stacking_is_asked_about_and_no_reading(mine, start, many):
    found = put(mine, start, many=many)
    for doubt in found.doubts:
        assert (doubt.file, doubt.column) == ("stacks.csv", "start_mc_pct"), doubt
    assert found.contradict == () and {found.verdict("readings.csv", row) for row in range(2, 3 + many)} == {
        "used"
    }
    assert found.doubts or start in ("50", "120")  # one reading or a few stand it
    page = plain(doctor_panel().said)
    assert "The newest is far wetter" not in page
    assert not found.doubts or f"Is {start} % right" in page


@pytest.mark.parametrize("dry", ["13.2", "12.3", "14.3", "6.1"])
@pytest.mark.parametrize("at", [0, 3, 5])
def test_an_oven_dry_weight_out_of_line_is_asked_about_alone(mine, dry, at):
    found = put(mine, dry=dry, at=at)
    (doubt,) = found.doubts
    assert (doubt.row, doubt.rivals, doubt.used) == (at + 2, (), False)
    assert "The weighings go with each other" in doubt.expected
