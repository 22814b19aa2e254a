"""A CSV file taken apart: its lines as they are, its cells, and which column each header means."""

import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path

from woodcalc.checks import InputError
from woodcalc.keep import fingerprint
from woodcalc.record_cells import (
    CHOICE_WORDS,
    as_text,
    date_of,
    date_order,
    header_parts,
    header_words,
    into_file_unit,
    nominal,
    number,
    place_name,
    slashed,
    species_name,
)
from woodcalc.record_tables import WORKED_OUT, Problem, RecordsError, across, columns_of, fill, number_rows


class Sheet:
    """A CSV file taken apart: its lines as they are, its cells, and which column each header means."""

    def __init__(self, name, table, columns, text, encoding, delimiter, newline, records):
        self.name, self.table, self.columns, self.text, self.encoding = name, table, columns, text, encoding
        # the first record is the header
        self.delimiter, self.newline, self.records = (
            delimiter,
            newline,
            records,
        )
        self.names = {c.name for c in columns}
        self.notes = []
        self._map()

    @classmethod
    def blank(cls, name, table):
        return cls.parse(csv_text([[c.name for c in columns_of(table)]], ",", "\n").encode(), name, table)

    @classmethod
    def parse(cls, data, name, table):
        columns = columns_of(table)
        text, encoding = _decode(data, name)
        lines = list(io.StringIO(text, newline=""))
        if not any(line.strip() for line in lines):
            raise RecordsError(
                [Problem(name, None, "all", "an empty file", "a header row and rows below it")]
            )
        at, delimiter = _find_header(lines, columns)
        records, bad = _records(lines, at, delimiter)
        if bad:
            raise RecordsError(
                [
                    Problem(
                        name,
                        bad,
                        "all",
                        "a quotation mark that does not close",
                        "cells in plain text, or in pairs of quotation marks",
                    )
                ]
            )
        newline = next((end for end in ("\r\n", "\n", "\r") if lines[at].endswith(end)), "\n")
        return cls(name, table, columns, text, encoding, delimiter, newline, records)

    def _map(self):
        """Find the place of each column of the schema, and the unit that its header names."""
        cells = self.records[0].cells
        words, heads = [header_words(c) for c in cells], [header_parts(c) for c in cells]
        self.place, self.units = {}, {}
        for column in self.columns:
            if column.name in words:
                self.place[column.name] = words.index(column.name)
        for column in self.columns:
            bases = (column.name, header_parts(column.name)[0], *column.also)
            for i, (base, unit) in enumerate(heads):
                if (
                    column.name not in self.place
                    and i not in self.place.values()
                    and (words[i] in bases or base in bases)
                ):
                    self.place[column.name], self.units[column.name] = i, unit
                    self.notes.append(f"column {cells[i].strip()!r} read as {column.name}")
        self.extra = {c.strip(): i for i, c in enumerate(cells) if c.strip() and i not in self.place.values()}
        twice = [k for k, i in self.place.items() if words.count(words[i]) > 1]
        if twice:
            raise RecordsError(
                [
                    Problem(
                        self.name, self.records[0].row, k, "two columns of that name", "one: rename the other"
                    )
                    for k in twice
                ]
            )
        missing = [c for c in self.columns if c.needed and c.name not in self.place]
        if missing:
            found = ", ".join(c.strip() for c in cells if c.strip()) or "nothing"
            hint = "" if self.place else " Is the first row the header?"
            raise RecordsError(
                [
                    Problem(
                        self.name,
                        self.records[0].row,
                        c.name,
                        f"no such column among: {found[:120]}",
                        f"a column {c.name} ({c.means}).{_nearest(c, cells)}{hint}",
                    )
                    for c in missing
                ]
            )

    def frame(self):
        """Return the typed DataFrame, or raise with all problems."""
        import pandas as pd

        width = len(self.records[0].cells)
        body = [r for r in self.records[1:] if r.cells]
        problems = []
        for r in body:
            if len(r.cells) > width and any(c.strip() for c in r.cells[width:]):
                why = (
                    " A decimal comma in a file with commas? Use points, or save with semicolons"
                    if self.delimiter == ","
                    else ""
                )
                problems.append(
                    Problem(
                        self.name, r.row, "all", f"{len(r.cells)} cells", f"{width}, as in the header.{why}"
                    )
                )
        if problems:
            raise RecordsError(problems)
        texts = [
            [r.cells[i] if (i := self.place.get(c.name, width)) < len(r.cells) else "" for c in self.columns]
            for r in body
        ]
        values, problems = self.values(texts, [r.row for r in body])
        if problems:
            raise RecordsError(problems)
        if self.table in ("logs", "boards"):
            values[self.table[:-1]] = number_rows(values[self.table[:-1]])
        for name, i in self.extra.items():
            values.setdefault(name, [r.cells[i].strip() if i < len(r.cells) else "" for r in body])
        frame = pd.DataFrame(values, index=pd.Index([r.row for r in body], name="row", dtype=int))
        for c in self.columns:
            if c.numeric:
                frame[c.name] = frame[c.name].astype(float)
            elif c.kind == "date":
                frame[c.name] = pd.to_datetime(frame[c.name])
        frame.attrs.update(notes=list(self.notes), version=fingerprint(self.data))
        return frame

    def values(self, texts, rows):
        """Return ({column: list of values}, problems) of cells that stand in the order of the schema."""
        values, problems = {}, []
        for k, column in enumerate(self.columns):
            found, bad = self._column(column, [t[k].strip() for t in texts], rows)
            values[column.name] = found
            problems += bad
        problems += across(self.table, values, rows, self.name)
        problems.sort(key=lambda p: p.row or 0)
        fill(self.table, values)
        return values, problems

    def _column(self, column, texts, rows):
        unit = self.units.get(column.name, "")
        if column.kind == "date":
            order = unit if unit in ("mdy", "dmy") else date_order(texts)
            if order and unit != order and any(slashed(t) for t in texts):
                self.notes.append(
                    f"dates in column {column.name} read as "
                    f"{'month/day/year' if order == 'mdy' else 'day/month/year'}"
                )
        else:
            order = ""
        seen, out, problems = {}, [], []  # tallies repeat themselves: each text is worked out once
        for text, row in zip(texts, rows, strict=True):
            if text not in seen:
                seen[text] = self._cell(column, text, unit, order)
            value, expected, note = seen[text]
            if expected:
                problems.append(
                    Problem(self.name, row, column.name, repr(text) if text else "nothing", expected)
                )
            if note and note not in self.notes:
                self.notes.append(note)
            out.append(value)
        return out, problems

    def _cell(self, column, text, unit, order):
        """Return (value, what was expected or "", note or "")."""
        if text == "":
            empty = float("nan") if column.numeric else None if column.kind == "date" else ""
            if column.needed:
                return empty, column.expected, ""
            return (empty if column.default is None else column.default), "", ""
        if column.numeric:
            value, why = number(text, column.kind, unit, self.delimiter != ",")
            if value is None:
                return float("nan"), column.expected + (f".{why}" if why else ""), ""
            if not column.low <= value <= column.high:
                worked = "" if f"{value:g}" == text else f" (that is {value:g} {column.unit})"
                negative = " A minus sign by mistake?" if value < 0 <= column.low else ""
                hint = negative or (column.hint and f" {column.hint}")
                return float("nan"), f"{column.expected}{worked}" + (f".{hint}" if hint else ""), ""
            return value, "", ""
        if column.kind == "date":
            value, why = date_of(text, order)
            return value, "" if value else column.expected + (f".{why}" if why else ""), ""
        if column.kind == "nominal":
            value, note = nominal(text)
            return value, "" if value else column.expected, note
        if column.kind == "choice":
            value = CHOICE_WORDS.get(text.lower(), text.lower())
            return value, "" if value in column.choices else column.expected, ""
        if column.kind == "species":
            return species_name(text)
        if column.kind == "place":
            return place_name(text)
        return text, "", ""

    @property
    def data(self):
        """The file's bytes, in the encoding that it came in."""
        bom, codec = self.encoding
        try:
            return bom + self.text.encode(codec)
        except UnicodeEncodeError:  # a letter that the old encoding lacks
            return b"\xef\xbb\xbf" + self.text.encode("utf-8")

    def with_row(self, values, row=None, was=None):
        """Return the sheet with one row added at the end, or in the place of `row` (taken out if None).

        `was` holds the values that stand in `row`: a cell whose value stays keeps its text.
        """
        if values is None:
            return self._reparsed(self._spliced(row, ""))
        new = [
            c.name
            for c in self.columns
            if c.name not in self.place
            and c.name not in WORKED_OUT
            and as_text(values[c.name]) != as_text(c.default)
        ]
        if was is not None:
            new = [name for name in new if as_text(values[name]) != as_text(was[name])]
        if new:  # the file lacks a column that the row fills: its name goes to the end of the header
            head = csv_text([[*self.records[0].cells, *new]], self.delimiter, self.newline)
            return self._reparsed(self._spliced(self.records[0].row, head)).with_row(values, row, was)
        if row is None:
            gap = "" if self.text[-1] in "\r\n" else self.newline
            return self._reparsed(self.text + gap + self._line(values, (), {}))
        old = next(r for r in self.records if r.row == row).cells
        return self._reparsed(self._spliced(row, self._line(values, old, was)))

    def _spliced(self, row, line):
        at = next(r for r in self.records if r.row == row)
        return self.text[: at.start] + line + self.text[at.end :]

    def _reparsed(self, text):
        lines = list(io.StringIO(text, newline=""))
        records, _ = _records(lines, self.records[0].row - 1, self.delimiter)
        return type(self)(
            self.name, self.table, self.columns, text, self.encoding, self.delimiter, self.newline, records
        )

    def _line(self, values, old, was):
        width = max(len(self.records[0].cells), len(old))
        cells = [*old, *[""] * (width - len(old))]
        comma = self.delimiter == ";" and any(
            re.fullmatch(r"\s*-?\d+,\d+\s*", c) for r in self.records[1:] for c in r.cells
        )
        for column in self.columns:
            value, unit = values[column.name], self.units.get(column.name, "")
            text = as_text(value)
            if column.name not in self.place or (column.name in was and as_text(was[column.name]) == text):
                continue
            if column.numeric and text:
                text = as_text(into_file_unit(value, column.kind, unit))
                text = text.replace(".", ",") if comma else text
            if column.kind == "date" and text and unit in ("mdy", "dmy"):
                text = f"{value:{'%m/%d/%Y' if unit == 'mdy' else '%d/%m/%Y'}}"
            cells[self.place[column.name]] = text
        return csv_text([cells], self.delimiter, self.newline)


