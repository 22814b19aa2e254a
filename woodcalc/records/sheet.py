"""A CSV file taken apart: its lines as they are, its cells, and which column each header means."""

from __future__ import annotations

import bisect
import csv
import difflib
import functools
import io
import re
import stat
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from woodcalc.checks import InputError, quoted
from woodcalc.dates import date_of, date_order, open_orders, possible_days, slashed
from woodcalc.records.amounts import UNITS, unit_behind, weight_and_scale
from woodcalc.records.cells import (
    CHOICE_WORDS,
    UNIT_WORDS,
    WEIGHT_WORDS,
    as_text,
    as_typed,
    bare_quarters,
    csv_text,
    decimal_sign,
    header_parts,
    header_words,
    inert,
    into_file_unit,
    likely_fractions,
    likely_ids,
    likely_name,
    likely_number,
    nominal,
    number,
    offered_names,
    open_sign,
    over_a_foot,
    place_name,
    quarters,
    short_date_of,
    species_name,
    states,
    unit_fits,
)
from woodcalc.records.columns import (
    ALL,
    MARKS,
    SAWN,
    TABLES,
    WORKED_OUT,
    Problem,
    RecordsError,
    across,
    columns_of,
    fill,
    next_number,
    number_rows,
    what_row,
)
from woodcalc.records.keep import content, fingerprint, versions
from woodcalc.records.letters import Lines, NoTextError, decoded, encoded
from woodcalc.records.likely import lies_near, likely_sizes
from woodcalc.sizes import nominal_in

if TYPE_CHECKING:
    from datetime import date

    import pandas as pd

    from woodcalc.records.columns import Column


_ORDERS = (
    ("m/d/y", "mdy"), ("month/day", "mdy"), ("d/m/y", "dmy"), ("day/month", "dmy"), ("y/m/d", "ymd"),
    ("year/month", "ymd"),
)  # fmt: skip
_IN_WORDS = {"mdy": "month/day/year", "dmy": "day/month/year", "ymd": "year/month/day"}


