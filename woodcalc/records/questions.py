"""What a whole table leaves open, asked once, each answer a button: letters, headers, units, dates."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from woodcalc.checks import InputError, count_of
from woodcalc.dates import calendar_day, date_of, month_of, open_orders
from woodcalc.disk import ChangedError, locked
from woodcalc.records.cells import (
    CHOICE_WORDS,
    DAY_COUNT,
    WEIGHT_WORDS,
    YEARLESS,
    as_text,
    header_parts,
    number,
    open_sign,
    unit_fits,
)
from woodcalc.records.columns import ALL, MARKS, TABLES, Problem, RecordsError, rows_named
from woodcalc.records.keep import content, fingerprint, save
from woodcalc.records.letters import CODES, before_the_end_is_empty, read_as, readings
from woodcalc.records.measures import STUBBY_FT, STUBBY_IN, big_as_in_cm, short_as_in_m, stubby
from woodcalc.records.shapes import (
    as_above,
    board_by_board,
    board_columns,
    could_be,
    counted,
    diameters,
    headers,
    headers_again,
    headless,
    is_count,
    looks_like,
    measured,
    set_apart,
    several_boards,
    units_row,
    with_head,
    written_out,
)
from woodcalc.records.sheet import Sheet, file_bytes
from woodcalc.units import CM_PER_IN, M_PER_FT, POUNDS

if TYPE_CHECKING:
    from woodcalc.records.columns import Column
    from woodcalc.records.usable import OwnTables


@dataclass(frozen=True)
class Answer:
    """One answer: what its button says, and the file's bytes if it is given."""

    says: str
    write: Callable[[], bytes] = field(repr=False, compare=False)


@dataclass(frozen=True)
class Question:
    """Something that a whole table leaves open.

    Attributes
    ----------
    file : str
    asks : str
        In words.
    answers : tuple of Answer
    column : str
        Whose cells it settles; "" if it is not about cells.
    rows : frozenset of int
        The rows that wait for it.
    version : str
        The fingerprint of what the file held.
    """

    file: str
    asks: str
    answers: tuple[Answer, ...]
    column: str = ""
    rows: frozenset[int] = frozenset()
    version: str = ""

    def covers(self, problem: Problem) -> bool:
        """Return whether an answer settles this problem: then it need not be told row by row."""
        if problem.file != self.file:
            return False
        if problem.row in self.rows:
            return self.column in (problem.column, ALL)
        return bool(self.column) and not self.rows and problem.column == self.column


def questions(found: OwnTables, today: date | None = None) -> list[Question]:
    """Return what the tables of a folder leave open as a whole.

    Parameters
    ----------
    found : OwnTables
        As from `read_usable`.
    today : date, optional
        No day of a record is later; the computer's date if left out.

    Returns
    -------
    list of Question

    Examples
    --------
    >>> import tempfile
    >>> from woodcalc.records.usable import read_usable
    >>> mine = Path(tempfile.mkdtemp())
    >>> rows = "2025-05-10,A,weight,16.6\\n2025-05-24,A,weight,14\\n"
    >>> _ = (mine / "readings.csv").write_text(f"date,stack,kind,value\\n{rows}")
    >>> [(q.asks, [a.says for a in q.answers][:2]) for q in questions(read_usable(mine))]
    [('2 weights have no unit. What was the scale in?', ['All in lb', 'All in kg'])]
    """
    today = today or date.today()
    asked: list[Question] = []
    for table in TABLES:
        file = f"{table}.csv"
        sheet = found.sheets.get(table)
        if sheet is None:
            if not any(p.file.lower() == file for p in found.problems):
                continue
            data = content(found.folder / file)
            try:
                sheet = Sheet.parse(data, file, table, whole=False)
            except (RecordsError, InputError):
                asked += _before_the_damage(data, file, table)
                continue
        asks = _of_sheet(sheet, [p for p in found.problems if p.file == sheet.name], today)
        if table == "logs" and not asks and table in found.tables and stubby(found.tables[table]):
            asks = [_metric(sheet, found.tables[table].iloc[0])]
        elif table == "logs" and not asks and table in found.tables:
            logs = found.tables[table]
            asks = [*_across(sheet, logs)] if big_as_in_cm(logs) else []
            asks += [*_along(sheet, logs)] if short_as_in_m(logs) else []
        asked += asks
    return asked


def settle(path: str | Path, question: Question, answer: Answer) -> None:
    """Write what an answer says into the file; the version before stays in the history.

    Parameters
    ----------
    path : path
        The table.
    question : Question
        As from `questions`.
    answer : Answer
        One of its answers.

    Raises
    ------
    ChangedError
        The file holds something else by now.
    SaveError
        As in `records.append`.
    """
    path = Path(path)
    with locked(path):
        if fingerprint(data := file_bytes(path)) != question.version:
            raise ChangedError(
                f"{path.name} was changed in between. Nothing was written. Look at the table again."
            )
        save(path, answer.write(), read=data)