@dataclass(frozen=True)
class _Record:
    row: int
    cells: tuple  # empty for a blank line or a comment
    start: int
    end: int


def _find_header(lines, columns):
    """Return (index of the header line, delimiter): the line near the top with most known names in it."""
    known = {alias for c in columns for alias in (c.name, header_parts(c.name)[0], *c.also)}
    top = [i for i, line in enumerate(lines[:30]) if line.strip()]
    best = max(
        (
            (sum(header_parts(c)[0] in known or header_words(c) in known for c in lines[i].split(d)), -i, d)
            for i in top
            for d in ",;\t"
        ),
        key=lambda found: found[:2],
    )
    if best[0] > 1:
        return -best[1], best[2]
    first = next((i for i in top if not re.match(r'\s*"?#\s+\w|sep=', lines[i])), top[0])
    return first, max(",;\t", key=lines[first].count)


def _records(lines, at, delimiter):
    """Return (records from line `at` on, row of a quotation mark that does not close or None)."""
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line))
    reader = csv.reader(lines[at:], delimiter=delimiter, skipinitialspace=True, strict=True)
    out, first, row = [], at, at  # above the header a line counts as a row
    try:
        for row, cells in enumerate(reader, start=at + 1):
            last = at + reader.line_num
            blank = not any(c.strip() for c in cells)
            out.append(_Record(row, () if blank else tuple(cells), starts[first], starts[last]))
            first = last
    except csv.Error:
        return out, row + 1
    return out, None