class Sheet:
    """A CSV file taken apart: its lines as they are, its cells, and which column each header means."""

    def __init__(
        self,
        name: str,
        table: str,
        columns: tuple[Column, ...],
        text: str,
        encoding: tuple[bytes, str],
        delimiter: str,
        newline: str,
        records: Sequence[_Record],
        order: str = "",
    ) -> None:
        self.name, self.table, self.columns, self.text, self.encoding = name, table, columns, text, encoding
        self.delimiter, self.newline, self.order = delimiter, newline, order
        self.records = records  # the first is the header
        self._at: dict[int, _Record] | None = None
        self._signs: dict[str, set[str]] | None = None
        self._put_together: dict[int, _Record] = {}
        self._sizes: dict[int, list[float]] | None = None
        # rows of logs or boards that have no mark in the file, and the one they go by
        self.unmarked: dict[int, str] = {}
        self.names = {c.name for c in columns}
        self.notes: list[str] = []
        self._note_strays()
        self._map()
        self._note_unread()

    @classmethod
    def blank(cls, name: str, table: str) -> Sheet:
        """Return a sheet that holds nothing but the header of its table."""
        return cls.parse(csv_text([[c.name for c in columns_of(table)]], ",", "\n").encode(), name, table)

    @classmethod
    def parse(cls, data: bytes, name: str, table: str, order: str = "", whole: bool = True) -> Sheet:
        """Take a file apart; `order` ("mdy" or "dmy") tells dates that the file itself leaves open.

        Without `whole` a header will do that lacks a column or has two for one.
        """
        columns = columns_of(table)
        try:
            text, encoding = decoded(data)
        except NoTextError as error:
            raise RecordsError([Problem(name, None, ALL, error.found, error.expected)]) from None
        lines = list(io.StringIO(text, newline=""))
        if not any(line.strip() for line in lines):
            raise RecordsError(
                [Problem(name, None, "all", "an empty file", "a header row and rows below it")]
            )
        at, delimiter = _find_header(lines, columns)
        records = _records(text, at, delimiter)
        newline = next((end for end in ("\r\n", "\n", "\r") if lines[at].endswith(end)), "\n")
        above = " ".join(lines[:at]).lower()  # a title or a comment may tell the order of dates
        order = next((o for words, o in _ORDERS if words in above), order)
        sheet = cls(name, table, columns, text, encoding, delimiter, newline, records, order)
        if whole and sheet.header_problems:
            raise RecordsError(sheet.header_problems)
        return sheet

    def _map(self):
        """Find the place of each column of the schema, and the unit that its header names."""
        cells = self.records[0].cells
        words, heads = [header_words(c) for c in cells], [header_parts(c) for c in cells]
        self.place: dict[str, int] = {}
        self.units: dict[str, str] = {}
        self.by_quarters = False
        for column in self.columns:
            if column.name in words:
                self.place[column.name] = words.index(column.name)
        for column in self.columns:
            for i in range(len(cells)):
                if (
                    column.name not in self.place
                    and i not in self.place.values()
                    and _means(cells[i], column)
                ):
                    self.place[column.name], self.units[column.name] = i, heads[i][1]
                    in_unit = f", in {unit}" if (unit := _named_unit(column, heads[i][1])) else ""
                    self.notes.append(f"column {cells[i].strip()!r} read as {column.name}{in_unit}")
                    if column.kind == "nominal" and heads[i][0].startswith("quarters"):
                        self.by_quarters = True
                        self.notes.append(f"4 in column {cells[i].strip()!r} read as 4/4")
        self.extra = {
            as_typed(c.strip()): i for i, c in enumerate(cells) if c.strip() and i not in self.place.values()
        }
        # a second column of marks, as "Board #" beside a board that was added later: it counts where that is empty
        self._beside = {
            name: [i for i in self.extra.values() if _means(cells[i], column)]
            for column in self.columns
            if (name := column.name) == "board" and name in self.place
        }
        for name, places in self._beside.items():
            for i in places:
                self.notes.append(f"column {cells[i].strip()!r} read as {name} where column {name} is empty")
        self.header_problems = self._two_for_one(cells, words) or self._missing(cells)

    def _note_unread(self):
        """Say which columns nobody reads: they stay in the file as they are."""
        named = {i: name for name, i in self.extra.items()}
        known = {*self.place.values(), *(i for places in self._beside.values() for i in places)}
        self.unread = {}
        for i in range(len(self.records[0].cells)):
            if i in known or header_words(named.get(i, "")) in SAWN:
                continue
            if filled := sum(1 for r in self.records[1:] if i < len(r.cells) and r.cells[i].strip()):
                self.unread[named.get(i, f"{i + 1}, without a name")] = filled
        for name, filled in self.unread.items():
            shown = repr(name) if name in self.extra else name
            cells = f"{filled:,} filled cell{'' if filled == 1 else 's'}"
            self.notes.append(f"Not read: column {shown} ({cells}). It stays in the file as it is")

    def _note_strays(self):
        """Say which lines another program wrote in an older code of letters."""
        codec = self.encoding[1]
        if isinstance(codec, Lines) and (strays := codec.strays):
            n = len(strays)
            first = next(iter(strays)).strip()[:40]
            lines = f"one line ({first!r}) was" if n == 1 else f"{n} lines (the first is {first!r}) were"
            read = "and it is not clear which" if codec.odd else "and read so"
            self.notes.append(f"{lines} written by an older program, in its own code of letters, {read}")

    def _two_for_one(self, cells, words):
        """Problems of columns that two headers claim: which of them counts cannot be told."""
        problems = []
        for column in self.columns:
            if column.name not in self.place:
                continue
            at = self.place[column.name]
            spelled_out = words[at] == column.name  # then another text column is the learner's own affair
            rival = column.numeric or column.kind == "nominal" or (not spelled_out and column.name != "note")
            others = [
                cells[i].strip()
                for i in range(len(cells))
                if i != at
                and (
                    words[i] == words[at] or (rival and i in self.extra.values() and _means(cells[i], column))
                )
            ]
            if others:
                both = " and ".join(repr(c) for c in (cells[at].strip(), *others))
                found = "two columns of that name" if others == [cells[at].strip()] else f"the columns {both}"
                problems.append(
                    Problem(
                        self.name,
                        self.records[0].row,
                        column.name,
                        found,
                        f"one column for that ({column.means}). Rename the other",
                    )
                )
        return problems

    def _missing(self, cells):
        """Problems of columns that a table cannot do without."""
        missing = [c for c in self.columns if c.needed and c.name not in self.place]
        found = ", ".join(c.strip() for c in cells if c.strip())[:120] or "nothing"
        row = self.records[0].row
        if missing and not self.place:
            names = ", ".join(c.name for c in self.columns)
            return [
                Problem(
                    self.name,
                    row,
                    missing[0].name if len(missing) == 1 else ALL,
                    f"no header, but: {found}",
                    f"a row with the names of the columns: {names}. Is the first row the header?",
                )
            ]
        return [
            Problem(
                self.name,
                row,
                c.name,
                f"no such column among: {found}",
                f"a column {c.name} ({c.means}).{_nearest(c, cells)}",
            )
            for c in missing
        ]

    def frame(self) -> pd.DataFrame:
        """Return the typed DataFrame, or raise with all problems."""
        frame, problems = self.rows()
        if problems:
            raise RecordsError(problems)
        return frame

    def rows(self) -> tuple[pd.DataFrame, list[Problem]]:
        """Return (the typed DataFrame of the good rows, the problems of the others)."""
        import pandas as pd

        width = len(self.records[0].cells)
        body = [self._joined(r, width) for r in self.records[1:] if r.cells]
        rows = [r.row for r in body]
        at = [(self.place.get(c.name, width), self._beside.get(c.name)) for c in self.columns]
        texts = [
            [
                _beside(r.cells, i, beside) if beside else _typed(r.cells[i]) if i < len(r.cells) else ""
                for i, beside in at
            ]
            for r in body
        ]
        values, problems = self.values(texts, rows)
        no_rows = {r.row: bad for r in body if (bad := self._not_a_row(r, width))}
        if cut := self.cut_off():
            no_rows.setdefault(cut.row or 0, cut)
        if any(r.joined for r in body):
            problems = self._with_joined(problems, body)
        if no_rows:  # what their cells seem to hold is beside the point
            problems = [p for p in problems if p.row not in no_rows] + list(no_rows.values())
            problems.sort(key=lambda p: p.row or 0)
        if self.table in ("logs", "boards"):
            mark = self.table[:-1]
            marks = number_rows(values[mark])
            sound = {r.row for r in body if not r.broken}
            self.unmarked = {
                row: goes_by
                for row, had, goes_by in zip(rows, values[mark], marks, strict=True)
                if not had and row in sound
            }
            values[mark] = marks
        if self.table == "boards":
            self._unspoil(values)
        for name, i in self.extra.items():
            cells = (as_typed(r.cells[i].strip()) if i < len(r.cells) else "" for r in body)
            values.setdefault(name, list(cells))
        if problems:
            bad = {p.row for p in problems}
            good = [i for i, row in enumerate(rows) if row not in bad]
            rows = [rows[i] for i in good]
            values = {name: [column[i] for i in good] for name, column in values.items()}
        frame = pd.DataFrame(values, index=pd.Index(rows, name="row", dtype=int))
        for c in self.columns:
            if c.numeric:
                frame[c.name] = frame[c.name].astype(float)
            elif c.kind == "date":
                frame[c.name] = pd.to_datetime(frame[c.name])
            elif frame.empty:
                frame[c.name] = frame[c.name].astype(str)  # text, also where there is none
        frame.attrs.update(notes=list(self.notes), version=fingerprint(self.data))
        return frame, problems

    def _unspoil(self, values):
        """Put marks like 2-Jan back to 1-2 where the log leaves no doubt: it is log 1, and others are 1-1, 1-3."""
        marks, logs = values["board"], values["log"]
        spoiled = {i: ids for i, mark in enumerate(marks) if (ids := likely_ids(mark))}
        if not spoiled:
            return
        meant = {i: [m for m in ids if m.startswith(f"{logs[i]}-")] for i, ids in spoiled.items()}
        others = [i for i in range(len(marks)) if i not in meant and marks[i]]
        usual = sum(marks[i].startswith(f"{logs[i]}-") for i in others if logs[i])
        certain = {i: found[0] for i, found in meant.items() if len(found) == 1}
        if not certain or len(certain) < len(meant) or usual < len(others) or len(certain) + usual < 2:
            return
        if len({*certain.values(), *(marks[i] for i in others)}) < len(certain) + len(others):
            return
        i, mark = next(iter(certain.items()))
        first = f"{marks[i]!r} read as {mark}"
        many = f"{len(certain)} boards like {first}" if len(certain) > 1 else f"board {first}"
        self.notes.append(f"{many}, which a spreadsheet took for a date")
        for i, mark in certain.items():
            marks[i] = mark

    def _joined(self, record, width):
        """A record with a decimal comma, in a file with commas, put together again; any other as it is.

        Only where exactly one way of joining two neighbors makes a good row. A row that would do as it stands is
        looked at as well if something speaks of a comma too many: it is marked where it can be read two ways.
        """
        if self.delimiter != "," or record.broken:
            return record
        record = self._with_its_state(record)
        if len(record.cells) <= width and not self._odd(record, width):
            return record
        if record.row not in self._put_together:
            if len(self._put_together) >= MOST_JOINED:
                return record
            self._put_together[record.row] = self._together(record, width)
        return self._put_together[record.row]

    def _with_its_state(self, record):
        """A record with a place that a comma parted from its state, Madison, WI, put together again."""
        i = self.place.get("place")
        if i is None or len(record.cells) < i + 2:
            return record
        town, state = (cell.strip() for cell in record.cells[i : i + 2])
        if not re.fullmatch(r"[A-Za-z]{2}", state) or state.upper() not in states() or not town[:1].isalpha():
            return record
        whole = f"{town}, {state.upper()}"
        if (note := f"{town!r} and {state!r} in two cells read as {whole}") not in self.notes:
            self.notes.append(note)
        return replace(record, cells=(*record.cells[:i], whole, *record.cells[i + 2 :]))

    def _together(self, record, width):
        last = max((i for i, c in enumerate(record.cells) if c.strip()), default=0) + 1
        cells = record.cells[: max(last, width)]
        stands = last <= width and not self._faults(cells)
        odd = self._odd(record, width) if stands else ""
        if stands and not odd:
            return record
        ways = []
        for i, (whole, part) in enumerate(zip(cells, cells[1:], strict=False)):
            if not (re.fullmatch(r"\s*\d{1,3}", whole) and re.fullmatch(r"\d{1,4}\s*", part)):
                continue
            if stands and not _USUAL_DECIMALS.fullmatch(part.strip()):
                continue
            ends = (*cells[i + 2 :], *[""] * (width - len(cells) + 1))
            if any(c.strip() for c in ends[width - i - 1 :]):
                continue
            numeric = any(self.place.get(c.name) == i and c.numeric for c in self.columns)
            if numeric and not self._faults(way := (*cells[:i], f"{whole}.{part}", *ends)):
                ways.append((way, (*cells[:i], f"{whole},{part}", *ends[: width - i - 1])))
        if stands:
            now = self._out_of_line(cells)
            ways = [way for way in ways if self._out_of_line(way[0]) < now + (odd != _TOO_SHORT)]
        if len(ways) == 1:
            return replace(record, cells=ways[0][1], joined=True, odd=odd)
        doubled = odd == _TOO_LONG and any(not c.strip() for c in cells[: last - 1])  # a comma written twice
        return replace(record, odd=odd) if ways or doubled else record

    def _odd(self, record, width):
        """What speaks of a comma too many in a row that would do as it stands; "" if nothing does."""
        if len(record.cells) > width:
            others = [len(r.cells) > width for r in self.records[1:] if r.cells and r is not record]
            if 2 * sum(others) < len(others) or not others:
                return _TOO_LONG
        last = max((i for i, c in enumerate(record.cells) if c.strip()), default=0)
        if last == self.place.get("note") and _PLAIN_SIZE.fullmatch(record.cells[last].strip()):
            return "" if self._ends_quoted(record) else _NOTED
        return _TOO_SHORT if len(record.cells) < width else ""

    def _ends_quoted(self, record):
        """True if the last filled cell of a row is quoted: so the form writes a note that is a number alone."""
        return self.text[record.start : record.end].rstrip(f"\r\n {self.delimiter}").endswith('"')

    def _as_line(self, cells, noted):
        """The line of a row; with `noted` a note that is a number alone is quoted, so that it is taken for one."""
        i = self.place.get("note", -1)
        numbered = (
            noted
            and self.delimiter == ","
            and 0 <= i < len(cells)
            and _PLAIN_SIZE.fullmatch(cells[i].strip())
        )
        return csv_text([cells], self.delimiter, self.newline, i if numbered else None)

    def _out_of_line(self, cells):
        """How many sizes of a row lie far from those of the rows about which nothing is odd."""
        if self._sizes is None:
            width = len(self.records[0].cells)
            even = [r for r in self.records[1:] if r.cells and not r.broken and not self._odd(r, width)]
            self._sizes = {
                i: [
                    float(text)
                    for r in even
                    if _PLAIN_SIZE.fullmatch(text := "".join(r.cells[i : i + 1]).strip())
                ]
                for c in self.columns
                if c.kind in ("in", "ft") and (i := self.place.get(c.name)) is not None
            }
        told = {i: cells[i].strip() for i in self._sizes if i < len(cells)}
        return sum(
            not lies_near(float(text), [size for size in self._sizes[i] if size > 0])
            for i, text in told.items()
            if _PLAIN_SIZE.fullmatch(text) and float(text) > 0
        )

    def _faults(self, cells):
        """The problems of one row by itself."""
        row = [as_typed(cells[i].strip()) if i is not None and i < len(cells) else ""
               for i in (self.place.get(c.name) for c in self.columns)]  # fmt: skip
        notes = list(self.notes)
        problems = self.values([row], [None])[1]
        self.notes = notes
        return problems

    def _with_joined(self, problems, body):
        """Problems of rows with a decimal comma, with the number that was likely meant."""
        joined = {r.row: r for r in body if r.joined}
        out = [p for p in problems if p.row not in joined]
        for row, record in joined.items():
            i = next(i for i, c in enumerate(record.cells) if re.fullmatch(r"\s*\d{1,3},\d{1,4}\s*", c))
            column = next(c.name for c in self.columns if self.place.get(c.name) == i)
            text = record.cells[i].strip()
            mend = text.replace(",", ".")
            found = " and ".join(repr(part) for part in text.split(","))
            expected = (
                f"one number there. A decimal comma parts a number in a file with commas. Is {mend} meant?"
            )
            if record.odd == _NOTED:
                expected += f" {_A_WORD}"
            about = next((p.about for p in problems if p.row == row), "")
            out.append(Problem(self.name, row, column, f"{found} in two cells", expected, mend, about, text))
        return sorted(out, key=lambda p: p.row or 0)

    def _not_a_row(self, record, width):
        """The problem of a row that does not fit the header or holds what no cell may hold, or None."""
        if any("\0" in cell for cell in record.cells):
            return Problem(self.name, record.row, ALL, "empty bytes, as a sync may leave them", "text")
        if record.broken:
            return Problem(
                self.name,
                record.row,
                ALL,
                "a quotation mark that does not close",
                "cells in plain text, or in pairs of quotation marks",
            )
        if record.odd and not record.joined:
            last = next(c.strip() for c in reversed(record.cells) if c.strip())
            column, found, expected = {
                _TOO_LONG: (
                    ALL,
                    f"{len(record.cells)} cells, the last one empty",
                    f"{width}, as in the header",
                ),
                _NOTED: ("note", repr(last), "words in a note"),
                _TOO_SHORT: (ALL, f"{len(record.cells)} cells", f"{width}, as in the header"),
            }[record.odd]
            why = "A comma too many, or a decimal comma, shifts all cells behind it"
            why += f". {_A_WORD.rstrip('.')}" if record.odd == _NOTED else ""
            return Problem(self.name, record.row, column, found, f"{expected}. {why}")
        if len(record.cells) > width and any(c.strip() for c in record.cells[width:]):
            why = ""
            if self.delimiter == ",":
                beyond = [c.strip() for c in record.cells[width - 1 :] if c.strip()]
                in_words = self.place.get("note") == width - 1 and not any(c[:1].isdigit() for c in beyond)
                slip = "A comma in the note" if in_words else "A decimal comma in a file with commas"
                how = "" if in_words else ", with points"
                why = f" {slip}? Write the row anew in the form{how}"
            return Problem(
                self.name, record.row, ALL, f"{len(record.cells)} cells", f"{width}, as in the header.{why}"
            )
        begin = next((c.strip() for c in record.cells if c.strip()), "")
        if _SUMS.fullmatch(begin):
            mark = MARKS.get(self.table, "reading")
            says = (
                f"It begins with {begin!r} and looks like a row of sums, so it is not read. If it is a {mark}, begin "
                "it with another mark."
            )
            return Problem(self.name, record.row, ALL, repr(begin), f"one {mark} in each row", says=says)
        longest = max(map(len, record.cells))
        if longest > LONGEST_CELL:
            return Problem(self.name, record.row, ALL, f"a cell of {longest:,} letters", _SHORT)
        return None

    def cut_off(self) -> Problem | None:
        """Return the problem of a last row in which the file seems to break off; None if it does not.

        Such a row has no end of line, and fewer cells than the others, or a number at its end that is a small part of
        the others in its column: the rest of it may be gone.
        """
        body = [r for r in self.records[1:] if r.cells and not r.broken]
        if not body or self.text.endswith(("\n", "\r")):
            return None
        last, others, width = body[-1], body[:-1], len(self.records[0].cells)
        if len(last.cells) < min([width, *(len(r.cells) for r in others)]):
            found = f"{len(last.cells)} cells and no end of line"
            expected = f"{width} cells, as in the header"
        elif len(last.cells) == width and (beside := self._far_below(last, others)):
            found = f"{last.cells[-1].strip()!r} at the end of the file, without an end of line"
            expected = f"a number like the others there, {beside}"
        else:
            return None
        asks = "Was the file cut off in the middle of this row? Look at your note, or at an earlier version"
        about = ", ".join(c.strip() for c in last.cells if c.strip())[:60]
        return Problem(self.name, last.row, ALL, found, f"{expected}. {asks}", about=about)

    def _far_below(self, last, others):
        """Numbers of the last column that are many times what the last row has there, in words; "" if not."""
        column = next(
            (c for c in self.columns if c.numeric and self.place.get(c.name) == len(last.cells) - 1), None
        )
        if column is None or not (text := last.cells[-1].strip()):
            return ""

        def told(cell):
            text, unit = cell.strip(), self.units.get(column.name, "")
            return number(text, column.kind, unit, self.decimal(column.name, text))[0]

        alike = [r for r in others if all(self._same(r, last, name) for name in ("stack", "board", "kind"))]
        texts = [
            r.cells[-1].strip() for r in alike if len(r.cells) == len(last.cells) and r.cells[-1].strip()
        ][-2:]
        here, there = told(text), [told(t) for t in texts]
        if not there or here is None or any(n is None or not 0 <= here <= n / _CUT for n in there):
            return ""
        return " and ".join(texts)

    def _same(self, one, other, name):
        """True if two rows say the same in a column, or the table has none of it."""
        i = self.place.get(name)
        return i is None or (one.cells[i : i + 1] == other.cells[i : i + 1])

    def packed(self) -> dict[int, tuple[str, ...]]:
        """Return the rows that are quoted as a whole, so that all of them is in the first cell: {row: its cells}."""
        head = self._inside(self.records[0], len(self.columns) + len(self.records[0].cells))
        width = len(head or self.records[0].cells)
        inside = {r.row: self._inside(r, width) for r in self.records[1:]}
        return {row: cells for row, cells in {self.records[0].row: head, **inside}.items() if cells}

    def _inside(self, record, most):
        """The cells that the first cell of a record holds, if all others are empty; none if it holds but one."""
        first = record.cells[0] if record.cells else ""
        if record.broken or self.delimiter not in first or not first.isprintable():
            return ()
        cells = tuple(next(csv.reader([first], delimiter=self.delimiter, skipinitialspace=True), ()))
        least = sum(c.needed for c in self.columns)
        return cells if least <= len(cells) <= most and not any(c.strip() for c in record.cells[1:]) else ()

    def unpacked(self) -> bytes:
        """Return the file's bytes with the marks around whole rows taken away."""
        packed = self.packed()
        out, end = [], 0
        for r in self.records:
            if r.row in packed:
                out += [self.text[end : r.start], r.cells[0], self.newline]
                end = r.end
        return encoded("".join(out) + self.text[end:], self.encoding, self.name)

    def whole(self) -> Sheet:
        """Return the sheet with an end behind its last line: nothing of that is cut off."""
        return self._reparsed(self.text + self.newline)

    def cell(self, row: int, column: str) -> str:
        """Return what one cell says, as it was typed; "" if the row or the column is not there."""
        if self._at is None:
            width = len(self.records[0].cells)
            self._at = {r.row: self._joined(r, width) if r.cells else r for r in self.records}
        record, i = self._at.get(row), self.place.get(column, self.extra.get(column))
        return _beside(record.cells, i, self._beside.get(column, ())) if record and i is not None else ""

    @property
    def row_numbers(self) -> set[int]:
        """The rows below the header that hold anything."""
        return {r.row for r in self.records[1:] if r.cells}

    def marks(self) -> set[str]:
        """Return the marks in the file, also of rows that are set aside."""
        return {self.cell(r.row, MARKS[self.table]) for r in self.records[1:]} - {""}

    def date_orders(self) -> dict[str, str]:
        """Return {column: "mdy", "dmy", "ymd" or ""}: the order of the dates that are written with slashes."""
        return {
            c.name: self.order
            or (unit if (unit := self.units.get(c.name, "")) in _IN_WORDS else "")
            or date_order(self._column_of(c.name)).replace("?", "")
            for c in self.columns
            if c.kind == "date" and c.name in self.place
        }

    def open_orders(self) -> set[str]:
        """Return the orders that dates can be in where the table itself does not tell; empty if it does."""
        if any(self.date_orders().values()):
            return set()
        texts = [
            t
            for c in self.columns
            if c.kind == "date" and c.name in self.place
            for t in self._column_of(c.name)
        ]
        return {order for text in texts for order in open_orders(text)}

    def order_after(self, first: date) -> str:
        """Return the order of dates of which none lies before a day, or "" if that does not tell it either."""
        return self.order or date_order(self._column_of("date"), first).replace("?", "")

    def _column_of(self, name):
        """The different texts that stand in a column."""
        i = self.place[name]
        return dict.fromkeys(as_typed(r.cells[i].strip()) for r in self.records[1:] if i < len(r.cells))

    def values(
        self, texts: Sequence[Sequence[str]], rows: Sequence[int | None]
    ) -> tuple[dict[str, list[Any]], list[Problem]]:
        """Return ({column: list of values}, problems) of cells that stand in the order of the schema."""
        values, problems = {}, []
        read, clash = self._with_scales(texts)
        for k, column in enumerate(self.columns):
            found, bad = self._column(column, [t[k] for t in read], rows)
            values[column.name] = found
            problems += bad
        if (scale := self.units.get("value", "")) in WEIGHT_WORDS:
            values["unit"] = [
                scale if not unit and kind in ("weight", "oven-dry") else unit
                for unit, kind in zip(values["unit"], values["kind"], strict=True)
            ]
        problems += across(self.table, values, rows, self.name)
        if read is not texts:
            typed = {row: quoted(text[self._index("value")]) for row, text in zip(rows, texts, strict=True)}
            problems = [replace(p, found=typed[p.row]) if p.column == "value" else p for p in problems]
        for i, expected in clash.items():
            problems.append(
                Problem(self.name, rows[i], "value", quoted(texts[i][self._index("value")]), expected)
            )
        if problems and rows != [None]:  # one row by itself needs no telling which
            at = {row: i for i, row in enumerate(rows)}
            places = {c.name: k for k, c in enumerate(self.columns)}
            problems = [
                replace(
                    p,
                    about=what_row(self.table, values, at[p.row], p.column),
                    cell=texts[at[p.row]][places[p.column]],
                )
                for p in problems
            ]
        problems.sort(key=lambda p: p.row or 0)
        fill(self.table, values)
        return values, problems

    def _index(self, name):
        return next(k for k, c in enumerate(self.columns) if c.name == name)

    def _with_scales(self, texts):
        """(The cells, with a unit that stands behind its weight put into the column for it; {row: what clashes})."""
        if self.table != "readings":
            return texts, {}
        at, of_unit = self._index("value"), self._index("unit")
        read, clash = texts, {}
        of_kind = self._index("kind")
        for i, row in enumerate(texts):
            kind = CHOICE_WORDS.get(row[of_kind].lower(), row[of_kind].lower())
            if "%" in row[at] and kind in ("weight", "oven-dry") and unit_behind(row[at]) == "%":
                clash[i] = (
                    "a weight, in pounds, ounces, grams or kilograms. Is that from the meter? Choose a meter, %"
                )
                continue
            if not re.search(r"([a-z]\.?|#)$", row[at], re.I) or not (told := weight_and_scale(row[at]))[1]:
                continue
            weight, scale = told
            said = CHOICE_WORDS.get(row[of_unit].lower(), row[of_unit].lower())
            if said and said != scale:
                clash[i] = f"one unit. The cell says {scale}, and the column unit says {row[of_unit]}"
            read = list(texts) if read is texts else read
            read[i] = [*row]
            read[i][at], read[i][of_unit] = weight, row[of_unit] or scale
        return read, clash

    def _column(self, column, texts, rows):
        unit = self.units.get(column.name, "")
        in_a_file = rows != [None]
        order = ""
        if column.kind == "date":
            order = unit if unit in _IN_WORDS else self.order or date_order(texts)
            led = next(
                (t for t in texts if order == "ymd" and re.fullmatch(r"\d\d([-/.])\d\d?\1\d\d", t)), ""
            )
            if order in _IN_WORDS and unit != order and (led or any(slashed(t) for t in texts)):
                day = date_of(led, order)[0] if led else None
                as_in = f": {led} is {day.day} {day:%B %Y}" if day else ""
                self.notes.append(f"dates in column {column.name} read as {_IN_WORDS[order]}{as_in}")
        seen, out, problems = {}, [], []  # tallies repeat themselves: each text is worked out once
        for text, row in zip(texts, rows, strict=True):
            if text not in seen:
                seen[text] = self._cell(column, text, unit, order, in_a_file)
            value, expected, note, mend = seen[text]
            if expected:
                found = "nothing" if not text else quoted(text) if len(text) <= 60 else f"{text[:60]!r} ..."
                ways = self._ways(column, text, unit, expected) if not mend else ()
                problems.append(Problem(self.name, row, column.name, found, expected, mend, mends=ways))
            if note and note not in self.notes:
                self.notes.append(note)
            out.append(value)
        thousands = [t for t in seen if column.numeric and self._has_thousands(column.name, t)]
        if thousands and in_a_file:
            first = thousands[0]
            many = f"{len(thousands):,} numbers like {first}" if len(thousands) > 1 else first
            self.notes.append(f"{many} in column {column.name} read as {first.replace(open_sign(first), '')}")
        if in_a_file and (self.table, column.name) == ("logs", "length_ft"):
            self._note_trim(seen)
        if column.kind == "date" and problems and len(rows) > 1:
            problems = _with_likely_days(problems, texts, out, rows)
        if column.numeric and problems and in_a_file:
            problems = self._with_likely_sizes(column, problems, texts, out, rows)
        return out, problems

    def _note_trim(self, texts):
        """A tape shows a log with its trim: what a foot is passed by may be that, and is no wood to be sold."""
        if told := next(filter(None, map(_WITH_TRIM.fullmatch, texts)), None):
            feet, inches = told.groups()
            self.notes.append(
                f"{told[0]} is read as a log of {feet} ft and {inches} in. If the {inches} in are trim, write "
                f"{feet} as its length and {inches} as its trim"
            )

    def _with_likely_sizes(self, column, problems, texts, values, rows):
        """Numbers that cannot be right, with what was likely meant: never one far outside the column's others."""
        unit, text_of = self.units.get(column.name, ""), dict(zip(rows, texts, strict=True))
        others = [value for value in values if value == value]
        told = [text for text, value in zip(texts, values, strict=True) if value == value and text]
        decimals = max((len(t.partition(".")[2]) for t in told if re.fullmatch(r"[\d.]+", t)), default=None)
        foreign = unit and UNIT_WORDS.get(unit, unit) != column.unit
        out = []
        for p in problems:
            text = text_of[p.row]
            value = number(text, column.kind, unit, self.decimal(column.name, text))[0]
            if value is None or foreign:
                mended = (
                    number(p.mend, column.kind, unit, ".")[0]
                    if p.mend and column.unit in ("in", "ft")
                    else None
                )
                out.append(p if mended is None or lies_near(mended, others) else replace(p, mend=""))
                continue
            ways = likely_sizes(text, value, column.kind, (column.low, column.high), others, decimals)
            if not ways:
                out.append(p)
                continue
            expected = (
                p.expected.removesuffix(f" {column.hint}")
                .removesuffix(" A minus sign by mistake?")
                .rstrip(".")
            )
            if len(ways) == 1:
                ((mend, slip),) = ways.items()
                out.append(replace(p, expected=f"{expected}. {slip} Is {mend} meant?", mend=mend))
            else:
                asks = " ".join(f"{slip} Then it is {mend}." for mend, slip in ways.items())
                out.append(replace(p, expected=f"{expected}. {asks}", mends=tuple(ways)))
        return out

    def _cell(self, column, text, unit, order, in_a_file=True):
        """Return (value, what was expected or "", note or "", the likely mend or "")."""
        if text == "":
            empty = float("nan") if column.numeric else None if column.kind == "date" else ""
            if column.needed:
                return empty, column.expected, "", ""
            return (empty if column.default is None else column.default), "", "", ""
        if len(text) > LONGEST_CELL:  # first of all: each letter is looked at below
            empty = float("nan") if column.numeric else None if column.kind == "date" else ""
            return empty, _SHORT, "", ""
        shown = "".join("?" if _unseen(c) else c for c in text)
        if shown != text and column.kind == "text" and in_a_file:
            note = (
                f"a sign in column {column.name} that cannot be shown is read as ?: {shown[:40]!r}. Saved by an old "
                "program? Save it as CSV UTF-8"
            )
            return shown, "", note, ""
        if shown != text:
            empty = float("nan") if column.numeric else None if column.kind == "date" else ""
            return empty, f"{column.expected}. There is a sign in it that cannot be shown", "", ""
        if column.numeric:
            value, why = number(text, column.kind, unit, self.decimal(column.name, text))
            if value is None:
                if column.name == "value" and re.fullmatch(r"[O0]\.?L\.?", text.strip(), re.I):
                    why = f" {_OVER_THE_SCALE}"
                if column.name == "value" and re.search(r"^\s*[<>≥≤]|\d\s*%?\s*\+\s*$", text):
                    return float("nan"), f"{column.expected}. {_OFF_THE_SCALE}", "", ""
                expected = column.expected + (f".{why}" if why else "")
                return float("nan"), expected, "", self._likely(column, text, unit)
            if column.kind == "number" and (other := _other_unit(column, text)):
                return float("nan"), f"{column.expected}. It can't be in {other}", "", ""
            if not column.low <= value <= column.high:
                worked = "" if f"{value:g}" == text else f" (that is {value:g} {column.unit})"
                negative = " A minus sign by mistake?" if value < 0 <= column.low else ""
                hint = negative or (column.hint and f" {column.hint}")
                expected = f"{column.expected}{worked}" + (f".{hint}" if hint else "")
                return float("nan"), expected, "", ""  # `_with_likely_sizes` knows the others
            return value, "", "", ""
        if column.kind == "date":
            day, why = date_of(text, order, in_a_file)
            return day, "" if day else column.expected + (f".{why}" if why else ""), "", ""
        if column.kind == "nominal":
            if self.by_quarters and re.fullmatch(r"0*1(\.0*)?", text):
                return "", "4/4 for one inch. Is 1 an inch here, or a quarter of an inch?", "", "4/4"
            if meant := short_date_of(text):
                return (
                    "",
                    f"{column.expected}; a spreadsheet took it for a date. Is {meant} meant?",
                    "",
                    meant,
                )
            many = 0 if self.by_quarters else bare_quarters(text)
            if (
                many and not in_a_file and many <= column.high
            ):  # a file may have it in all rows: there it is a doubt
                asks = f"Is {many}/4 meant, or {4 * many}/4, which is {many} in thick? Write which"
                return "", f"{column.expected}. {asks}", "", f"{many}/4"
            named, note = nominal(quarters(text) if self.by_quarters else text)
            return _in_its_range(column, named, note, f"{many}/4" if many else "")
        if column.kind == "choice":
            word = CHOICE_WORDS.get(text.lower(), text.lower())
            words = [each for each, means in CHOICE_WORDS.items() if means in column.choices]
            near = difflib.get_close_matches(text.lower(), [*column.choices, *words], 1, 0.75)
            mend = "" if word in column.choices or not near else CHOICE_WORDS.get(near[0], near[0])
            return word, "" if word in column.choices else column.expected, "", mend
        if column.kind in ("species", "place"):
            name, expected, note = (species_name if column.kind == "species" else place_name)(text)
            return name, expected, note, likely_name(text, expected) if expected else ""
        return text, "", "", ""

    def _ways(self, column, text, unit, expected):
        """What a text may mean where it is one of several things: each answer has its button."""
        if column.kind == "species":
            return offered_names(expected)
        if not column.numeric or len(text) > LONGEST_CELL:
            return ()
        ways = over_a_foot(text) if column.kind in ("in", "ft") else likely_fractions(text)
        ways = ways or likely_fractions(text)
        sizes = [(way, number(way, column.kind, unit, ".")[0]) for way in ways]
        return tuple(way for way, size in sizes if size is not None and column.low <= size <= column.high)

    def _likely(self, column, text, unit):
        """The number that a slip of the pen stands for, if it can be right."""
        mend = likely_number(text)
        decimal = self.decimal(column.name, mend)
        value = number(mend, column.kind, unit, decimal)[0] if mend else None
        return mend if value is not None and column.low <= value <= column.high else ""

    def decimal(self, column: str, text: str) -> str:
        """Return the sign that parts decimals in a number that leaves it open, as 1.200 does; "" if nothing tells.

        Cells of the column that can be read but one way tell it, or else those of the file: 8,5 or 0.125 or 1.234,5.
        """
        if not (sign := open_sign(text)):
            return "."
        if (self.table, column) == ("stacks", "board_feet"):
            return "," if sign == "." else "."  # of thousands: nobody stacks a board foot and a quarter
        if self.delimiter == "," and sign == ",":
            return ""  # it stands between quotation marks, where a decimal has none
        shown = self._shown()
        for signs in (shown.get(column, set()), set().union(*shown.values())):
            if len(signs) == 1:
                return next(iter(signs))
        known = any(shown.values())
        return "." if sign == "." and self.delimiter != ";" and not known else ""

    def _shown(self):
        """{column: the signs that can only part decimals there}."""
        if self._signs is None:
            self._signs = {
                c.name: {sign for text in self._column_of(c.name) if (sign := decimal_sign(text))}
                for c in self.columns
                if c.numeric and c.name in self.place
            }
        return self._signs

    def leaves_open(self, column: str, text: str) -> bool:
        """Return whether a number can be read with decimals or with thousands, and nothing in the file tells which."""
        return any(c.numeric and c.name == column for c in self.columns) and not self.decimal(column, text)

    def _has_thousands(self, column, text):
        sign = open_sign(text)
        return bool(sign) and self.decimal(column, text) not in ("", sign)

    def _number(self, column, text):
        """A number as this file writes it, so that its decimals are taken for nothing else."""
        if self._comma:
            text = text.replace(".", ",")
        sign = open_sign(text)
        return f"{text}0" if sign and self.decimal(column, text) != sign else text

    @property
    def data(self) -> bytes:
        """The file's bytes, in the encoding that it came in; a line that stays keeps its bytes."""
        return encoded(self.text, self.encoding, self.name)

    def with_row(
        self, values: Mapping[str, Any] | None, row: int | None = None, was: Mapping[str, Any] | None = None
    ) -> Sheet:
        """Return the sheet with one row added at the end, or in the place of `row` (taken out if None).

        `was` holds the values that stand in `row`: a cell whose value stays keeps its text.
        """
        if values is None:
            return self.without_rows({row} if row is not None else set())
        return self.with_rows([values]) if row is None else self.with_rows((), {row: (values, was)})

    def with_rows(
        self,
        added: Sequence[Mapping[str, Any]],
        changed: Mapping[int, tuple[Mapping[str, Any], Mapping[str, Any] | None]] | None = None,
    ) -> Sheet:
        """Return the sheet with rows added at the end, and others in the place of some: `with_row`, of many at once."""
        changed = changed or {}
        new: list[str] = []
        for values, was in (*((values, None) for values in added), *changed.values()):
            new += [
                c.name
                for c in self.columns
                if c.name not in self.place
                and c.name not in new
                and not self._follows(c.name, values)
                and as_text(values[c.name]) != as_text(c.default)
                and (was is None or as_text(values[c.name]) != as_text(was[c.name]))
            ]
        if new:  # the file lacks a column that a row fills: its name goes to the end of the header
            head = csv_text([[*self.records[0].cells, *new]], self.delimiter, self.newline)
            return self._reparsed(self._spliced(self.records[0].row, head)).with_rows(added, changed)
        width = len(self.records[0].cells)
        out, end = [], 0
        for r in self.records:
            if r.row in changed:
                values, was = changed[r.row]
                line = self._line(values, self._joined(r, width).cells, was)
                out += [self.text[end : r.start], line]
                end = r.end
        out.append(self.text[end:])
        if added and self.text[-1] not in "\r\n":
            out.append(self.newline)
        out += [self._line(values, (), {}) for values in added]
        return self._reparsed("".join(out))

    def without_rows(self, rows: set[int]) -> Sheet:
        """Return the sheet without some of its rows."""
        out, end = [], 0
        for r in self.records:
            if r.row in rows:
                out.append(self.text[end : r.start])
                end = r.end
        return self._reparsed("".join(out) + self.text[end:])

    def _follows(self, name, values):
        """True if the rest of a row tells this column: it is no loss if the file has no column for it."""
        if name not in WORKED_OUT:
            return False
        if name == "unit" and values["kind"] != "meter":
            return values[name] == self.units.get("value", "")
        without = {c.name: [values[c.name]] for c in self.columns}
        without[name] = [float("nan") if name == "board_feet" else ""]
        fill(self.table, without)
        return as_text(without[name][0]) == as_text(values[name])

    def with_texts_of(self, other: Sheet, rows: Sequence[int]) -> Sheet:
        """Return the sheet with rows of another version of it added at the end, cell by cell as they were typed."""
        out = [self.text, "" if self.text[-1] in "\r\n" else self.newline]
        alike = other.records[0].cells == self.records[0].cells and other.delimiter == self.delimiter
        there = {r.row: r for r in other.records}
        for row in rows:
            record = there[row]
            if record.broken or alike:
                line = other.text[record.start : record.end]
                out += [line, "" if line[-1:] in "\r\n" else self.newline]
                continue
            cells = [""] * len(self.records[0].cells)
            for name, text in cells_of(other, row).items():
                if (i := self.place.get(name, self.extra.get(name))) is not None:
                    cells[i] = inert(text)
            out.append(self._as_line(cells, noted=True))
        return self._reparsed("".join(out))

    def with_cells(self, texts: Mapping[int, str], column: str) -> Sheet:
        """Return the sheet with other texts in one column, by row; a column that the file lacks is added."""
        if column not in self.place and column not in self.extra:
            head = csv_text([[*self.records[0].cells, column]], self.delimiter, self.newline)
            return self._reparsed(self._spliced(self.records[0].row, head)).with_cells(texts, column)
        i = self.place[column] if column in self.place else self.extra[column]
        kind = next((c.kind for c in self.columns if c.name == column), "text")
        numeric = any(c.name == column and c.numeric for c in self.columns)
        out, end = [], 0
        for r in self.records:
            if r.row in texts:
                there = self._joined(r, len(self.records[0].cells)).cells
                cells = [*there, *[""] * (i + 1 - len(there))]
                text = texts[r.row]
                if numeric:
                    text = self._number(column, text)
                cells[i] = inert(text) if kind == "text" else text
                noted = column == "note" or self._ends_quoted(r)
                out += [self.text[end : r.start], self._as_line(cells, noted)]
                end = r.end
        return self._reparsed("".join(out) + self.text[end:])

    def of_rows(self, rows: set[int]) -> Sheet:
        """Return the sheet of some of its rows alone; they are counted anew."""
        some = (self.text[r.start : r.end] for r in self.records[1:] if r.row in rows)
        lines = (line if line.endswith(("\r", "\n")) else f"{line}{self.newline}" for line in some)
        few = self._reparsed(self.text[: self.records[0].end] + "".join(lines))
        few._signs = self._shown()
        return few

    def with_header(self, i: int, text: str) -> Sheet:
        """Return the sheet with another name at the head of its column `i`."""
        cells = list(self.records[0].cells)
        cells[i] = text
        head = csv_text([cells], self.delimiter, self.newline)
        return self._reparsed(self._spliced(self.records[0].row, head))

    def in_cell(self, column: Column, text: str) -> tuple[Any, str, str, str]:
        """Return (value, what was expected or "", note, mend) of a text, were it in this column."""
        return self._cell(column, text, "", "")

    @property
    def _comma(self):
        """True if numbers in the file have a decimal comma."""
        return self.delimiter == ";" and any(
            re.fullmatch(r"\s*-?\d+,\d+\s*", c) for r in self.records[1:] for c in r.cells
        )

    def _spliced(self, row, line):
        at = next(r for r in self.records if r.row == row)
        return self.text[: at.start] + line + self.text[at.end :]

    def _reparsed(self, text):
        records = _records(text, self.records[0].row - 1, self.delimiter)
        return type(self)(
            self.name, self.table, self.columns, text, self.encoding, self.delimiter, self.newline, records,
            self.order,
        )  # fmt: skip

    def _line(self, values, old, was):
        width = len(self.records[0].cells)
        if over := len(old) - width if any(c.strip() for c in old[width:]) else 0:
            book = max(self.place.values()) + 1  # behind it the learner's own columns, counted from the end
            old = [*old[:book], *old[book + over :]]
        width = max(width, len(old))
        cells = [*old, *[""] * (width - len(old))]
        for column in self.columns:
            value, unit = values[column.name], self.units.get(column.name, "")
            text = as_text(value)
            if column.name not in self.place or (column.name in was and as_text(was[column.name]) == text):
                continue
            for i in self._beside.get(column.name, ()):
                cells[i] = ""
            if column.numeric and text:
                text = as_text(into_file_unit(value, column.kind, unit))
                text = self._number(column.name, text)
            if column.kind == "date" and text and unit in ("mdy", "dmy"):
                text = f"{value:{'%m/%d/%Y' if unit == 'mdy' else '%d/%m/%Y'}}"
            cells[self.place[column.name]] = inert(text) if column.kind == "text" else text
        return self._as_line(cells, noted=True)