def _of_sheet(sheet, problems, today):
    data = sheet.data
    asks: list[Question] = [*_letters(sheet, data)]
    asks = asks or [*_packed(sheet)] or [*_set_apart(sheet)] or [*_headless(sheet)] or [*_other_layout(sheet)]
    asks = asks or [*_no_rows(sheet)]
    if not asks:  # first things first: names and cells may read otherwise
        asks += [
            *_cut_off(sheet),
            *_headers(sheet),
            *_counts(sheet),
            *_several(sheet),
            *_weights(sheet, problems),
            *_hundredths(sheet),
            *_defects(sheet),
            *_thousands(sheet, problems),
            *_dates(sheet, problems, today),
        ]
    version = fingerprint(data)
    return [Question(sheet.name, q.asks, q.answers, q.column, q.rows, version) for q in asks]


def _letters(sheet, data):
    """In which code the letters of an older program are."""
    told = readings(sheet.encoding[1])
    if not told:
        return
    shown = [(code, "".join(s if s.isprintable() else "?" for s in ", ".join(words))) for code, words in told]
    yield Question(
        "",
        "An older program wrote this file in its own code of letters. Which of these reads right?",
        tuple(Answer(f"{words} ({CODES[code]})", partial(read_as, data, code)) for code, words in shown),
    )


def _before_the_damage(data, file, table):
    """Rows before empty bytes at the end, as a power cut leaves them; the last of them may be cut off."""
    try:
        sheet = Sheet.parse(text := before_the_end_is_empty(data), file, table, whole=False)
    except (RecordsError, InputError):
        return
    rows = sheet.records[1:]
    if not any(r.cells for r in rows):
        return
    last = next(", ".join(c.strip() for c in r.cells if c.strip())[:60] for r in reversed(rows) if r.cells)
    many = f"the {len(sheet.row_numbers):,} rows" if len(sheet.row_numbers) > 1 else "the one row"
    asks = (
        f"The file ends in {len(data) - len(text):,} empty bytes, as a power cut leaves them. Read {many} before them? "
        f"The last one is {last}: is it whole? The file as it is now stays among the earlier versions."
    )
    answer = Answer(f"Yes: read {many} before them", partial(bytes, text))
    yield Question(file, asks, (answer,), version=fingerprint(data))


def _packed(sheet):
    """Rows that stand in one pair of quotation marks each, as some programs write them: all in the first cell."""
    if not (packed := sheet.packed()):
        return
    row, cells = next(iter(packed.items()))
    many = f"{len(packed):,} rows stand" if len(packed) > 1 else f"Row {row} stands"
    first = f"{', '.join(cells)[:60]}"
    yield Question(
        "",
        f"{many} in one pair of quotation marks{' each' * (len(packed) > 1)}, so that all of a row is one cell "
        f"(row {row}: {first}). Take the marks away?",
        (Answer("Yes: a cell for each", lambda: sheet.unpacked()),),
        ALL,
        frozenset(packed),
    )


def _cut_off(sheet):
    """A last row in which the file seems to break off."""
    if (cut := sheet.cut_off()) and cut.row:
        asks = f"The file ends in row {cut.row} ({cut.about}) without an end of line. Was it cut off there?"
        asks += f" Expected {cut.expected.partition('. ')[0]}."
        more = "If it was, go back to an earlier version, or correct the row in the form."
        yield Question(
            "",
            f"{asks} {more}",
            (Answer(f"Row {cut.row} is whole as it is", lambda: sheet.whole().data),),
            ALL,
            frozenset({cut.row}),
        )


# Headers.


def _headless(sheet):
    """A table whose first row is one of its rows: a header is put above it."""
    if not sheet.header_problems or not headless(sheet) or not (guessed := headers(sheet)):
        return
    first = [c.strip() for c in sheet.records[0].cells]
    what = MARKS.get(sheet.table, "reading")
    answers = []
    for head in guessed:
        says = ", ".join(f"{name} {text}".strip() for name, text in zip(head, first, strict=False) if name)
        answers.append(Answer(f"Yes: {says}", partial(with_head, sheet, head)))
    more = " Which header is right?" if len(answers) > 1 else ""
    asks = f"There is no header. Is the first row a {what}? Then a header is put above it.{more}"
    yield Question("", asks, tuple(answers), ALL, frozenset({sheet.records[0].row}))


def _set_apart(sheet):
    """Cells with bars, runs of blanks or the like between them."""
    if not (found := set_apart(sheet)):
        return
    between, data, many = found
    rows = frozenset(sheet.row_numbers | {sheet.records[0].row})
    if data:
        asks = f"Cells are set apart by {between}. Read them so? The file is then written with commas between them."
        says = f"Yes: that gives {count_of(many, 'row')}"
        yield Question("", asks, (Answer(says, partial(bytes, data)),), ALL, rows)
    else:
        asks = (
            f"Cells are set apart by {between}, and some rows have more of them than others, so an empty cell cannot "
            "be told. Put commas between the cells in the file, two where one is empty."
        )
        yield Question("", asks, (), ALL, rows)


