"""Readings that are tried out before they are saved: what would become of them beside the others."""

from __future__ import annotations

import tempfile
from collections.abc import Collection, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from woodcalc.records.files import problems_in
from woodcalc.records.sheet import Sheet
from woodcalc.records.usable import read_usable

if TYPE_CHECKING:
    from woodcalc.records.columns import Problem
    from woodcalc.records.usable import OwnTables

_UNUSED = ("set aside", "left out")


def unused_if_saved(
    found: OwnTables, rows: Sequence[Mapping[str, str]], without: Collection[int] = ()
) -> list[list[Problem]]:
    """Return for each of several new readings why it would not be used, if they were saved.

    Parameters
    ----------
    found : OwnTables
        The tables now.
    rows : sequence of mapping
        The cells of the new readings, each good by itself.
    without : collection of int
        Rows of the readings that would be gone.

    Returns
    -------
    list of list of Problem
        Empty for a reading that would be used.

    Examples
    --------
    >>> from woodcalc import records
    >>> found = read_usable(records.KETTLE_HOLLOW)
    >>> row = {"date": "2025-04-01", "stack": "A", "board": "1-3", "kind": "weight", "value": "13", "unit": "lb"}
    >>> [[problem.column for problem in each] for each in unused_if_saved(found, [row])]
    [['date']]
    """
    sheet = found.sheets.get("readings") or Sheet.blank("readings.csv", "readings")
    for gone in sorted(without, reverse=True):
        sheet = sheet.with_row(None, gone)
    at = []
    for row in rows:
        sheet = sheet.with_row(problems_in(row, "readings")[0])
        at.append(max(sheet.row_numbers))
    with tempfile.TemporaryDirectory() as apart:
        for table, each in {**found.sheets, "readings": sheet}.items():
            (Path(apart) / f"{table}.csv").write_bytes(each.data)
        then = read_usable(apart, place=found.asked.place if found.asked else None)
    return [
        [
            p
            for p in (*then.problems, *then.doubts)
            if p.file == "readings.csv" and (p.row == row or row in p.rivals)
        ]
        if then.verdict("readings.csv", row) in _UNUSED
        else []
        for row in at
    ]


def unused_likeness(found: OwnTables, row: Mapping[str, str]) -> int:
    """Return the reading that is not used and that a new one seems to put right; 0 if there is none.

    It is of the same board and kind, and says the same weight on another day or another weight on the same day.

    Parameters
    ----------
    found : OwnTables
    row : mapping of str to str
        The cells of the new reading.

    Returns
    -------
    int
    """
    values, problems = problems_in(row, "readings")
    sheet = found.sheets.get("readings")
    if problems or sheet is None:
        return 0
    frame = sheet.rows()[0]
    like = frame[
        (frame["stack"] == values["stack"])
        & (frame["board"].str.casefold() == values["board"].casefold())
        & (frame["kind"] == values["kind"])
        & ((frame["date"] == values["date"]) | (frame["value"] == values["value"]))
    ]
    bad = [int(n) for n in like.index if found.verdict(sheet.name, n) in _UNUSED]
    return bad[-1] if bad else 0
