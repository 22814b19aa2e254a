"""Readings that are tried out before they are saved: what would become of them beside the others."""

from __future__ import annotations

import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from woodcalc.records.files import problems_in
from woodcalc.records.sheet import Sheet
from woodcalc.records.usable import read_usable

if TYPE_CHECKING:
    from woodcalc.records.columns import Problem
    from woodcalc.records.usable import OwnTables

_UNUSED = ("set aside", "left out")
_ANEW = "\0"  # what no cell holds: each is written anew


def unused_if_saved(
    found: OwnTables, rows: Sequence[Mapping[str, str]], at: Sequence[int] = ()
) -> list[list[Problem]]:
    """Return for each of several new readings why it would not be used, if they were saved.

    Parameters
    ----------
    found : OwnTables
        The tables now.
    rows : sequence of mapping
        The cells of the new readings, each good by itself.
    at : sequence of int, optional
        The row of the readings in whose place each would stand; 0 for one that is added.

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
    stand = []
    for row, there in zip(rows, at or [0] * len(rows), strict=True):
        values = problems_in(row, "readings")[0]
        sheet = sheet.with_row(values, there or None, dict.fromkeys(values, _ANEW) if there else None)
        stand.append(there or max(sheet.row_numbers))
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
        for row in stand
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