def _other_layout(sheet):
    """A table that is another of the four, or has a column for each board: no button can put it right."""
    if other := looks_like(sheet):
        asks = (
            f"This looks like your {other}: it has their columns, and not those of {sheet.table}. Was it saved under "
            f"the wrong name? Then rename the file to {other}.csv. If there is one already, look what is in that first."
        )
        yield Question("", asks, ())
    elif boards := board_columns(sheet):
        named = " and ".join(map(repr, boards[:2])) + (" and so on" if len(boards) > 2 else "")
        asks = (
            f"There is a column for each board ({named}). Write one row for each weighing instead: the date, the "
            "stack, the board, the kind (weight), what the scale said, and its unit. The form in lesson 8 does so. "
            "The file stays as it is."
        )
        yield Question("", asks, ())

    elif len(side := _kinds_side_by_side(sheet)) > 1:
        named = f"{', '.join(map(repr, side[:-1]))} and {side[-1]!r}"
        asks = (
            f"The columns {named} each hold a reading of their own. Write one row for each reading instead: the date, "
            "the stack, the board, the kind (weight, oven-dry or meter), what the scale or the meter said, and its "
            "unit. A moisture that was worked out from weights needs no row. The form in lesson 8 does so. The file "
            "stays as it is."
        )
        yield Question("", asks, ())


_OF_KINDS = {
    "oven-dry": r"oven|\bo\.?d\b|\bdry",
    "meter": r"meter|moisture|\bm\.?c\b",
    "weight": r"weight|weigh|\bwt\b|scale|\bwet\b",
}


def _kinds_side_by_side(sheet):
    """The headers of columns that hold what was read in several ways, where no column says which way."""
    if sheet.table != "readings" or not sheet.header_problems or "kind" in sheet.place or headless(sheet):
        return []
    value = next(c for c in sheet.columns if c.name == "value")
    taken = {i for name, i in sheet.place.items() if name != "value"}
    told = {}
    for i, head in enumerate(c.strip() for c in sheet.records[0].cells):
        words = re.sub(r"[\s_(),/-]+", " ", head.lower())
        kind = next((kind for kind, said in _OF_KINDS.items() if re.search(said, words)), "")
        if kind and i not in taken and could_be(sheet, i, value):
            told[head] = kind
    return [*told] if len({*told.values()}) > 1 else []


def _no_rows(sheet):
    """Rows that are none of the table's own: its header again, units; and cells that only say "the same"."""
    if again := headers_again(sheet):
        which = rows_named([str(row) for row in again])
        asks = f"In {which} the header stands again. Take {'them' if len(again) > 1 else 'it'} out?"
        yield Question(
            "", asks, (Answer(f"Take {which} out", partial(_without, sheet, again)),), ALL, frozenset(again)
        )
    elif units := units_row(sheet):
        row, said = units
        other = {name: unit for name, unit in said.items() if unit != header_parts(name)[1]}
        told = "".join(f", and read {name} in {unit}" for name, unit in other.items())
        asks = f"Row {row} says in what each column is, and is no {MARKS.get(sheet.table, 'reading')}. Take it out?"
        if other:
            asks += " The header says it then."
        yield Question(
            "",
            asks,
            (Answer(f"Take row {row} out{told}", _headed(sheet, other, row)),),
            ALL,
            frozenset({row}),
        )
    elif same := as_above(sheet):
        texts, rows, data = same
        many = f"{texts:,} cells say" if texts > 1 else "One cell says"
        asks = f"{many} only that it is the same as above (ditto marks). Write what stands above into them?"
        yield Question("", asks, (Answer("Yes: write what stands above", partial(bytes, data)),), ALL, rows)


def _without(sheet, rows):
    for row in sorted(rows, reverse=True):
        sheet = sheet.with_row(None, row)
    return sheet.data


def _hundredths(sheet):
    """Meter readings that a spreadsheet keeps as a share of one: 0.45 of 45 %."""
    if sheet.table != "readings" or sheet.header_problems or not re.search(r"(?<!\d)0?[.,]\d", sheet.text):
        return
    shares = {}
    for row in sorted(sheet.row_numbers):
        kind, text = sheet.cell(row, "kind").lower(), sheet.cell(row, "value").replace(",", ".")
        meter = CHOICE_WORDS.get(kind, kind) == "meter" and sheet.cell(row, "unit") in ("", "%")
        if meter and re.fullmatch(r"0?\.\d+", text) and float(text) > 0:
            shares[row] = text
    if not shares:
        return
    times = {row: as_text(round(100 * float(text), 6)) for row, text in shares.items()}
    row, text = next(iter(shares.items()))
    asks = f"{_many_readings(len(shares))} under 1 %, which no wood is. A spreadsheet keeps 45 % as 0.45. Times 100?"
    says = f"Yes: {text} is {times[row]} %"
    write = partial(_written, sheet, times, "value")
    yield Question("", asks, (Answer(says, write),), "value", frozenset(shares))


