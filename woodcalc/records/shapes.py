"""A table that is not laid out as the book reads it: its header, its cells, and rows that are none."""

from __future__ import annotations

import itertools
import math
import re
from typing import TYPE_CHECKING

from woodcalc.checks import InputError
from woodcalc.dates import date_of, open_orders
from woodcalc.records.amounts import weight_and_scale
from woodcalc.records.cells import (
    UNIT_WORDS,
    WEIGHT_WORDS,
    as_text,
    csv_text,
    header_parts,
    header_words,
    inert,
    number,
    unit_fits,
)
from woodcalc.records.columns import MARKS, TABLES
from woodcalc.records.letters import encoded

if TYPE_CHECKING:
    from woodcalc.records.columns import Column
    from woodcalc.records.sheet import Sheet

MOSTLY = 0.8  # of a column's cells: the others may be slips
_LOOKED_AT = 200  # rows
_TRIED = 60  # headers that are tried, in the order of the book's columns
_HEADERS = 3  # that are offered


def fits(sheet: Sheet, column: Column, text: str) -> bool:
    """Return whether a text would do in a column.

    Parameters
    ----------
    sheet : Sheet
        Of which file: its signs for points and cells count.
    column : Column
    text : str
        Not empty.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> sheet = Sheet.blank("logs.csv", "logs")
    >>> [fits(sheet, column, "14") for column in sheet.columns[:3]]
    [True, False, True]
    """
    if column.kind == "date":
        return bool(open_orders(text)) or any(date_of(text, order)[0] for order in ("mdy", "dmy"))
    if column.name == "value":
        text = weight_and_scale(text)[0] or text
    return not sheet.in_cell(column, text)[1]


def could_be(sheet: Sheet, i: int, column: Column, head: bool = False) -> bool:
    """Return whether nearly all cells below each other would do in a column.

    Parameters
    ----------
    sheet : Sheet
    i : int
        Which of the file's columns.
    column : Column
        Which of the table's.
    head : bool
        True if the first row is no header and must do, too.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> sheet = Sheet.parse(b"thing,species\\n14,ash\\n", "logs.csv", "logs", whole=False)
    >>> could_be(sheet, 0, sheet.columns[2]), could_be(sheet, 0, sheet.columns[2], head=True)
    (True, False)
    """
    rows = [r.cells[i].strip() if i < len(r.cells) else "" for r in sheet.records[not head :]]
    if head and rows[0] and not fits(sheet, column, rows[0]):
        return False
    texts = [text for text in rows if text][:_LOOKED_AT]
    if column.kind == "text":
        return column.name != "note" and bool(texts) and max(map(len, texts)) <= 24
    return bool(texts) and sum(fits(sheet, column, text) for text in texts) >= MOSTLY * len(texts)


def headless(sheet: Sheet) -> bool:
    """Return whether the first row holds data: two of its cells, or more, are numbers, dates, woods or thicknesses.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> headless(Sheet.parse(b"1,red oak,14,12\\n", "logs.csv", "logs", whole=False))
    True
    >>> headless(Sheet.blank("logs.csv", "logs"))
    False
    """
    telling = [c for c in sheet.columns if c.kind not in ("text", "choice")]
    cells = [text for c in sheet.records[0].cells if (text := c.strip())]
    told = sum(any(fits(sheet, column, text) for column in telling) for text in cells)
    return told >= 2 and 2 * told >= len(cells)