_OVER_THE_SCALE = (
    "A meter shows OL where the wood is wetter than it can read: that is no number. Take the row out, or weigh the "
    "board"
)
_OFF_THE_SCALE = (
    "More or less than a number is the end of the meter's scale, and no reading. Take the row out, or weigh the "
    "board"
)
LONGEST_CELL = 10_000  # letters
_CUT = 5  # times that a number is smaller than those before it, if its last digits are gone
_SUMS = re.compile(
    r"(?:grand |sub-?)?totals?(?: .*)?[:.]?|sums?:?|averages?:?|avg\.?:?|mean:?|count:?", re.I
)  # how a row under a table begins
# What speaks of a comma too many in a row: a cell more than the others have, a note that is a number alone, and a row
# that ends early, whose sizes lie far from the others'.
_TOO_LONG, _NOTED, _TOO_SHORT = "too long", "noted", "too short"
_USUAL_DECIMALS = re.compile(r"\d|[05]0|25|75|125|375|625|875")  # of sizes: 14,5 but not 14,12
_PLAIN_SIZE = re.compile(r"\d{1,4}(?:\.\d*)?")
_A_WORD = "If the number is a note, write a word beside it."
MOST_JOINED = 300  # rows with a decimal comma that are put together: each takes a few tries
_SHORT = f"at most {LONGEST_CELL:,} letters in a cell. Keep the long text in a file of its own"
csv.field_size_limit(2**27)  # a cell that is too long is told by us, with its row