def _defects(sheet):
    """Shares of a log that a spreadsheet keeps as parts of one, 0.15 of 15 %; a % behind one settles it."""
    if sheet.table != "logs" or "defect_pct" not in sheet.place or sheet.header_problems:
        return
    texts = {row: text for row in sorted(sheet.row_numbers) if (text := sheet.cell(row, "defect_pct"))}
    told = {
        row: number(text, "number", "", sheet.decimal("defect_pct", text))[0] for row, text in texts.items()
    }
    sizes = {row: n for row, n in told.items() if n and "%" not in texts[row] and n <= 1}
    parts = {row: n for row, n in sizes.items() if n < 1}
    if not parts:
        return
    if any(n and n > 1 for n in told.values()):
        sizes = parts  # then 1 is 1 %
    times = {row: as_text(round(100 * n, 6)) for row, n in sizes.items()}
    row = next(iter(parts))
    many = f"{len(parts):,} defects are" if len(parts) > 1 else "One defect is"
    asks = f"{many} under 1 % of the log. A spreadsheet keeps 15 % as 0.15. Times 100?"
    answers = (
        Answer(f"Yes: {texts[row]} is {times[row]} %", partial(_written, sheet, times, "defect_pct")),
        Answer(
            f"No: {texts[row]} is {parts[row]:g} %",
            partial(_written, sheet, {row: f"{as_text(n)} %" for row, n in sizes.items()}, "defect_pct"),
        ),
    )
    yield Question("", asks, answers, "defect_pct", frozenset(sizes))


def _many_readings(count):
    return f"{count:,} meter readings are" if count > 1 else "One meter reading is"


def _written(sheet, texts, column):
    return sheet.with_cells(texts, column).data


def _headers(sheet):
    """Columns that are missing, or may be, and others in the file that could be them."""
    if sheet.header_problems and headless(sheet):  # no name is written over a cell of a row
        return
    heads = sheet.records[0].cells
    unread = [i for name, i in sheet.extra.items() if name in sheet.unread]
    missing = [c for c in sheet.columns if c.name not in sheet.place]
    taken: set[int] = set()
    halves = [*_in_two_columns(sheet)]
    yield from halves
    for column in missing:
        if halves and column.name in _TWO:  # half of a size is none
            continue
        if column.name == "kind" and column.needed:
            yield _kinds(sheet)
            continue
        if column.name == "small_in" and any(measured(heads[i]) for i in unread):
            yield from _measured(sheet, unread)
            continue
        likely = [i for i in unread if could_be(sheet, i, column) and not is_count(heads[i])]
        likely = [i for i in likely if measured(heads[i]) in ("", *(["butt"] * (column.name == "large_in")))]
        if not column.needed:
            likely = [i for i in likely if i not in taken and _sounds_like(heads[i], column)]
        likely.sort(key=lambda i: -_nearness(heads[i], column))
        if not likely:
            continue
        answers = [a for i in likely[: 3 if column.needed else 1] for a in _as_column(sheet, i, column)]
        if not column.needed and not (answers := [a for a in answers if _keeps_rows(sheet, a)]):
            continue
        taken |= set(likely[:1])
        what = f"the column {column.name} ({column.means})"
        if column.needed:
            asks = f"There is no column {column.name}. Is one of these {what}?"
        else:
            asks = f"Column {heads[likely[0]].strip()!r} is not read. Is it {what}?"
        yield Question("", asks, tuple(answers), column.name if column.needed else "")


_TWO = {
    "value": (
        "lb",
        "oz",
        16,
        r"(?:weight[\s_]*)?\(?(?:lbs?|pounds?)\.?\)?",
        r"(?:weight[\s_]*)?\(?(?:oz|ounces?)\.?\)?",
    ),
    "length_ft": (
        "ft",
        "in",
        12,
        r"(?:length[\s_]*)?\(?(?:ft|feet|foot)\.?\)?",
        r"(?:length[\s_]*)?\(?(?:in|inch|inches)\.?\)?",
    ),
}  # what is written in two columns: the larger unit, the smaller, how many of it make one, and their headers


def _in_two_columns(sheet):
    """Pounds beside ounces, or feet beside inches: one value in two columns."""
    heads = [c.strip().lower() for c in sheet.records[0].cells]
    for name, (large, small, most, of_large, of_small) in _TWO.items():
        columns = [
            i
            for p in (of_large, of_small)
            for i in [k for k, h in enumerate(heads) if re.fullmatch(p, h)][:1]
        ]
        column = next((c for c in sheet.columns if c.name == name), None)
        others = {i for other, i in sheet.place.items() if other != name}
        across = {"logs": "small_in", "boards": "width_in"}.get(sheet.table, name)
        if column is None or len(columns) < 2 or {*columns} & others:
            continue
        if name == "length_ft" and across not in sheet.place:  # the inches may be that
            continue
        texts = {}
        for r in sheet.records[1:]:
            one, two = ((r.cells[i].strip() if i < len(r.cells) else "") for i in columns)
            if re.fullmatch(r"\d+", one) and re.fullmatch(r"\d*\.?\d*", two) and float(two or 0) < most:
                texts[r.row] = f"{one} {large} {two or 0} {small}" if float(two or 0) else f"{one} {large}"
        if 2 * len(texts) <= len(sheet.row_numbers):
            continue
        row, first = next(iter(texts.items()))
        left = sheet.row_numbers - {*texts}
        which = f" {count_of(len(left), 'row')} cannot be put together so." if left else ""
        these = " and ".join(repr(sheet.records[0].cells[i].strip()) for i in columns)
        asks = f"Are the columns {these} one {'weight' if name == 'value' else 'length'}, row {row} {first}?{which}"
        says = f"Yes: row {row} is {first}"
        yield Question("", asks, (Answer(says, partial(_put_together, sheet, name, columns, texts)),), name)


