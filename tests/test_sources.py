"""Every data file tells where it comes from."""

import pandas as pd
import pytest

from woodcalc import tables

FOLDER = tables.folder()
ALL = (p.relative_to(FOLDER) for p in FOLDER.rglob("*") if p.is_file())
FILES = sorted(
    p.as_posix() for p in ALL if p.parts[0] != "woodlots" and p.name not in ("SOURCES.csv", ".gitkeep")
)
SOURCES = pd.read_csv(FOLDER / "SOURCES.csv", keep_default_na=False, dtype=str)


def test_columns():
    assert list(SOURCES.columns) == ["file", "what", "publisher", "year", "source", "licence", "status"]


@pytest.mark.parametrize("name", FILES)
def test_file_has_a_row(name):
    assert (SOURCES["file"] == name).sum() >= 1


@pytest.mark.parametrize("name", sorted(set(SOURCES["file"])))
def test_row_has_a_file(name):
    assert (FOLDER / name).is_file()


@pytest.mark.parametrize("column", ["what", "publisher", "source", "licence", "status"])
def test_nothing_is_blank(column):
    blank = SOURCES.loc[SOURCES[column].str.strip() == "", "file"].tolist()
    assert blank == []


@pytest.mark.parametrize("name", [n for n in FILES if n.endswith(".csv")])
def test_file_is_a_clean_table(name):
    """UTF-8 without a byte-order mark, no blank or repeated column names, at least one row."""
    raw = (FOLDER / name).read_bytes()
    assert not raw.startswith(b"\xef\xbb\xbf")
    header = pd.read_csv(FOLDER / name, comment="#", header=None, nrows=1, dtype=str).iloc[0]
    assert header.notna().all() and header.is_unique
    assert len(pd.read_csv(FOLDER / name, comment="#")) >= 1