@dataclass(frozen=True)
class _Record:
    row: int
    cells: tuple[str, ...]  # empty for a blank line or a comment
    start: int
    end: int
    broken: bool = False  # a quotation mark does not close; the next record begins on the next line
    odd: str = ""  # what speaks of a comma too many, where the row can be read two ways
    joined: bool = False  # two cells are put together again that a decimal comma had parted


def _means(cell, column):
    """True if a header cell is one of the names of a column, in a unit that it can have."""
    own, own_unit = header_parts(column.name)
    names = (column.name, own, *column.also)
    name, unit = header_parts(cell)
    fits = (
        unit_fits(column.kind, unit) or unit == own_unit or (column.name == "value" and unit in WEIGHT_WORDS)
    )
    return header_words(cell) in names or (name in names and fits)


def _other_unit(column, text):
    """The name of a unit that is written behind a plain number and is not its column's; "" if there is none."""
    said = unit_behind(text)
    own = (
        "%" if column.name == "value" else column.unit
    )  # a meter's; of a weight `_with_scales` has seen to it
    return UNITS[said].partition(",")[0] if said and said != own else ""


def _named_unit(column, unit):
    """The unit of a header in words, if it is another than the book's; the order of a date tells itself."""
    if column.name == "value" and unit:
        return f"{unit} where it is a weight"
    return "" if unit in _IN_WORDS or unit == header_parts(column.name)[1] else unit