def _put_together(sheet, name, columns, texts):
    """The file with one value for two columns, which keep what they say under names that are not read."""
    heads = [sheet.records[0].cells[i].strip() for i in columns]
    for i, head in zip(columns, heads, strict=True):
        sheet = sheet.with_header(i, f"{head} (not read)")
    return sheet.with_cells(texts, name).data


def _counts(sheet):
    """A column that says how many pieces a row stands for: each row is read as one."""
    if sheet.header_problems or not (found := counted(sheet)):
        return
    i, many = found
    head = sheet.records[0].cells[i].strip()
    what, row = MARKS[sheet.table], next(iter(many))
    asks = (
        f"Column {head!r} is not read: each row counts as one {what}, and row {row} says {many[row]}. Are there that "
        "many alike? Then the answer writes a row for each, and works out board feet anew."
    )
    answers = (
        Answer(f"Yes: row {row} becomes {many[row]} {what}s", lambda: written_out(sheet, i, many)),
        Answer(f"No: each row is one {what}", _renamed(sheet, i, f"{head} (not read)")),
    )
    yield Question("", asks, answers)


def _several(sheet):
    """Marks like 1-1 thru 1-4, each of which counts as one board."""
    if not (many := several_boards(sheet)):
        return
    row, marks = next(iter(many.items()))
    mark = sheet.cell(row, "board")
    each = ", ".join(marks) if len(marks) <= 6 else f"{marks[0]} to {marks[-1]}"
    rows = f"{len(many):,} marks seem" if len(many) > 1 else "A mark seems"
    asks = (
        f"{rows} to speak of several boards (row {row}: {mark}). Until that is answered, it stands for one. Are "
        f"there {len(marks)} boards in row {row}, all of that size?"
    )
    named = f"board {mark}"
    answers = (
        Answer(f"Yes: write a row for each, {each}", lambda: board_by_board(sheet, {row: marks})),
        Answer(f"No: it is the name of one board, {named}", _each(sheet, {row: named}, "board")),
    )
    yield Question("", asks, answers)


def _keeps_rows(sheet, answer):
    """True if a table that can be read has no fewer rows by an answer."""
    if sheet.header_problems:
        return True
    try:
        after = Sheet.parse(answer.write(), sheet.name, sheet.table, sheet.order).rows()[0]
    except InputError:
        return False
    return len(after) >= len(sheet.rows()[0])


_BARKS = (
    (0.0, "the bark was off"),
    (0.25, "bark 1/4 in thick"),
    (0.5, "bark 1/2 in thick"),
    (1.0, "bark 1 in thick"),
)


_NO_SMALL_END = {  # what cannot be turned into it
    "breast": "the trunk at breast height",
    "butt": "the large end",
    "middle": "the middle of the log",
    "outside": "measured over the bark",
}
_TURNED = {  # what can: in words, and how
    "around": ("the distance around the small end", "that divided by 3.14 across"),
    "radius": ("the radius of the small end", "twice that across"),
}


def _measured(sheet, unread):
    """Logs without a small end, but with something else that was measured of them."""
    heads = [c.strip() for c in sheet.records[0].cells]
    for i in unread:
        of = measured(heads[i])
        if of in _NO_SMALL_END:
            asks = (
                f"Column {heads[i]!r} is {_NO_SMALL_END[of]}, and not the small end inside the bark. Measure each log "
                "across its small end, inside the bark, and write that into a column small_in."
            )
            yield Question("", asks, ())
        elif of:
            said = header_parts(heads[i])[1]
            what, turned = _TURNED[of]
            answers = []
            for unit in (said,) if said in ("in", "ft", "cm", "mm", "m") else ("in", "cm"):
                for bark_in, words in _BARKS:
                    sizes = diameters(sheet, i, of, unit, bark_in)
                    if sizes and 3 <= max(map(float, sizes.values())) <= 80:
                        row, size = next(iter(sizes.items()))
                        says = f"In {unit}, {words}: row {row} is {size} in across"
                        answers.append(Answer(says, partial(_written, sheet, sizes, "small_in")))
            asks = (
                f"Is column {heads[i]!r} {what}? Then each log is {turned}, less the bark on both sides. The answer "
                "writes it into a new column small_in, and your column stays. How thick is the bark where you measured?"
            )
            yield Question("", asks, tuple(answers), "small_in")


def _as_column(sheet, i, column):
    """The answers that take one column of the file for one of the table's; of a length also in what unit."""
    head = sheet.records[0].cells[i].strip()
    base, own = header_parts(column.name)
    said = header_parts(head)[1]
    units: tuple[str, ...] = {"ft": ("ft", "m"), "in": ("in", "cm")}.get(column.kind, ())
    if column.name == "temp_f":
        units, base, own = ("F", "C"), "temp", "F"
    if column.name == "value" and said:
        units, base, own = (), f"value ({said})", ""
    elif said and (unit_fits(column.kind, said) or said == own):
        units = (said,)
    for unit in units or ("",):
        name = (
            f"{base} ({unit})"
            if unit and unit != own
            else base
            if column.name == "value" and said
            else column.name
        )
        measured = unit or (said if column.name == "value" else "")
        yield Answer(
            f"{head!r} is {column.name}{f', in {measured}' if measured else ''}", _renamed(sheet, i, name)
        )


