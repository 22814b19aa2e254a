"""Readings asked about before they are saved: every form asks the same of them, with the same answers."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from woodcalc import records
from woodcalc.lesson import row_words
from woodcalc.records.outside import open_elsewhere, outside
from woodcalc.records.sheet import cells_of
from woodcalc.records.tried import unused_if_saved, unused_likeness
from woodcalc.units import POUNDS

if TYPE_CHECKING:
    from pathlib import Path

    import pandas as pd

    from woodcalc.records.usable import OwnTables

CORRECT, SAVE_ANYWAY = "Correct it", "Save it all the same"
REPLACE, SAVE_BOTH = "Replace it", "Save both"
_UNLIKE = 5  # times what boards of one stack usually weigh, or a part of it: a moved point or another unit (judgment)
# Two boards of one stack lose nearly the same part of their weight between two weighings. They read like each other
# where the two parts differ by a tenth and more as they are written, and by a third of that or less exchanged; a board
# gains no more than 2 % (all judgment).
_APART, _BESIDE, _GAIN = 0.10, 1 / 3, 0.02
_A_ROW = {
    "oven-dry": "an oven-dry weight",
    "weight": "a weighing of that day",
    "meter": "a meter reading of that day",
}
# A sample board is cut 24 to 30 in long and a section 1 in (common practice), so it weighs as much as 24 to 30 of its
# sections. From a third of that, up to a whole board of 12 ft, nothing is asked; half to twice of it may be meant.
_SECTIONS, _SECTIONS_MEANT = (8, 150), (12, 60)
_HOLDS = re.compile(r"^Row \d+[:,] ")  # of a row that has no number yet


def of_the_file(path: Path, where: str = "In the form for your records") -> list[str]:
    """Say before a save that an older table came back, or that another program has it open; [] if none did.

    Parameters
    ----------
    path : Path
        The table.
    where : str
        Where that can be put right.

    Returns
    -------
    list of str

    Examples
    --------
    >>> of_the_file(records.KETTLE_HOLLOW / "readings.csv")
    []
    """
    over = outside(path)
    # rows that say something new stay asked about, whatever is saved; and a correction of them is the answer
    older = [part for part in over.parts if part.asks and not part.new] if over else []
    gone = [f"{part} {where} it can be put right." for part in older]
    return [*gone, *filter(None, [open_elsewhere(path)])]


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
            told = _HOLDS.sub("", row_words.told(replace(problem, about=""), "readings.csv"))
            said.append(f"{name}: {told} It would not be used.")
        if not problems and not _known(found, row):
            readings = found.tables.get("readings") if row["kind"] == "weight" else None
            said += unlike_its_mates(readings, row["stack"], row["board"], row["value"], row["unit"])
    return said + _swapped(found, [row for _, row in rows], at)


def in_its_place(found: OwnTables, name: str, row: Mapping[str, str]) -> tuple[int, str]:
    """Return (the row of the readings in whose place a new one may be meant, the question); (0, "") if there is none.

    That is a row that is not used and that the new one seems to put right, or one of the same board and day.

    Parameters
    ----------
    found : OwnTables
    name : str
        What the new reading is called.
    row : mapping of str to str
        Its cells, good by themselves.

    Returns
    -------
    tuple of (int, str)

    Examples
    --------
    >>> found = records.read_usable(records.KETTLE_HOLLOW)
    >>> row = {"date": "2025-05-10", "stack": "A", "board": "1-3", "kind": "weight", "value": "16.5", "unit": "lb"}
    >>> in_its_place(found, "Board 1-3", row)[1]
    'Board 1-3 has a weighing of that day already, 16.6 lb in row 4. Replace it with 16.5 lb?'
    """
    new = f"{row['value'].strip()} {row['unit']}"
    readings, values = found.tables.get("readings"), records.problems_in(row, "readings")[0]
    at = unused_likeness(found, row)
    if at and (readings is None or at not in readings.index or not _says(readings.loc[[at]], values).any()):
        told = row_words.short(cells_of(found.sheets["readings"], at))
        return at, f"{name}: row {at} is not used as it is: {told}. Replace it with {new} on {row['date']}?"
    if readings is None or not values["board"]:
        return 0, ""
    same = readings[_of_board(readings, values) & (readings["kind"] == values["kind"])]
    if values["kind"] != "oven-dry":
        same = same[same["date"] == values["date"]]
    if same.empty or _says(same, values).any():
        return 0, ""
    at = int(same.index[-1])
    there = row_words.cell(same.loc[at], "value").replace("\xa0", " ")
    return at, f"{name} has {_A_ROW[values['kind']]} already, {there} in row {at}. Replace it with {new}?"


def _says(rows, values):
    return (
        (rows["value"] == values["value"])
        & (rows["unit"] == values["unit"])
        & (rows["date"] == values["date"])
    )


def _of_board(readings, values):
    mine = readings["board"].str.casefold() == values["board"].casefold()
    return (readings["stack"] == values["stack"]) & mine


def _swapped(found, rows, at):
    """Ask of each two boards of a stack that read like each other on one day, one of them or both typed just now."""
    readings, said = found.tables.get("readings"), list[str]()
    if readings is None:
        return said
    readings = readings[readings["unit"].isin(list(POUNDS)) & (readings["board"] != "")]
    readings = readings.drop(index=[n for n in (*at, *found.left_out) if n in readings.index])
    readings = readings.assign(lb=readings["value"].astype(float) * readings["unit"].map(POUNDS))
    typed = [records.problems_in(row, "readings")[0] for row in rows]
    typed = [v for v in typed if v["kind"] == "weight" and v["board"] and v["unit"] in POUNDS]
    for k, one in enumerate(typed):
        day = readings[(readings["date"] == one["date"]) & (readings["kind"] == "weight")]
        there = [
            {"board": r.board, "lb": r.lb, "row": f" (row {r.Index})"}
            for r in day[(day["stack"] == one["stack"]) & ~_of_board(day, one)].itertuples()
        ]
        for v in typed[k + 1 :]:
            if (v["date"], v["stack"]) == (one["date"], one["stack"]):
                there.append({"board": v["board"], "lb": v["value"] * POUNDS[v["unit"]], "row": ""})
        for other in there:
            was, was_other = (_before(readings, {**one, "board": b}) for b in (one["board"], other["board"]))
            if (
                was
                and was_other
                and _exchanged(one["value"] * POUNDS[one["unit"]], other["lb"], was, was_other)
            ):
                a, b = one["board"], other["board"]
                said.append(
                    f"Board {a} reads like board {b}{other['row']}, and board {b} like board {a}. Swapped?"
                )
    return said


def _before(readings, values):
    """(What a board weighed last before a day, lb, True) or (its oven-dry weight, False); None if neither is known."""
    mine = readings[_of_board(readings, values)]
    weighed = mine[(mine["kind"] == "weight") & (mine["date"] < values["date"])].sort_values("date")
    some = weighed if len(weighed) else mine[mine["kind"] == "oven-dry"]
    return (float(some["lb"].iloc[-1]), len(weighed) > 0) if len(some) else None


def _exchanged(one, other, was, was_other):
    """True if two weights of one day go better with the boards the other way around."""
    (before, weighed), (before_other, weighed_other) = was, was_other
    if weighed != weighed_other:
        return False
    now, then = math.log(one / other), math.log(before / before_other)
    gain = max(one / before_other, other / before) - 1
    return (
        abs(now - then) >= _APART
        and abs(now + then) <= _BESIDE * abs(now - then)
        and not (weighed and gain > _GAIN)
    )


def _known(found, row):
    """True if the board of a reading has others in its stack."""
    readings = found.tables.get("readings")
    if readings is None or not row["board"]:
        return True
    return bool(_of_board(readings, {**row, "board": row["board"].strip()}).any())


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
    asks = _meant(typed, unit, (0.5 * usual, 2 * usual))
    times = "under a fifth of" if typed < usual else "over five times"
    return [
        f"Board {board}: {typed:g} {unit} is {times} what the other boards of stack {stack} weigh "
        f"(about {usual:.3g} {unit}). {asks}"
    ]


def _meant(weight, unit, likely):
    """Ask whether another number, or another unit, is meant by a weight that is out of a range (low, high)."""
    low, high = likely
    near = [f"{weight * f:.6g}" for f in (10, 0.1, 100, 0.01) if low <= float(f"{weight * f:.6g}") <= high]
    units = [u for u in ("lb", "kg", "oz", "g") if low <= weight * POUNDS[u] / POUNDS[unit] <= high]
    asks = f"Is {near[0]} meant?" if near else "Is the number right?"
    return f"{asks} Or was it weighed in {units[0]}?" if units else asks


def unlike_its_sections(weight: float, unit: str, sections_g: Sequence[float]) -> list[str]:
    """Ask about the weight of a sample board that its sections can hardly be cut from; [] if they can.

    Parameters
    ----------
    weight : float
        The board, right after cutting.
    unit : str
    sections_g : sequence of float
        The green weights of its sections, g.

    Returns
    -------
    list of str

    Examples
    --------
    >>> unlike_its_sections(1.66, "lb", [212, 198.5])[0].partition("). ")[2]
    'Is 16.6 meant?'
    >>> unlike_its_sections(16.6, "lb", [212, 198.5])
    []
    """
    section = sum(sections_g) / len(sections_g) * POUNDS["g"] / POUNDS[unit]
    times = weight / section
    low, high = _SECTIONS
    if low <= times <= high:
        return []
    few, many = _SECTIONS_MEANT
    asks = _meant(weight, unit, (few * section, many * section))
    return [
        f"The board weighs {weight:g} {unit}, as much as {times:.2g} of its sections. Most sample boards weigh as much "
        f"as 24 to 30 (24 to 30 in of board to a section of 1 in). {asks}"
    ]