def _typed(cell):
    """What was typed into a cell: `as_typed` has something to do only where there is a tick."""
    text = cell.strip()
    return as_typed(text) if text[:1] == "'" else text


def _beside(cells, i, others):
    """What a cell says, or the same thing's other column if it is empty."""
    for k in (i, *others):
        if k < len(cells) and (text := as_typed(cells[k].strip())):
            return text
    return ""


def _in_its_range(column, named, note, meant):
    """A thickness by name, what was expected if it cannot be one of this column's, and a note."""
    if not named:
        return "", column.expected, note, ""
    if column.low <= nominal_in(named) <= column.high:
        return named, "", note, ""
    four = int(named.partition("/")[0])
    likely = f"{four // 10}/4" if four % 10 in (0, 8) and 3 <= four // 10 <= 16 else ""
    likely = " or ".join(dict.fromkeys(filter(None, (likely, "8/4" if four % 10 == 8 else "4/4"))))
    asks = f"{named} is {nominal_in(named):g} in. Did you mean {meant or likely}?"
    return "", f"{column.expected}: {asks}", note, meant


def _with_likely_days(problems, texts, days, rows):
    """Dates that cannot be read, with the day that the other rows of the column speak for.

    That is the only reading that lies between the day above and the day below, or else the one in the order in
    which most other dates are written, or the only one at all, if it lies among the days of the column.
    """
    at = {row: i for i, row in enumerate(rows)}
    good = [i for i, day in enumerate(days) if day]
    orders = [order for t in dict.fromkeys(texts) if (order := date_order([t])) in _IN_WORDS]
    many = sorted(_IN_WORDS, key=orders.count)
    mostly = many[-1] if orders.count(many[-1]) > orders.count(many[-2]) else ""
    years = [days[i].year for i in good]
    usual = max(set(years), key=years.count) if years else None
    mended = []
    for p in problems:
        i = at[p.row]
        k = bisect.bisect(good, i)
        before, after = (days[good[k - 1]] if k else None), (days[good[k]] if k < len(good) else None)
        can = possible_days(texts[i]) or (possible_days(texts[i], usual) if usual else ())
        fit = [day for day in can if (not before or day >= before) and (not after or day <= after)]
        likely = fit[0] if len(fit) == 1 and good else None
        if likely is None and mostly and len(can) == 2:
            likely = date_of(texts[i], mostly)[0] if mostly in open_orders(texts[i]) else None
        if (
            likely is None
            and len(can) == 1
            and good
            and min(found := [days[k] for k in good]) <= can[0] <= max(found)
        ):
            likely = can[0]  # its neighbors may be of another board, whose days begin anew
        mended.append(replace(p, mend=as_text(likely)) if likely else p)
    return mended