def headers(sheet: Sheet) -> list[tuple[str, ...]]:
    """Return the headers that go with a table that has none, the likeliest first; [] if none does.

    Parameters
    ----------
    sheet : Sheet
        Taken apart with its first row as a header.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> headers(Sheet.parse(b"1,red oak,14,12\\n2,white ash,15,12\\n", "logs.csv", "logs", whole=False))[0]
    ('log', 'species', 'small_in', 'length_ft')
    """
    filled = [
        i
        for i in range(max(len(r.cells) for r in sheet.records))
        if any(i < len(r.cells) and r.cells[i].strip() for r in sheet.records)
    ]
    needed = {c.name for c in sheet.columns if c.needed}
    can = [[c for c in sheet.columns if c.name == "note" or could_be(sheet, i, c, head=True)] for i in filled]
    if len(filled) < len(needed) or not all(can) or needed - {c.name for some in can for c in some}:
        return []
    at = {c.name: k for k, c in enumerate(sheet.columns)}

    def ways(some, taken):
        if not some:
            yield taken
            return
        for column in some[0]:
            missing = needed - {*taken, column.name}
            if column.name not in taken and len(missing) < len(some):
                yield from ways(some[1:], (*taken, column.name))

    def in_order(names):
        return all(at[a] < at[b] for a, b in itertools.pairwise(names))

    some = [names for names in itertools.islice(ways(can, ()), 20_000) if needed <= {*names}]
    ordered = [names for names in some if in_order(names)]  # people write a table much as the book does
    top = sheet.records[: _LOOKED_AT + 1][-1].end
    few = sheet.parse(
        encoded(sheet.text[:top], sheet.encoding, sheet.name), sheet.name, sheet.table, whole=False
    )
    tried: list[tuple[int, int, tuple[str, ...]]] = []
    for names in sorted(ordered or some, key=lambda names: sum(at[name] for name in names))[:_TRIED]:
        cells = dict(zip(filled, names, strict=True))
        head = tuple(cells.get(i, "") for i in range(filled[-1] + 1))
        try:
            frame, _ = few.parse(with_head(few, head), sheet.name, sheet.table).rows()
        except InputError:
            continue
        if sheet.records[0].row + 1 in frame.index:  # the first row is read
            tried.append((-len(frame), len(tried), head))
    best = min(tried, default=(0, 0, ()))[0]
    return [head for many, _, head in sorted(tried) if many == best][:_HEADERS]


def with_head(sheet: Sheet, names: tuple[str, ...]) -> bytes:
    """Return the file's bytes with a header above its first row.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> sheet = Sheet.parse(b"red oak,14,12\\n", "logs.csv", "logs", whole=False)
    >>> with_head(sheet, ("species", "small_in", "length_ft"))
    b'species,small_in,length_ft\\nred oak,14,12\\n'
    """
    start = sheet.records[0].start
    head = csv_text([names], sheet.delimiter, sheet.newline)
    return encoded(sheet.text[:start] + head + sheet.text[start:], sheet.encoding, sheet.name)


# What else than the small end inside the bark a header may speak of, the surer first
_MEASURES = {
    "breast": {"dbh", "gbh", "cbh", "breast", "d_b_h"},
    "butt": {"butt", "stump"},
    "middle": {"mid", "middle", "midpoint", "midlength", "center", "centre"},
    "around": {"girth", "circumference", "circumf", "circ", "around"},
    "radius": {"radius", "rad"},
    "outside": {"dob", "ob", "outside", "over_bark", "with_bark", "incl_bark", "d_o_b"},
}


def measured(head: str) -> str:
    """Return what of a log a header speaks of, if it is not its small end inside the bark; "" if it does not say.

    Examples
    --------
    >>> measured("Girth (in)"), measured("girth at breast height"), measured("d.b.h. (in)"), measured("diameter")
    ('around', 'breast', 'breast', '')
    >>> measured("radius"), measured("Diameter OB"), measured("diameter at butt"), measured("mid diameter")
    ('radius', 'outside', 'butt', 'middle')
    """
    name = f"_{header_parts(head)[0]}_"
    return next((of for of, words in _MEASURES.items() if any(f"_{word}_" in name for word in words)), "")


_COUNTS = re.compile(
    r"(?:(?:qty|quantity|count|pcs|pieces|how_many)|(?:number|no|num|nr)_of)(?:_(?:boards|logs|pieces|pcs|planks))?"
)
_MOST_OF_ONE, _MOST_WRITTEN = 500, 5_000  # of one row, of a table: more is no count of pieces


