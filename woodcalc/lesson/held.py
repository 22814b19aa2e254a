"""What the bytes of a table hold, in words: how many rows, and what changes from one version to another."""

from __future__ import annotations

import csv
import difflib
import re
from functools import partial

from woodcalc.checks import count_of
from woodcalc.records.cells import as_measured, as_typed
from woodcalc.records.letters import NoTextError, before_the_end_is_empty, decoded
from woodcalc.records.sheet import taken_apart

SHOWN = 3  # rows told one by one
_LONGEST = 2_000  # letters of a line that are looked at
_LONG = re.compile(r"\d+\.\d{6,}")


def rows(data: bytes, table: str = "") -> str:
    """Say how many rows a table's bytes hold, the header not counted; of what is no table, what it is.

    Examples
    --------
    >>> rows(b"date,stack\\n2026-05-10,A\\n")
    '1 row'
    """
    told = _lines(data, table)
    n = _count(*told)
    return told[-1] or count_of(n, "row")


def count(data: bytes, table: str = "") -> int:
    """Return how many rows a table's bytes hold, good or not; neither the header nor what stands above it is one.

    Parameters
    ----------
    data : bytes
    table : str
        Which of the four, if that is known.

    Examples
    --------
    >>> count("our stacks\\ndate,stack,kind,value\\n2026-05-10,A,weight,12\\n,\\n".encode("utf-16"))
    1
    """
    return _count(*_lines(data, table))


def _count(told, sheet, _other):
    return len(sheet.row_numbers) if sheet else len(told[1:])


def _lines(data, table=""):
    """Return ((what it is called, text) of each line of a table that holds anything, the table taken apart or None,
    what it is if it is no text).
    """
    if sheet := taken_apart(data, table):
        above = [
            ("a line above the header", line) for line in sheet.text[: sheet.records[0].start].splitlines()
        ]
        called = ["the header", *(f"row {r.row}" for r in sheet.records[1:])]
        below = [
            (name, sheet.text[r.start : r.end].rstrip("\r\n"))
            for name, r in zip(called, sheet.records, strict=True)
            if r.cells
        ]
        return [line for line in above if line[1].strip()] + below, sheet, ""
    text, other = "", ""
    for part in (data, data.rstrip(b"\0")):  # a power cut leaves empty bytes at the end
        try:
            text, other = decoded(part)[0], ""
            break
        except NoTextError as error:
            other = error.found
    lines = enumerate([line for line in text.splitlines() if line.strip(" ,;\t")], 1)
    return [(f"row {n}" if n > 1 else "the header", line) for n, line in lines], None, other


def changes(now: bytes, then: bytes, table: str = "") -> list[str]:
    """Say in lines what changes if the bytes `then` take the place of `now`; an empty list if nothing does.

    Parameters
    ----------
    now, then : bytes
        Two versions of a table.
    table : str
        Which of the four, if that is known.

    Examples
    --------
    >>> changes(b"log,species\\n1,oak\\n2,ash\\n", b"log,species\\n1,red oak\\n")
    ['row 2: 1, oak becomes 1, red oak', 'row 3 goes out: 2, ash']
    """
    (a, sheet_now, other_now), (b, sheet_then, other_then) = _lines(now, table), _lines(then, table)
    was, is_ = (
        partial(_cells, kinds=_kinds(sheet), by=sheet.delimiter if sheet else "")
        for sheet in (sheet_now, sheet_then)
    )
    if other_now or other_then:
        return [] if now == then else [f"{rows(then, table)} in place of {rows(now, table)}"]
    x, y = [line for _, line in a], [line for _, line in b]
    same = next((n for n, (i, j) in enumerate(zip(x, y, strict=False)) if i != j), min(len(x), len(y)))
    said = ["the empty bytes at its end go out"] if damaged(now) and not damaged(then) else []
    for tag, i, j, k, m in difflib.SequenceMatcher(None, x[same:], y[same:], autojunk=False).get_opcodes():
        if tag == "equal":
            continue
        i, j, k, m = i + same, j + same, k + same, m + same
        pairs = min(j - i, m - k)
        said += [f"{a[i + n][0]}: {was(x[i + n])} becomes {is_(y[k + n])}" for n in range(pairs)]
        said += [f"{name} goes out: {was(line)}" for name, line in a[i + pairs : j]]
        said += [f"{name} comes back: {is_(line)}" for name, line in b[k + pairs : m]]
    more = len(said) - SHOWN
    return said if more <= 1 else [*said[:SHOWN], f"and {more} more rows"]


def _cells(line, kinds, by):
    """A line as a page shows it: its cells without their quotation marks."""
    line, by = line[:_LONGEST], by or max(",;\t", key=line.count)
    try:
        texts = next(csv.reader([line], delimiter=by, skipinitialspace=True), [])
    except csv.Error:
        texts = line.split(by)
    cells = ((i, text.strip()) for i, text in enumerate(texts))
    return ", ".join(measured(as_typed(cell), kinds.get(i, "")) for i, cell in cells if cell)[:120]


def _kinds(sheet):
    """{place of a column: "in" or "ft"}, of those that the file keeps in that unit."""
    kinds = {c.name: c.kind for c in sheet.columns if c.kind in ("in", "ft")} if sheet else {}
    return (
        {i: kinds[name] for name, i in sheet.place.items() if name in kinds and name not in sheet.units}
        if kinds
        else {}
    )


def measured(cell: str, kind: str) -> str:
    """Return a cell with a long decimal of feet or inches as it was likely measured; any other as it stands.

    Examples
    --------
    >>> measured("10.33333333", "ft"), measured("13.77952756", "in"), measured("10.33", "ft")
    ('10\\' 4"', '35 cm', '10.33')
    """
    return as_measured(float(cell), kind) if _LONG.fullmatch(cell) else cell


def damaged(data: bytes) -> bool:
    """True for text with empty bytes behind it."""
    return data.endswith(b"\0") and (not data.strip(b"\0") or bool(before_the_end_is_empty(data)))