def _find_header(lines, columns):
    """Return (index of the header line, delimiter): the line near the top with most known names in it."""
    known = {alias for c in columns for alias in (c.name, header_parts(c.name)[0], *c.also)}
    top = [i for i, line in enumerate(lines[:30]) if line.strip()]
    best = max(
        (
            (
                sum(
                    header_parts(c)[0] in known or header_words(c) in known
                    for c in lines[i][:LONGEST_CELL].split(d)
                ),
                -i,
                d,
            )
            for i in top
            for d in ",;\t"
        ),
        key=lambda found: found[:2],
    )
    if best[0] > 1:
        return -best[1], best[2]
    first = next((i for i in top if not re.match(r'\s*"?#\s+\w|sep=', lines[i])), top[0])
    return first, max(",;\t", key=lines[first].count)


@functools.lru_cache(
    4
)  # one file is taken apart several times in one save: as it was, as it will be, and once more
def _records(text, at, delimiter):
    """Return the records from line `at` on; one that cannot be taken apart is marked as broken."""
    lines = list(io.StringIO(text, newline=""))
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line))
    out, first, row = [], at, at  # above the header a line counts as a row
    while first < len(lines):
        begin = first
        reader = csv.reader(lines[begin:], delimiter=delimiter, skipinitialspace=True, strict=True)
        try:
            for cells in reader:
                row, last = row + 1, begin + reader.line_num
                blank = not "".join(cells).strip()
                out.append(_Record(row, () if blank else tuple(cells), starts[first], starts[last]))
                first = last
        except csv.Error:  # go on with the line below, as if that row were not there
            row += 1
            torn = tuple(lines[first].rstrip("\r\n").split(delimiter))
            out.append(_Record(row, torn, starts[first], starts[first + 1], broken=True))
            first += 1
    return tuple(out)