def _metric(sheet, log):
    """Logs so thick and short that they were likely measured in cm and m: the answer goes into the headers."""
    cm, m = log["small_in"], log["length_ft"]
    says = f"All in cm and m: the first is {cm / CM_PER_IN:.3g} in by {m / M_PER_FT:.3g} ft"
    asks = f"All logs are over {STUBBY_IN:g} in across and under {STUBBY_FT:g} ft long. Were they measured in cm and m?"
    write = _headed(sheet, {"small_in": "cm", "large_in": "cm", "length_ft": "m"})
    return Question(sheet.name, asks, (Answer(says, write),), version=fingerprint(sheet.data))


def _across(sheet, logs):
    """Logs so big across that the diameters may be in cm; a unit in the header of the small end settles it."""
    if sheet.units.get("small_in"):
        return
    first = logs.iloc[0]["small_in"]
    low, high = logs["small_in"].min(), logs["small_in"].max()
    asks = (
        f"The small ends are {low:g} to {high:g}: very big logs in inches, ordinary ones in cm. In what were they "
        "measured?"
    )
    answers = (
        Answer(
            f"In cm: the first is {first / CM_PER_IN:.3g} in across",
            _headed(sheet, {"small_in": "cm", "large_in": "cm"}),
        ),
        Answer("In inches, as it stands there", _headed(sheet, {"small_in": "in"})),
    )
    yield Question(sheet.name, asks, answers, version=fingerprint(sheet.data))


def _along(sheet, logs):
    """Logs so short that the lengths may be in meters; a unit in the header of the length settles it."""
    if sheet.units.get("length_ft"):
        return
    first, low, high = logs.iloc[0]["length_ft"], logs["length_ft"].min(), logs["length_ft"].max()
    these = f"{low:g} to {high:g}" if low < high else f"all {low:g}"
    asks = f"The lengths are {these}: very short logs in feet, ordinary ones in meters. In what were they measured?"
    answers = (
        Answer(f"In meters: the first is {first / M_PER_FT:.3g} ft long", _headed(sheet, {"length_ft": "m"})),
        Answer("In feet, as it stands there", _headed(sheet, {"length_ft": "ft"})),
    )
    yield Question(sheet.name, asks, answers, version=fingerprint(sheet.data))


def _headed(sheet, units, without=None):
    """What writes the units of some columns into their headers, and takes a row out that said them."""

    def write():
        renamed = sheet if without is None else sheet.with_row(None, without)
        for name, unit in units.items():
            if (i := sheet.place.get(name)) is not None:
                head = header_parts(sheet.records[0].cells[i])[0]
                # "small (in)" would be the book's own small_in
                head = {("small", "in"): "small_end", ("length", "ft"): "log_length"}.get((head, unit), head)
                renamed = renamed.with_header(i, f"{head} ({unit})")
        return renamed.data

    return write


def _renamed(sheet, i, name):
    return lambda: sheet.with_header(i, name).data


def _kinds(sheet):
    """Readings without a column that says how they were taken; no answer is offered that their cells contradict."""
    rows = sorted(sheet.row_numbers)
    units = {row: _scale(sheet.cell(row, "unit"), sheet.cell(row, "value")) for row in rows}
    told = {*units.values()}
    scale = sheet.units.get("value") in WEIGHT_WORDS
    answers = [
        Answer(f"All of them are {words}", _filled(sheet, rows, kind, "kind"))
        for words, kind in (("weighings", "weight"), ("meter readings", "meter"))
        if told <= {kind, ""} and not (kind == "meter" and scale)
    ]
    if len(told) > 1 and not scale:
        words = {"meter": "those in % are meter readings", "weight": "those in lb, kg, g or oz are weighings"}
        says = " and ".join(words[kind] for kind in words if kind in told)
        answers.append(Answer(f"T{says[1:]}", _by_unit(sheet, units)))
    asks = "There is no column kind: nothing says whether these were weighed or read by meter."
    if "weight" in told or scale:
        asks += " If an oven-dry weight is among them, correct that row afterwards: its kind is oven-dry."
    return Question("", asks, tuple(answers), "kind")


def _by_unit(sheet, units):
    return lambda: sheet.with_cells({row: kind for row, kind in units.items() if kind}, "kind").data


_NO_METER = 200.0  # no meter shows more


def _scale(unit, value):
    """How a reading was taken, by its unit: "weight", "meter", or "" if that does not tell."""
    word = CHOICE_WORDS.get(unit.lower(), unit.lower())
    if word in POUNDS:
        return "weight"
    if re.fullmatch(r"\d+(\.\d*)?", value) and float(value) > _NO_METER:
        return "weight"
    if word == "%" or value.strip().endswith("%"):
        return "meter"
    m = re.search(r"([a-z]+)\.?\s*$", value.lower())
    return "weight" if m and CHOICE_WORDS.get(m[1], m[1]) in POUNDS else ""


def _filled(sheet, rows, text, column):
    return lambda: sheet.with_cells(dict.fromkeys(rows, text), column).data