def is_count(head: str) -> bool:
    """Return whether a header says how many pieces a row stands for.

    Examples
    --------
    >>> is_count("Qty"), is_count("# of boards"), is_count("pcs."), is_count("piece"), is_count("no")
    (True, True, True, False, False)
    """
    return bool(_COUNTS.fullmatch(header_words(head)))


def counted(sheet: Sheet) -> tuple[int, dict[int, int]] | None:
    """Return (the column of the file that says how many pieces, {row: how many, if more than one}); None if none does.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> counted(Sheet.parse(b"species,small_in,length_ft,qty\\nash,14,12,3\\nash,15,12,1\\n", "logs.csv", "logs"))
    (3, {2: 3})
    """
    if sheet.table not in ("logs", "boards"):
        return None
    for i in (i for name, i in sheet.extra.items() if is_count(name)):
        many = {}
        for r in sheet.records[1:]:
            m = re.fullmatch(r"(\d{1,3})(?:\.0*)?", r.cells[i].strip()) if i < len(r.cells) else None
            if m and 1 < int(m[1]) <= _MOST_OF_ONE:
                many[r.row] = int(m[1])
        if many and sum(many.values()) <= _MOST_WRITTEN:
            return i, many
    return None


def written_out(sheet: Sheet, i: int, many: dict[int, int]) -> bytes:
    """Return the file's bytes with a row for each piece: its mark with a number, its board feet worked out anew.

    Parameters
    ----------
    sheet : Sheet
    i : int
    many : dict of int to int
        Both as from `counted`.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> sheet = Sheet.parse(b"log,species,small_in,length_ft,qty\\n7,white ash,14,12,2\\n", "logs.csv", "logs")
    >>> written_out(sheet, *counted(sheet)).decode().splitlines()[1:]
    ['7,white ash,14,12,1', '7 (2),white ash,14,12,1']
    """
    mark = sheet.place.get(MARKS[sheet.table])

    def pieces(row, cells):
        for k in range(1, many[row] + 1):
            new = {i: "1"}
            if k > 1 and mark is not None and cells[mark].strip():
                new[mark] = f"{cells[mark].strip()} ({k})"
            yield new

    return _multiplied(sheet, many, pieces)


def _multiplied(sheet, rows, pieces):
    """The file's bytes with several rows for each of some: `pieces(row, cells)` yields the cells that each changes.

    Board feet are of all of them together: they are worked out anew.
    """
    feet = sheet.place.get("board_feet")
    out, end = [], 0
    for r in sheet.records:
        if r.row in rows:
            lines = []
            for new in pieces(r.row, r.cells):
                cells = list(r.cells)
                for at, text in new.items():
                    cells[at] = text
                if feet is not None and feet < len(cells):
                    cells[feet] = ""
                lines.append(cells)
            out += [sheet.text[end : r.start], csv_text(lines, sheet.delimiter, sheet.newline)]
            end = r.end
    return encoded("".join(out) + sheet.text[end:], sheet.encoding, sheet.name)


_THROUGH = re.compile(r"(.*?)(\d+)\s*(?:thru|through|to|\.\.+)\s*(.*?)(\d+)", re.I)
_BOTH = re.compile(r"(.*\d.*?)\s*(?:&|\+|,|\band\b)\s*(.*\d.*)", re.I)
_TIMES = re.compile(r"(.+?)\s*(?:\(\s*x\s*(\d+)\s*\)|\bx\s*(\d+))", re.I)
_HYPHEN = re.compile(r"(\d+)-(\d+)")
_ONE_NAME = "board "  # before a mark says that it is one board's