_NOTHING = object()


def file_bytes(path: Path, missing: Any = _NOTHING) -> Any:
    """Return what a file holds; `missing` if there is none, or an `InputError` that says so."""
    if _endless(Path(path)):
        raise InputError(f"{Path(path).name} is no file but a device or a pipe. Expected a table there.")
    try:
        return Path(path).read_bytes()
    except FileNotFoundError:
        if missing is not _NOTHING:
            return missing
        if Path(path).is_symlink():
            raise InputError(
                f"{Path(path).name} is a link, and the file that it leads to is gone. Was that moved or renamed?"
            ) from None
        raise InputError(f"no file {str(path)!r}. Is the folder right, and the name spelled so?") from None
    except IsADirectoryError:
        raise InputError(
            f"{Path(path).name} is a folder. Expected a file of that name: rename the folder."
        ) from None
    except (OSError, ValueError) as error:
        raise InputError(
            f"{Path(path).name} cannot be read: {getattr(error, 'strerror', None) or error}."
        ) from None


def taken_apart(data: bytes, table: str = "") -> Sheet | None:
    """Return a table's bytes taken apart, or None if they cannot be.

    Parameters
    ----------
    data : bytes
        Empty bytes at the end, as a power cut leaves them, are passed over.
    table : str
        Which of the four; if it is none of them, whichever the header fits.

    Examples
    --------
    >>> sorted(taken_apart(b"our logs of 2026\\nlog,species,small_in,length_ft\\n1,white oak,14,12\\n").row_numbers)
    [3]
    """
    for part in dict.fromkeys((data, data.rstrip(b"\0"))):
        for name in (table,) if table in TABLES else TABLES:
            try:
                return Sheet.parse(part, "", name)
            except RecordsError:
                continue
    return None