_NOT_A_MARK = (
    "ft feet foot bf width length thickness weight temp temperature species wood count number_of date".split()
)


def _sounds_like(head: str, column: Column) -> bool:
    """True if a header nearly is one of a column's names, or speaks of it: "mark on the board"."""
    words = header_parts(head)[0].split("_")
    if column.kind == "text" and column.name in ("log", "board", "stack"):
        nouns = {"log": {"log"}, "board": {"board", "piece", "sample"}, "stack": {"stack", "pile"}}[
            column.name
        ]
        if nouns & set(words) and not set(words) & set(_NOT_A_MARK):
            return True
    near = _nearness(head, column)
    return near > 0.8 or (near == 0.8 and column.kind == "text")  # og for log


def _nearness(head, column):
    name = header_parts(head)[0]
    names = (column.name, header_parts(column.name)[0], *(also for also in column.also if len(also) > 3))
    return max(difflib.SequenceMatcher(None, name, each).ratio() for each in names)


# Weights without a unit.


def _weights(sheet, problems):
    rows = [p.row for p in problems if p.column == "unit" and p.row and p.found == "nothing" and not p.mend]
    if not rows:
        return
    who = "One weight has no unit" if len(rows) == 1 else f"{len(rows):,} weights have no unit"
    answers = [
        Answer(f"{'All in' if len(rows) > 1 else 'In'} {unit}", _filled(sheet, rows, unit, "unit"))
        for unit in ("lb", "kg", "g", "oz")
    ]
    yield Question("", f"{who}. What was the scale in?", tuple(answers), "unit", frozenset(rows))


# Numbers like 1.200.


def _thousands(sheet, problems):
    """Numbers with three digits behind one point or comma, where nothing in the table tells decimals from thousands."""
    open_: dict[tuple[str, str], dict[int, str]] = {}
    for p in problems:
        if p.row and p.cell and sheet.leaves_open(p.column, p.cell):
            open_.setdefault((p.column, open_sign(p.cell)), {})[p.row] = p.cell
    for (column, sign), texts in open_.items():
        first = next(iter(texts.values()))
        ways = {"thousands": "", "decimals": "."}
        answers = tuple(
            Answer(
                f"It parts {way}: {first} is {first.replace(sign, put)}",
                _each(sheet, {row: text.replace(sign, put) for row, text in texts.items()}, column),
            )
            for way, put in ways.items()
        )
        many = "Numbers" if len(texts) > 1 else "A number"
        asks = (
            f"{many} in column {column} can be read two ways ({_like(texts, first)}). What does the "
            f"{'comma' if sign == ',' else 'point'} part?"
        )
        yield Question("", asks, answers, column, frozenset(texts))


def _each(sheet, texts, column):
    return lambda: sheet.with_cells(texts, column).data


# Dates.

_FROM_1900, _FROM_1904 = (
    datetime(1899, 12, 30),
    datetime(1904, 1, 1),
)  # where spreadsheets begin to count days
_HALF_A_YEAR = timedelta(days=183)


def _dates(sheet, problems, today):
    for column in sheet.columns:
        rows = [p.row for p in problems if p.row and p.column == column.name]
        if column.kind != "date" or column.name not in sheet.place or not rows:
            continue
        texts = {row: text for row in dict.fromkeys(rows) if (text := sheet.cell(row, column.name))}
        yield from _order(sheet, column, texts)
        yield from _counted(sheet, column, texts, today)
        yield from _yearless(sheet, column, texts, today)


def _days(column, count):
    return f"The dates in column {column.name}" if count > 1 else f"A date in column {column.name}"


def _like(some, text):
    """How many there are like one, or the one alone."""
    return f"{len(some):,} like {text}" if len(some) > 1 else text


_FIRST = {
    "mdy": ("month", "m/d/y"),
    "dmy": ("day", "d/m/y"),
    "ymd": ("year", "y/m/d"),
}  # and its name in a header


def _order(sheet, column, texts):
    """Dates like 5/6/25 or 26-06-21 with nothing in the table that tells what comes first.

    The answer goes into the header; where a date that is read already would read otherwise by it, into the open cells
    alone. One that is out of place in a known order is the row's own problem, with its own mend.
    """
    ways = {row: orders for row, text in texts.items() if (orders := open_orders(text))}
    if not ways or sheet.date_orders()[column.name]:
        return
    for orders in dict.fromkeys(ways.values()):  # day or month first, day or year first: two questions
        open_ = {row: texts[row] for row, these in ways.items() if these == orders}
        text = next(iter(open_.values()))
        others = {t for t in _column_texts(sheet, column) if t not in open_.values() and date_of(t, "")[0]}
        bound = len(open_) < len(ways) or any(len({date_of(t, o)[0] for o in orders}) > 1 for t in others)
        asks = f"{_days(column, len(open_))} can be read two ways ({_like(open_, text)}). Which comes first?"
        days = {order: day for order in orders if (day := date_of(text, order)[0])}
        answers = [
            Answer(
                f"The {_FIRST[order][0]}: {text} is {calendar_day(days[order])}",
                _dated(sheet, column, {row: date_of(t, order)[0] for row, t in open_.items()})
                if bound
                else _renamed(sheet, sheet.place[column.name], f"{column.name} ({_FIRST[order][1]})"),
            )
            for order in days
        ]
        yield Question("", asks, tuple(answers), column.name, frozenset(open_))