def several_boards(sheet: Sheet) -> dict[int, list[str]]:
    """Return {row: the marks of the boards that its one mark seems to speak of}; the book's own 1-3 is none such.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> marks = ("1-1 thru 1-3", "7-10", "11 (x3)", "3 & 4", "1-3", "board 5 & 6")
    >>> text = "board,log,species,nominal,width_in,length_ft\\n" + "".join(f"{m},1,ash,4/4,7,12\\n" for m in marks)
    >>> list(several_boards(Sheet.parse(text.encode(), "boards.csv", "boards")).values())
    [['1-1', '1-2', '1-3'], ['7', '8', '9', '10'], ['11', '11 (2)', '11 (3)'], ['3', '4']]
    """
    if sheet.table != "boards" or "board" not in sheet.place or sheet.header_problems:
        return {}
    marks = {
        row: re.sub("[\u2010-\u2015]", "-", sheet.cell(row, "board")) for row in sorted(sheet.row_numbers)
    }
    found = {row: some for row, mark in marks.items() if (some := _spoken_of(mark))}
    for row, mark in marks.items():
        if not (m := _HYPHEN.fullmatch(mark)) or not 1 < int(m[2]) - int(m[1]) + 1 <= _MOST_OF_ONE:
            continue
        log = sheet.cell(row, "log")
        others = [other for n, other in marks.items() if n != row and n not in found and other]
        if log not in ("", m[1]) or (not log and others and all(other.isdecimal() for other in others)):
            found[row] = [str(n) for n in range(int(m[1]), int(m[2]) + 1)]
    return dict(sorted(found.items()))


def _spoken_of(mark):
    """The marks that one is made of, by words or signs that say so."""
    if mark.lower().startswith(_ONE_NAME) or len(mark) > 60:
        return []
    if m := _THROUGH.fullmatch(mark):
        begin, first, again, last = m.groups()
        many = int(last) - int(first) + 1
        return (
            [f"{begin}{int(first) + k}" for k in range(many)]
            if again in ("", begin) and 1 < many <= _MOST_OF_ONE
            else []
        )
    if m := _TIMES.fullmatch(mark):
        many = int(m[2] or m[3])
        return [m[1], *(f"{m[1]} ({k})" for k in range(2, many + 1))] if 1 < many <= _MOST_OF_ONE else []
    if m := _BOTH.fullmatch(mark):
        before = _spoken_of(m[1]) or [m[1]]
        return [*before, *(_spoken_of(m[2]) or [m[2]])]
    return []


def board_by_board(sheet: Sheet, many: dict[int, list[str]]) -> bytes:
    """Return the file's bytes with a row for each board that a mark speaks of, its board feet worked out anew.

    Parameters
    ----------
    sheet : Sheet
    many : dict of int to list of str
        As from `several_boards`.
    """
    mark = sheet.place["board"]
    return _multiplied(sheet, many, lambda row, _: ({mark: inert(each)} for each in many[row]))


_ACROSS = {"around": 1 / math.pi, "radius": 2.0}  # of what is measured, and can be turned into a diameter


def diameters(sheet: Sheet, i: int, of: str, unit: str, bark_in: float) -> dict[int, str]:
    """Return {row: its log's diameter inside the bark (in)} from a column of distances around, or of radii.

    Parameters
    ----------
    sheet : Sheet
    i : int
        The column of the file.
    of : str
        ``"around"`` or ``"radius"``, as from `measured`.
    unit : str
        In which it was measured: ``"in"``, ``"ft"``, ``"cm"``, ``"mm"`` or ``"m"``.
    bark_in : float
        How thick the bark is (in), taken off on both sides; 0 if it was off already.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> sheet = Sheet.parse(b"log,girth\\n1,44\\n2,50\\n", "logs.csv", "logs", whole=False)
    >>> diameters(sheet, 1, "around", "in", 0.5)
    {2: '13', 3: '14.9'}
    """
    out = {}
    for r in sheet.records[1:]:
        text = r.cells[i].strip() if i < len(r.cells) else ""
        size_in = number(text, "in", unit, ".")[0] if text else None
        size = 0 if size_in is None else math.floor(10 * (size_in * _ACROSS[of] - 2 * bark_in) + 1e-9) / 10
        if size > 0:  # to the tenth below: no board is planned from bark
            out[r.row] = as_text(size)
    return out


_APART = {  # what may stand between cells, as it is called, and as it is found; the first that reads more rows
    "bars (|)": re.compile(r"\s*\|\s*"),
    "tabs, often two or more": re.compile(r" *\t+ *"),
    "runs of blanks": re.compile(r" {2,}|\t"),
    "colons": re.compile(r"\s*:\s*"),
}
_RULED = re.compile(r"[\s|:+=-]*-[\s|:+=-]*")  # a line under a header


