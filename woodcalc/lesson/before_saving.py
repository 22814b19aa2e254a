"""Readings asked about before they are saved: every form asks the same of them, with the same answers."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from woodcalc.lesson import row_words
from woodcalc.records.tried import unused_if_saved
from woodcalc.weighings import POUNDS

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.records.usable import OwnTables

CORRECT, SAVE_ANYWAY = "Correct it", "Save it all the same"
_UNLIKE = 5  # times what boards of one stack usually weigh, or a part of it: a moved point or another unit (judgment)
_HOLDS = re.compile(r"^Row \d+[:,] ")  # of a row that has no number yet

Rows = Sequence[tuple[str, Mapping[str, str]]]


def looks_wrong(found: OwnTables, rows: Rows, at: Sequence[int] = ()) -> list[str]:
    """Ask about readings that are typed and not saved yet; [] if all of them would be used and look right.

    Parameters
    ----------
    found : OwnTables
        The tables now.
    rows : sequence of (str, mapping of str to str)
        What each reading is called, and its cells; each good by itself.
    at : sequence of int, optional
        The row of the file in whose place each would stand; 0 for one that is added.

    Returns
    -------
    list of str

    Examples
    --------
    >>> from woodcalc import records
    >>> found = records.read_usable(records.KETTLE_HOLLOW)
    >>> row = {"date": "2025-08-01", "stack": "A", "board": "1-3", "kind": "weight", "value": "1.11", "unit": "lb"}
    >>> looks_wrong(found, [("Board 1-3", row)])[0].partition("). ")[2]
    'Is 11.1 meant, or is its first digit missing? It would not be used.'
    >>> looks_wrong(found, [("Board 1-3", {**row, "value": "11.1"})])
    []
    """
    said = []
    tried = unused_if_saved(found, [row for _, row in rows], at)
    for (name, row), problems in zip(rows, tried, strict=True):
        for problem in problems[:1]:
            told = _HOLDS.sub("", row_words.told(problem, "readings.csv"))
            said.append(f"{name}: {told} It would not be used.")
        if not problems and not _known(found, row):
            readings = found.tables.get("readings") if row["kind"] == "weight" else None
            said += unlike_its_mates(readings, row["stack"], row["board"], row["value"], row["unit"])
    return said


def _known(found, row):
    """True if the board of a reading has others in its stack."""
    readings = found.tables.get("readings")
    if readings is None or not row["board"]:
        return True
    mine = readings.loc[readings["stack"] == row["stack"], "board"]
    return bool((mine.str.casefold() == row["board"].strip().casefold()).any())


def unlike_its_mates(
    readings: pd.DataFrame | None, stack: str, board: str, value: str, unit: str
) -> list[str]:
    """Ask about a weight that is far from what the other boards of its stack weigh; [] if it is not, or none is known.

    Parameters
    ----------
    readings : DataFrame or None
    stack, board : str
    value, unit : str
        What was typed.

    Returns
    -------
    list of str

    Examples
    --------
    >>> from woodcalc import records
    >>> readings = records.read_usable(records.KETTLE_HOLLOW).tables["readings"]
    >>> unlike_its_mates(readings, "A", "9", "1.66", "lb")[0].partition("). ")[2]
    'Is 16.6 meant?'
    >>> unlike_its_mates(readings, "A", "9", "12.1", "lb")
    []
    """
    if readings is None or unit not in POUNDS or not re.fullmatch(r"\d*\.?\d+", value.strip()):
        return []
    typed = float(value)
    mates = readings[
        (readings["stack"] == stack)
        & (readings["kind"] == "weight")
        & (readings["board"].str.casefold() != board.casefold())
        & readings["unit"].isin(list(POUNDS))
    ]
    lb = mates["value"].astype(float) * mates["unit"].map(POUNDS)
    if lb.empty or not typed:
        return []
    usual = float(lb.groupby(mates["board"].str.casefold()).median().median()) / POUNDS[unit]
    if usual / _UNLIKE <= typed <= usual * _UNLIKE:
        return []
    near = [text for f in (10, 0.1, 100, 0.01) if 0.5 <= float(text := f"{typed * f:.6g}") / usual <= 2]
    units = [u for u in ("lb", "kg", "oz", "g") if 0.5 <= typed * POUNDS[u] / POUNDS[unit] / usual <= 2]
    asks = f"Is {near[0]} meant?" if near else "Is the number right?"
    asks += f" Or was it weighed in {units[0]}?" if units else ""
    times = "under a fifth of" if typed < usual else "over five times"
    return [
        f"Board {board}: {typed:g} {unit} is {times} what the other boards of stack {stack} weigh "
        f"(about {usual:.3g} {unit}). {asks}"
    ]