_WITH_TRIM = re.compile(r"""(\d+)\s*(?:'|ft\.?|feet)\s*([3-8])\s*(?:"|''|in\.?|inches)""")  # 12' 4"


def cells_of(sheet: Sheet | None, row: int) -> dict[str, str]:
    """Return what a row of a sheet holds, by column, the learner's own columns too: a row is known by that.

    Empty cells are left out, so that a new column makes no other row of it.

    Examples
    --------
    >>> cells_of(taken_apart(b"log,species,small_in,length_ft,note\\nA,white ash,14,12,\\n"), 2)
    {'log': 'A', 'species': 'white ash', 'small_in': '14', 'length_ft': '12'}
    """
    if sheet is None:
        return {}
    names = [*(c.name for c in sheet.columns), *sheet.extra]
    return {name: text for name in names if (text := sheet.cell(row, name))}


def next_mark(path: Path, sheet: Sheet, frame: pd.DataFrame) -> str:
    """Return a number that no log (or board) has or had: boards that name one taken out must not go to another.

    Parameters
    ----------
    path : Path
        The table.
    sheet : Sheet
        What it holds.
    frame : DataFrame
        Its good rows, with the marks of those that go by their place.

    Returns
    -------
    str

    Examples
    --------
    >>> path = Path("no-such-folder/logs.csv")
    >>> logs = taken_apart(b"log,species,small_in,length_ft\\n7,red oak,14,12\\n", "logs")
    >>> next_mark(path, logs, logs.rows()[0])
    '8'
    """
    mark = MARKS[sheet.table]
    taken = {*frame[mark], *sheet.marks()}
    seen = 0
    for version in versions(path):
        data = content(version.path)
        if (seen := seen + len(data)) > _LOOKED_BACK:
            break
        before = taken_apart(data, sheet.table)
        taken |= before.marks() if before else set()
    other, column = _NAMED_IN[sheet.table]
    beside = taken_apart(content(path.with_name(f"{other}.csv")), other)
    elsewhere = (
        {beside.cell(row, column).removesuffix(".0") for row in beside.row_numbers} if beside else set()
    )
    while (
        number := next_number(list(taken))
    ) in elsewhere:  # they are passed over and begin no count of their own
        taken.add(number)
    return number


_NAMED_IN = {
    "logs": ("boards", "log"),
    "boards": ("readings", "board"),
    "stacks": ("readings", "stack"),
}  # where the marks of a table are named, too
_LOOKED_BACK = (
    5_000_000  # bytes of earlier versions, the newest: all of them in any table but a very long one
)


def _endless(path):
    """True of a device or a pipe: it may hold no end, or wait for ever."""
    try:
        mode = path.stat().st_mode
    except (OSError, ValueError):
        return False
    return not (stat.S_ISREG(mode) or stat.S_ISDIR(mode))


def _unseen(sign):
    """True for a sign that no page shows and no mark may hold."""
    return unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\r\t"


def _nearest(column, cells):
    names = {header_parts(c)[0]: c.strip() for c in cells if c.strip()}
    near = difflib.get_close_matches(
        header_parts(column.name)[0], names, 1, 0.6
    ) or difflib.get_close_matches(column.name, names, 1, 0.6)
    return f" Is {names[near[0]]!r} meant?" if near else ""