def set_apart(sheet: Sheet) -> tuple[str, bytes, int] | None:
    """Return (what stands between the cells, the file's bytes with commas there, rows read then), or None.

    Where blanks stand between them an empty cell cannot be seen: a file with uneven rows has no bytes, b"".

    Parameters
    ----------
    sheet : Sheet
        Taken apart at commas, semicolons or single tabs.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> data = b"log | species | small_in | length_ft\\n1 | white ash | 14 | 12\\n"
    >>> set_apart(Sheet.parse(data, "logs.csv", "logs", whole=False))
    ('bars (|)', b'log,species,small_in,length_ft\\n1,white ash,14,12\\n', 1)
    """
    lines = sheet.text[sheet.records[0].start :].splitlines()
    if not any(apart.search(lines[0].strip()) for apart in _APART.values()):
        return None
    now = 0 if sheet.header_problems else len(sheet.rows()[0])
    for name, apart in _APART.items():
        if not apart.search(lines[0].strip()):
            continue
        rows = [_cells(line, apart) for line in lines if not (line.strip() and _RULED.fullmatch(line))]
        by = ";" if any("," in cell for row in rows for cell in row) else ","
        text = sheet.text[: sheet.records[0].start] + csv_text(rows, by, sheet.newline)
        data = encoded(text, sheet.encoding, sheet.name)
        try:
            other = sheet.parse(data, sheet.name, sheet.table, whole=False)
        except InputError:
            continue
        if other.header_problems:  # it still has a column to be asked about
            there = len(other.row_numbers) if len(other.place) > max(1, len(sheet.place)) else 0
        else:
            there = len(other.rows()[0])
        if there > now:
            uneven = apart is not _APART["bars (|)"] and len({len(row) for row in rows if any(row)}) > 1
            return name, b"" if uneven else data, there
    return None


def _cells(line, apart):
    line = line.strip()
    if "|" in apart.pattern:
        line = line.removeprefix("|").removesuffix("|").strip()
    return apart.split(line)


def looks_like(sheet: Sheet) -> str:
    """Return another of the four tables if the header is that one's, and not this one's; "" if it is none.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> looks_like(Sheet.parse(b"stack,species,nominal,stacked\\n", "logs.csv", "logs", whole=False))
    'stacks'
    """
    if not sheet.header_problems:
        return ""
    for table in TABLES:
        if table != sheet.table:
            other = sheet.parse(sheet.data, sheet.name, table, whole=False)
            if not other.header_problems:
                return table
    return ""


def board_columns(sheet: Sheet) -> list[str]:
    """Return the headers of columns that each hold the weighings of one board: "board 1", "board 2".

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> data = b"date,stack,board 1,board 2\\n2026-07-12,A,16.1,15.2\\n"
    >>> board_columns(Sheet.parse(data, "readings.csv", "readings", whole=False))
    ['board 1', 'board 2']
    """
    if sheet.table != "readings" or not sheet.header_problems:
        return []
    value = next(c for c in sheet.columns if c.name == "value")
    heads = enumerate(c.strip() for c in sheet.records[0].cells)
    named = [head for i, head in heads if _ONE_BOARD.fullmatch(head) and could_be(sheet, i, value)]
    return named if len(named) > 1 else []


_ONE_BOARD = re.compile(
    r"(?:sample[\s_]*)?(?:(?:board|sample|piece|b|s|no\.?)(?:[\s._#-]+\w{1,4}|\d[\w-]{0,3})|#\s*\w{1,4})"
    r"(?:[\s_]*\(?(?:lbs?|kg|g|oz|%|pct)\)?)?|\d+(-\d+)?",
    re.I,
)


