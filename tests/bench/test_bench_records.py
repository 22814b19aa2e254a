"""Speed of the records: a long tally read, one row added to it."""

import pytest

from woodcalc import records

ROWS = 10_000


@pytest.fixture
def long_tally(tmp_path):
    path = tmp_path / "logs.csv"
    lines = (
        f"{i},{('white oak', 'Red Oak', 'Hard maple')[i % 3]},{8 + i % 20}.{i % 10},12\n" for i in range(ROWS)
    )
    path.write_text("log,species,small_in,length_ft\n" + "".join(lines))
    return path


def test_read_ten_thousand_rows(benchmark, long_tally):
    assert len(benchmark(records.read, long_tally)) == ROWS


def test_add_a_row_to_a_short_table(benchmark, tmp_path):
    path, row = tmp_path / "readings.csv", {"date": "2025-06-21", "stack": "A", "kind": "meter", "value": 22}
    frame = benchmark.pedantic(records.append, (path, row), rounds=20)
    assert len(frame) == 20