def _counted(sheet, column, texts, today):
    """Days that a spreadsheet counts: 45787 is 10 May 2025."""
    counts = {row: int(m[1]) for row, text in texts.items() if (m := DAY_COUNT.fullmatch(text))}
    if not counts:
        return
    row, count = next(iter(counts.items()))
    answers = []
    for begin in (_FROM_1900, _FROM_1904):
        days = {r: begin + timedelta(days=n) for r, n in counts.items()}
        if max(days.values()).date() <= today + timedelta(days=1) or begin == _FROM_1900:
            says = f"Write them as dates: {count} is {calendar_day(days[row])}"
            answers.append(Answer(says, _dated(sheet, column, days)))
    asks = f"{_days(column, len(counts))} {'are' if len(counts) > 1 else 'is'} a spreadsheet's count of days ({count})."
    if len(answers) > 1:
        asks += " Two kinds of spreadsheet count from two different days. Which date is right?"
    yield Question("", asks, tuple(answers), column.name, frozenset(counts))


def _yearless(sheet, column, texts, today):
    """Dates without a year: 10-May, May 10, 5/10."""
    open_ = {
        row: text for row, text in texts.items() if _month_and_day(text, "mdy") or _month_and_day(text, "dmy")
    }
    if not open_:
        return
    pairs = [m for text in open_.values() if (m := YEARLESS.fullmatch(text)) and m[5]]
    orders = ["mdy", "dmy"] if pairs else ["mdy"]
    orders = [o for o in orders if all(_month_and_day(text, o) for text in open_.values())] or orders[:1]
    known = sorted({day.year for text in _column_texts(sheet, column) if (day := date_of(text, "mdy")[0])})
    years = [y for y in (known or [today.year - 1, today.year]) if y <= today.year][-3:]
    first = next(iter(open_.values()))
    answers = []
    for order in orders:
        for year in years:
            days = _in_order(open_, order, year)
            if not days or max(days.values()).date() > today + timedelta(days=1):
                continue
            last = max(day.year for day in days.values())
            when = f"{year}" if last == year else f"{year} to {last}"
            says = f"Year {when}: {first} is {calendar_day(next(iter(days.values())))}"
            answers.append(Answer(says, _dated(sheet, column, days)))
    if not answers:
        return
    which = (
        f"{_days(column, len(open_))} ha{'ve' if len(open_) > 1 else 's'} no year ({_like(open_, first)})."
    )
    asks = f"{which} Which year was it?"
    month = next((text for text in open_.values() if _may_be_a_month(text, today)), "")
    if month:  # a spreadsheet shows a month so, and hides the day
        many = _like(open_, month)
        which = f"{_days(column, len(open_))} may be a day without a year, or a month with its year ({many})."
        asks = (
            f"{which} Is the number the day, and which year was it? If it is the year, the day is not in the file: "
            "write each date in by hand, as 2025-05-10."
        )
    yield Question("", asks, tuple(answers), column.name, frozenset(open_))


def _may_be_a_month(text, today):
    """True of May-25, which may be May of 2025: the number behind the month is a year that is not long past."""
    m = re.fullmatch(r"[a-z]{3,9}\.?[-./'\s]+(\d\d)", text, re.I)
    return m is not None and today.year - 12 <= 2000 + int(m[1]) <= today.year


def _column_texts(sheet, column):
    return [sheet.cell(row, column.name) for row in sorted(sheet.row_numbers)]


def _month_and_day(text, order):
    """(Month, day) of a date without a year, or None."""
    m = YEARLESS.fullmatch(text)
    if not m:
        return None
    if m[5]:
        month, day = (int(m[5]), int(m[6])) if order == "mdy" else (int(m[6]), int(m[5]))
    else:
        month, day = month_of(m[2] or m[3]), int(m[1] or m[4])
    return (month, day) if 1 <= month <= 12 and 1 <= day <= 31 else None


def _in_order(texts, order, year):
    """The days by row; a winter on the way leads into the next year. Nothing if one is no day."""
    days: dict[int, datetime] = {}
    last = None
    for row, text in sorted(texts.items()):
        month, day = _month_and_day(text, order) or (0, 0)
        try:
            when = datetime(year, month, day)
        except ValueError:
            return {}
        if last and when < last - _HALF_A_YEAR:  # from December to January
            year += 1
            when = when.replace(year=year) if (month, day) != (2, 29) else when
        days[row], last = when, when
    return days


def _dated(sheet, column, days):
    return lambda: sheet.with_cells({row: as_text(day) for row, day in days.items()}, column.name).data


def left_to_tell(problems: Iterable[Problem], asked: Iterable[Question]) -> list[Problem]:
    """Return the problems that no question covers.

    Examples
    --------
    >>> slip = Problem("readings.csv", 3, "unit", "nothing", "lb")
    >>> left_to_tell([slip], [Question("readings.csv", "", (), "unit", frozenset({3}))])
    []
    """
    asked = tuple(asked)
    return [p for p in problems if not any(question.covers(p) for question in asked)]