def headers_again(sheet: Sheet) -> list[int]:
    """Return the rows that hold the header once more.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> text = b"species,small_in,length_ft\\nash,14,12\\nSpecies,small_in,length_ft\\nash,15,12\\n"
    >>> headers_again(Sheet.parse(text, "logs.csv", "logs"))
    [3]
    """
    head = [header_words(c) for c in sheet.records[0].cells]
    again = []
    for r in sheet.records[1:]:
        said = [(header_words(c), h) for c, h in zip(r.cells, head, strict=False) if c.strip()]
        if len(said) > 1 and all(word == h for word, h in said):
            again.append(r.row)
    return again


def units_row(sheet: Sheet) -> tuple[int, dict[str, str]] | None:
    """Return (the row under the header that names units, {column: its unit}); None if there is none.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> text = b"species,small_in,length_ft\\n,cm,m\\nash,36,3.6\\n"
    >>> units_row(Sheet.parse(text, "logs.csv", "logs"))
    (2, {'small_in': 'cm', 'length_ft': 'm'})
    """
    first = next((r for r in sheet.records[1:] if r.cells), None)
    if first is None or sheet.header_problems:
        return None
    texts = {i: header_words(f"x ({c})").removeprefix("x_") for i, c in enumerate(first.cells) if c.strip()}
    words = UNIT_WORDS | WEIGHT_WORDS
    if not texts or any(word not in words for word in texts.values()):
        return None
    said = {}
    for column in sheet.columns:
        unit = words.get(texts.get(sheet.place.get(column.name, -1), ""), "")
        weighed = column.name == "value" and unit in WEIGHT_WORDS
        if unit and column.numeric and (weighed or unit_fits(column.kind, unit)):
            said[column.name] = unit
    return first.row, said


_SAME = {'"', "\u201d", "\u201c", "''", "\u3003", "ditto", '-"-', "-''-"}
_SAME_IN_NUMBERS = {*_SAME, "do", "do.", "dto", "dto.", "same", "as above", "idem"}
_LONE_MARK = r"(?<={by})([ ]*)\"([ ]*)(?={by}|[\r\n]|$)"


def as_above(sheet: Sheet) -> tuple[int, frozenset[int], bytes] | None:
    """Return (cells that say only "the same as above", their rows, the file's bytes with that written out), or None.

    Examples
    --------
    >>> from woodcalc.records.sheet import Sheet
    >>> text = b'log,species,small_in,length_ft\\n1,white ash,14,12\\n2,",15,12\\n3,ditto,16,12\\n'
    >>> many, rows, data = as_above(Sheet.parse(text, "logs.csv", "logs"))
    >>> many, data.decode().splitlines()[2:]
    (2, ['2,white ash,15,12', '3,white ash,16,12'])
    """
    said = sheet.text.lower()
    if sheet.header_problems or not any(mark in said for mark in _SAME_IN_NUMBERS):
        return None
    words = sheet
    lone = re.compile(_LONE_MARK.format(by=re.escape(sheet.delimiter)))
    if lone.search(sheet.text):  # a mark by itself opens a quotation for the reader of the file
        text = lone.sub(r"\1ditto\2", sheet.text)
        try:
            words = sheet.parse(encoded(text, sheet.encoding, sheet.name), sheet.name, sheet.table)
        except InputError:
            return None
    cells: dict[str, dict[int, str]] = {}
    for column in words.columns:
        if column.name == "note" or column.name == MARKS.get(words.table) or column.name not in words.place:
            continue
        marks, above = (_SAME if column.kind == "text" else _SAME_IN_NUMBERS), ""
        for row in sorted(words.row_numbers):
            text = words.cell(row, column.name)
            if text.lower() not in marks:
                above = text
            elif above:
                cells.setdefault(column.name, {})[row] = above
    if not cells:
        return None
    filled = words
    for name, texts in cells.items():
        filled = filled.with_cells(texts, name)
    now, then = sheet.rows(), filled.rows()
    if words is not sheet and len(then[0]) <= len(now[0]):
        return None
    rows = {row for texts in cells.values() for row in texts}
    if words is not sheet:  # its rows are torn, and counted otherwise
        rows = {p.row for p in now[1] if p.row}
    return sum(len(texts) for texts in cells.values()), frozenset(rows), filled.data