def csv_text(rows, delimiter, newline):
    out = io.StringIO(newline="")
    writer = csv.writer(out, delimiter=delimiter, lineterminator=newline)
    writer.writerows(rows)
    return out.getvalue()


def file_bytes(path):
    try:
        return Path(path).read_bytes()
    except FileNotFoundError:
        raise InputError(f"no file {str(path)!r}. Is the folder right, and the name spelled so?") from None
    except OSError as error:
        raise InputError(f"{Path(path).name} cannot be read: {error.strerror or error}.") from None


def _decode(data, name):
    """Return (text, (byte-order mark, codec))."""
    if data[:4] in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0"):
        raise RecordsError(
            [
                Problem(
                    name,
                    None,
                    "all",
                    "a spreadsheet workbook",
                    "a CSV file. In the spreadsheet: Save as, type CSV UTF-8",
                )
            ]
        )
    for bom, codec in (
        (b"\xef\xbb\xbf", "utf-8"),
        (b"\xff\xfe", "utf-16-le"),
        (b"\xfe\xff", "utf-16-be"),
        (b"", "utf-8"),
        (b"", "cp1252"),
        (b"", "latin-1"),
    ):  # the last two: older spreadsheets
        if data.startswith(bom):
            try:
                text = data[len(bom) :].decode(codec)
            except UnicodeDecodeError:
                continue
            if "\0" not in text:
                return text, (bom, codec)
    raise RecordsError([Problem(name, None, "all", "bytes that are no text", "a CSV file")])


def _nearest(column, cells):
    import difflib

    names = {header_parts(c)[0]: c.strip() for c in cells if c.strip()}
    near = difflib.get_close_matches(
        header_parts(column.name)[0], names, 1, 0.6
    ) or difflib.get_close_matches(column.name, names, 1, 0.6)
    return f" Is {names[near[0]]!r} meant?" if near else ""
