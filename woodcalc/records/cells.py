"""Text as people and spreadsheets write it, to values: numbers, lengths, dates, thicknesses, headers."""

from __future__ import annotations

import functools
import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from woodcalc.checks import InputError, blank, within
from woodcalc.dates import MONTHS, month_of
from woodcalc.records.amounts import LONGEST, UNITS, read_amount
from woodcalc.sizes import (
    PLAIN_SIGNS,
    fraction,
    nominal_in,
    read_feet_and_inches,
    run_together,
    thickness_name,
)
from woodcalc.units import CM_PER_IN, INCHES, M_PER_IN, celsius, fahrenheit

DAY_COUNT = re.compile(r"([345]\d{4})(?:\.\d*)?")  # a day as a spreadsheet counts it
YEARLESS = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th)?[-./\s]+([a-z]{3,9})\.?|([a-z]{3,9})\.?[-./\s]+(\d{1,2})(?:st|nd|rd|th)?"
    r"|(\d{1,2})[-/](\d{1,2})",
    re.I,
)


def _words_of(*units):
    """The words of some units as they stand in a header, their words joined by _."""
    return {word.replace(" ", "_"): unit for unit in units for word in UNITS[unit].lower().split(", ")}


_OTHERS = {
    "": "pct percent % bf",
    "mdy": "m_d_y mdy mm_dd_yyyy",
    "dmy": "d_m_y dmy dd_mm_yyyy",
    "ymd": "y_m_d ymd yyyy_mm_dd yy_mm_dd",
}
UNIT_WORDS = _words_of("in", "ft", "cm", "mm", "m", "F", "C") | {
    word: unit for unit, words in _OTHERS.items() for word in words.split()
}
WEIGHT_WORDS = _words_of("lb", "kg", "g", "oz")
_HEADER_UNITS = UNIT_WORDS | WEIGHT_WORDS  # what may stand behind the name in a header


_LONGEST_HEADER = 200  # letters that are looked at: a cell may hold a book


def header_words(text: str) -> str:
    """Return a header cell in lower case, its words joined by _, its signs as words."""
    text = text[:_LONGEST_HEADER]
    text = text.replace("%", " pct ").replace('"', " in ").replace("#", " number ").replace("°", " ")
    plain = "".join(
        sign for sign in unicodedata.normalize("NFKD", text.lower()) if not unicodedata.combining(sign)
    )
    return re.sub(r"[^a-z0-9]+", "_", plain).strip("_")


def header_parts(text: str) -> tuple[str, str]:
    """Return (name without unit, unit) of a header cell."""
    return _header_parts(text[:_LONGEST_HEADER])


@functools.cache
def _header_parts(text):
    words = header_words(text)
    for unit in sorted(_HEADER_UNITS, key=len, reverse=True):
        if words.endswith("_" + unit):
            return words[: -len(unit) - 1].removesuffix("_in"), _HEADER_UNITS[unit]  # "diameter in cm"
    return words, ""


def unit_fits(kind: str, unit: str) -> bool:
    """Return whether a column of this kind may be headed with this unit.

    Examples
    --------
    >>> unit_fits("ft", "m"), unit_fits("ft", "kg"), unit_fits("F", "C"), unit_fits("text", "kg")
    (True, False, True, True)
    """
    if not unit or kind in ("text", "species", "place", "choice"):
        return True
    if kind in ("in", "ft"):
        return unit in INCHES
    return unit in {"F": "F C", "date": "mdy dmy ymd", "nominal": "in", "number": ""}[kind].split()


_PLAIN = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d{1,2})?")


# three digits behind one sign: decimals, or thousands
_OPEN = re.compile(r"([+-]?[1-9]\d{0,2})([.,])(\d{3})(?![\d.,/])(.*)", re.S)
# and what can be but one of the two: 8,5  0,125  1234,567  1.234,5
_DECIMAL = re.compile(
    r"""[+-]?(?:0?(?=[.,])|\d{4,}|\d{1,3}(?:\.\d{3})+(?=,)|\d{1,3}(?:,\d{3})+(?=\.)|\d+(?=[.,](?!\d{3}(?!\d))))
    ([.,])\d+(?![\d.,/])""",
    re.X,
)


def open_sign(text: str) -> str:
    """Return the sign in a number that can part its decimals or its thousands, "" if there is no such sign.

    Examples
    --------
    >>> open_sign("1.200"), open_sign("1,200 bf"), open_sign("8,5"), open_sign("0.125")
    ('.', ',', '', '')
    """
    m = _OPEN.fullmatch(text)
    return m[2] if m else ""


def decimal_sign(text: str) -> str:
    """Return the sign in a number that can only part its decimals, "" if there is none.

    Examples
    --------
    >>> decimal_sign("8,5"), decimal_sign("0,125"), decimal_sign("1.234,5"), decimal_sign("1.200"), decimal_sign("12")
    (',', ',', ',', '', '')
    """
    m = _DECIMAL.match(text)
    return m[1] if m else ""


def number(text: str, kind: str, unit: str, decimal: str) -> tuple[float | None, str]:
    """Return (value in the column's own unit, "") or (None, why not).

    `decimal` is the sign that parts decimals where the number itself leaves it open, as 1.200 does; "" if that is
    not known.
    """
    if len(text) > LONGEST:
        return None, ""
    if _PLAIN.fullmatch(text) and (decimal == "." or not open_sign(text)):
        return _into(float(text), kind, unit), ""
    text = text.translate(PLAIN_SIGNS).strip()
    if m := _OPEN.fullmatch(text):
        whole, sign, digits, rest = m.groups()
        if not decimal:
            mark = "comma" if sign == "," else "point"
            return (
                None,
                f" {text} could be {whole}{digits}{rest} or {whole}.{digits}{rest}: write it without {mark}",
            )
        text = f"{whole}{'.' * (sign == decimal)}{digits}{rest}"
    if kind in ("in", "ft") and (ways := over_a_foot(text)):
        return None, f" In {text} the inches are more than a foot. Is {' or '.join(ways)} meant?"
    if kind in ("in", "ft") and (inches := read_feet_and_inches(text)) is not None:
        return _into(inches, kind, "in"), ""
    if re.fullmatch(r"[+-]?\d{1,3}(,\d{3})+(\.\d+)?", text) and not text.startswith("0,"):
        return _into(float(text.replace(",", "")), kind, unit), ""
    if re.fullmatch(r"[+-]?\d{1,3}(\.\d{3})+,\d+", text):
        return _into(float(text.replace(".", "").replace(",", ".")), kind, unit), ""
    text = re.sub(r"^([+-]?\d+),(\d+)(?![\d,])", r"\1.\2", text)  # no thousands any more
    why = ""
    for said in ("", *_UNITS_OF.get(kind, ("%", "bf"))):
        try:
            return _into(read_amount(text, said), kind, said or unit), ""
        except InputError as error:
            why = why or (f" {error}" if text[:1].isdigit() and (said or kind == "number") else "")
    return None, why


_OVER = re.compile(r"(\d+)\s*(?:'|ft\.?|feet|foot)\s*-?\s*(\d{2,3})\s*(?:\"|''|in\.?|inch|inches)?", re.I)


def over_a_foot(text: str) -> tuple[str, ...]:
    """Return what feet with a foot or more of inches behind them may mean; () if there are fewer.

    Examples
    --------
    >>> print(*over_a_foot("8 ft 14 in"), sep=", ")
    9' 2", 8' 1.4"
    >>> over_a_foot("8 ft 6 in")
    ()
    """
    m = _OVER.fullmatch(text.translate(PLAIN_SIGNS).strip())
    if not m or (inches := int(m[2])) < 12:
        return ()
    feet, rest = divmod(inches, 12)
    ways = [f"{int(m[1]) + feet}' {rest}\""] if feet < 3 else []
    return (*ways, f"{m[1]}' {inches / 10:g}\"") if inches < 120 else tuple(ways)


_UNITS_OF = {"in": ("in", "ft", "cm", "mm", "m"), "ft": ("ft", "in", "cm", "mm", "m"), "F": ("F", "C")}


_ABOUT = re.compile(
    r"^\s*(?:ca|c|circa|about|abt|approx|approximately|around|roughly)\b\.?\s*(?=\d)|(?<=\d)\s*-?ish$", re.I
)
_PLAIN_LIKELY = 2  # inches: a fraction over 1 that is less, 17/16, may well be meant as it is (judgment)


def likely_fractions(text: str) -> tuple[str, ...]:
    """Return what a fraction over 1 may mean, behind which its unit may stand: 141/2 lost its gap, 17/16 perhaps not.

    Examples
    --------
    >>> likely_fractions("141/2 in"), likely_fractions("17/16"), likely_fractions("7/8")
    (('14-1/2 in',), ('1-7/16', '1-1/16'), ())
    """
    m = re.match(r"(\d+)/(\d+)", text) if len(text) <= LONGEST else None
    ways = run_together(m[0]) if m else ()
    if m and ways and (size := int(m[1]) / int(m[2])) < _PLAIN_LIKELY:
        ways = (*ways, fraction(size, 64))
    return tuple(f"{way}{text[m.end() :]}" for way in ways) if m else ()


def likely_number(text: str) -> str:
    """Return `text` with the usual slips of the pen mended, or "": 12..5, 1O, l2, 12-, 141/2.

    Examples
    --------
    >>> likely_number("1O.5"), likely_number("12..5"), likely_number("141/2 in"), likely_number("abc")
    ('10.5', '12.5', '14-1/2 in', '')
    >>> likely_number(">30"), likely_number("ca. 12"), likely_number("12ish"), likely_number("~12")
    ('30', '12', '12', '12')
    """
    was = text
    ways = likely_fractions(text)
    if ways:
        return ways[0] if len(ways) == 1 else ""
    text = _ABOUT.sub("", text, 1) if len(text) <= LONGEST else text
    mended = re.sub(r"[.,]{2,}", ".", text.translate(str.maketrans("OoIl|", "00111"))).strip(
        " .,;:*-_/~?#<>+"
    )
    if _PLAIN.fullmatch(text) and text != was:
        return text
    return mended if len(text) <= LONGEST and mended != text and _PLAIN.fullmatch(mended) else ""


def _into(value, kind, unit):
    if kind in ("in", "ft") and unit in INCHES and unit != kind:
        return value * INCHES[unit] / INCHES[kind]
    if kind == "F" and unit == "C":
        return fahrenheit(value)
    return value


def into_file_unit(value: float, kind: str, unit: str) -> float:
    """Return a value in the unit that the column of a file is headed with."""
    if kind in ("in", "ft") and unit in INCHES:
        return round(value * INCHES[kind] / INCHES[unit], 6)
    if kind == "F" and unit == "C":
        return round(celsius(value), 6)
    return value


_SPOILED = re.compile(r"(\d{1,2})[-. ]+([a-z]{3,9})\.?|([a-z]{3,9})\.?[-. ]+(\d{1,2})", re.I)


def quarters(text: str) -> str:
    """Return a cell of a column headed "quarters" as a thickness by name: 4 means 4/4; what else, as it is.

    Examples
    --------
    >>> quarters("5"), quarters("5/4"), quarters("1")
    ('5/4', '5/4', '1')
    """
    m = re.fullmatch(r"0*([2-9]|[1-4]\d)(?:\.0*)?", text)
    return f"{m[1]}/4" if m else text


def bare_quarters(text: str) -> int:
    """Return the number of a thickness like 4 or 4.0, inches to the letter and often quarters of an inch; else 0.

    Examples
    --------
    >>> bare_quarters("4"), bare_quarters("8.0"), bare_quarters("4,0"), bare_quarters("4/4"), bare_quarters("2")
    (4, 8, 4, 0, 0)
    """
    m = re.fullmatch(r"0*([4-8])(?:[.,]0*)?", text)
    return int(m[1]) if m else 0


def short_date_of(text: str) -> str:
    """Return the thickness that a spreadsheet turned into a short date, this year added; "" if it is none such.

    Examples
    --------
    >>> short_date_of("08/04/26"), short_date_of("2026-04-04"), short_date_of("5/4"), short_date_of("3/5/26")
    ('8/4', '4/4', '', '')
    """
    m = re.fullmatch(
        r"(\d{1,2})[/.-](\d{1,2})[/.-](?:\d{4}|\d{2})|\d{4}[/-](\d{1,2})[/-](\d{1,2})", text.strip()
    )
    if not m:
        return ""
    one, other = int(m[1] or m[3]), int(m[2] or m[4])
    if 4 not in (one, other) or not 3 <= (many := one if other == 4 else other) <= 16:
        return ""
    return f"{many}/4"


@functools.cache
def nominal(text: str) -> tuple[str, str]:
    """Return ("5/4", note) for 5/4, 1.25, 1 1/4 in, and for what spreadsheets make of 5/4 (4-May)."""
    note = ""
    if m := _SPOILED.fullmatch(text.strip()):
        day, month = int(m[1] or m[4]), month_of(m[2] or m[3])
        if 4 not in (day, month):
            return "", ""
        meant = f"{month if day == 4 else day}/4"
        text, note = meant, f"{text!r} read as {meant}, which a spreadsheet took for a date"
    try:
        name = thickness_name(within("nominal", nominal_in(text), 0.5, 12))
    except InputError:
        return "", ""
    return (name, note) if name.endswith("/4") else ("", "")


def species_name(text: str) -> tuple[str, str, str]:
    """Return (the wood by its name here, what was expected if there is none, a note)."""
    name, expected = _species(re.sub(r"[^a-z]+", " ", text.lower()).strip())
    return name or text, expected, ""


@functools.cache
def _species(letters):
    from woodcalc import species

    try:
        return species.get(letters).name, ""
    except InputError as error:
        expected = _unknown("species", error)
        if not _like_a_wood(letters, error.near):
            woods = f"None of the {len(species.names())} woods here goes by that name. {_OWN_WOOD}"
            return "", f"a species that the book knows. {woods}"
        return "", expected


_OWN_WOOD = "Lesson 0 takes a wood of your own."
_LIKE = 0.75  # of the letters of a word; of one that begins otherwise more (judgment)
_LIKE_FIRST = 0.85
_SHORT = 3  # letters that stand in many names


def _like_a_wood(typed, names):
    """True if a word of what was typed may be a slip of the pen of one in a name: a wood is not offered for #N/A."""
    from difflib import SequenceMatcher

    from woodcalc import species

    spoken = (one for wood, also in species.everyday().items() for one in (wood, *also))
    if len(whole := re.sub(r"[^a-z]", "", typed)) > _SHORT and any(
        whole in re.sub(r"[^a-z]", "", one.lower()) for one in spoken
    ):
        return True
    words, said = ({w for w in re.findall(r"[a-z]{3,}", text.lower())} for text in (typed, " ".join(names)))

    def alike(one, other):
        ratio = SequenceMatcher(None, one, other).ratio()
        if one[0] != other[0]:
            return ratio >= _LIKE_FIRST
        return ratio >= _LIKE or other.startswith(one) or sorted(one) == sorted(other)

    return not names or any(alike(one, other) for one in words for other in said)


def _unknown(what, error):
    offer = str(error).partition(". ")[2]
    return f"a {what} that the book knows" + (f". {offer}" if offer else "")


@functools.cache
def place_name(text: str) -> tuple[str, str, str]:
    """Return (the place as it is written, what was expected if it is not known, a note)."""
    from woodcalc import climate

    try:
        climate.get(text)
    except InputError as error:
        if not error.unknown:  # more than one of that name
            return text, f"a place that the book knows: {error}".rstrip("."), ""
        names = list(climate.sites().name)
        near = [name for name in names if _alike(text, name)][:3]
        state = re.search(r"\b([A-Za-z]{2})\.?$", text.strip())
        there = [name for name in names if state and name.endswith(f", {state[1].upper()}")][:6]
        offer = "Look for your nearest larger town in the list"
        offer += "" if state else ", or write the state behind it: then the places there are named"
        if near:
            offer = f"Did you mean {' or '.join(near)}?"
        elif there:
            offer = f"In that state it knows {'; '.join(there)}"
        return text, f"a place that the book knows. {offer}", ""
    return text, "", ""


@functools.cache
def states() -> frozenset[str]:
    """Return the states of the places that the book knows, in two letters.

    Examples
    --------
    >>> "WI" in states(), "XX" in states()
    (True, False)
    """
    from woodcalc import climate

    return frozenset(m[1] for name in climate.sites().name if (m := re.search(r", ([A-Z]{2})$", name)))


def _alike(typed, place):
    """True if a place may be a slip of the pen of what was typed: a word in common is not enough."""
    from difflib import SequenceMatcher

    typed = re.sub(r",?\s+[a-z]{2}$", "", typed.strip().lower())  # the state
    return SequenceMatcher(None, typed, place.partition(",")[0].lower()).ratio() > 0.8


def offered_names(expected: str) -> tuple[str, ...]:
    """Return the names among which "Did you mean X or Y?" or "Which one: X or Y?" asks; () if neither is said.

    Examples
    --------
    >>> offered_names("a species that the book knows. Which one: black ash, green ash or white ash?")
    ('black ash', 'green ash', 'white ash')
    """
    m = re.search(r"(?:Did you mean|Which one:) ([^?]+)\?", expected)
    return tuple(re.split(r" or |, (?![A-Z]{2}\b)", m[1])) if m else ()


def likely_name(text: str, expected: str) -> str:
    """Return the name among those that "... Did you mean X or Y?" offers that is by far the nearest, or "".

    Examples
    --------
    >>> likely_name("blck walnut", "a species that the book knows. Did you mean black walnut, walnut or black locust?")
    'black walnut'
    >>> likely_name("red", "a species that the book knows. Did you mean red pine or red maple?")
    ''
    """
    from difflib import SequenceMatcher

    names = offered_names(expected) if "Did you mean" in expected else ()
    near = sorted(((SequenceMatcher(None, text.lower(), n.lower()).ratio(), n) for n in names), reverse=True)
    clear = near and near[0][0] > 0.75 and (len(near) == 1 or near[0][0] > near[1][0] + 0.08)
    return near[0][1] if clear else ""


_CHOICE_SPELLINGS = {
    "meter": "moisture meter, mc",
    "weight": "scale, weighed, wt",
    "oven-dry": "oven dry, od, ovendry, oven-dry weight",
    "lb": "lbs, pound, pounds",
    "g": "gram, grams",
    "oz": "ounce, ounces",
    "%": "pct, percent",
}
CHOICE_WORDS = {word: choice for choice, words in _CHOICE_SPELLINGS.items() for word in words.split(", ")}


def likely_ids(text: str) -> tuple[str, ...]:
    """Return the marks that a spreadsheet may have turned into `text`: 2-Jan was 1-2 or 2-1; () if it is none such.

    Examples
    --------
    >>> likely_ids("2-Jan")
    ('1-2', '2-1', '1/2', '2/1', 'Jan2')
    >>> likely_ids("Jan-32"), likely_ids("1.00E+05"), likely_ids("A1")
    (('1-32', '1/32'), ('1E5',), ())
    """
    text = str(text)
    if m := re.fullmatch(r"(\d)\.0*E\+0*(\d+)", text):
        return (f"{m[1]}E{m[2]}",)
    m = re.fullmatch(r"(\d{1,2})[-. ]+([a-z]{3})\.?|([a-z]{3})[-. ]+(\d{2})", text, re.I)
    if not m or (name := (m[2] or m[3]).lower()) not in MONTHS:
        return ()
    month = MONTHS[name]
    if m[2]:
        day = int(m[1])
        return tuple(
            dict.fromkeys(
                (f"{month}-{day}", f"{day}-{month}", f"{month}/{day}", f"{day}/{month}", f"{m[2]}{day}")
            )
        )
    return f"{month}-{m[4]}", f"{month}/{m[4]}"


@functools.lru_cache(20_000)
def bare(mark: object) -> str:
    """A mark without what is easily written another way.

    That is capitals, blanks, a word processor's dash, the word before it (Stack A), the point and zeros of a
    spreadsheet.

    Examples
    --------
    >>> bare("Stack A"), bare("1\u20133"), bare("7.0")
    ('a', '1-3', '7')
    """
    plain = re.sub(r"[\u2010-\u2015\u2212]", "-", str(mark).casefold().strip())
    plain = re.sub(r"^(?:stack|pile|board|log)(?:[\s.:#_-]+|(?=\d))(?=.)", "", plain)
    return re.sub(r"\.0+$", "", re.sub(r"\s+", "", plain))


def range_of(mark: str, known: Iterable[str]) -> list[str]:
    """Return the first and the last of the marks that one like 1-3 seems to run through; [] if it runs through none.

    Examples
    --------
    >>> range_of("1 to 3", ["1", "2", "3"]), range_of("1-3", ["1", "2"])
    (['1', '3'], [])
    """
    m = re.fullmatch(r"(.+?)(?:-|to|\.\.+|&|\+|,|and)(.+)", bare(mark))
    near = {bare(k): k for k in known} if m else {}
    ends = [near[end] for end in m.groups() if end in near] if m else []
    return ends if len(ends) == 2 and ends[0] != ends[1] else []


# What a spreadsheet turns into something else when it opens a file: a day, a time, a number without its zeros.
_MONTH = r"(?:jan|feb|mar|apr|may|june?|july?|aug|sept?|oct|nov|dec)[a-z]*"
_CHANGED = re.compile(
    rf"""\d{{1,4}}[-/]\d{{1,2}}([-/]\d{{1,4}})?   # 1-2, 3/4, 1-2-25
    |\d{{1,4}}[-/ .]?{_MONTH}([-/ .,]*\d{{1,4}})?  # 1-Mar, 4 May 25
    |{_MONTH}[-/ .]?\d{{1,4}}([-/ .,]+\d{{1,4}})?  # MAR1
    |\d+(\.\d*)?e[+-]?\d+                         # 1E5
    |0\d+|\d{{12,}}|\d+\.\d*0|\d+\ \d+/\d+         # 007, 1.10, 1 1/2
    |\+\.?\d.*|\.\d+|\d+\.                       # +1, .5, 5.
    |\d{{1,3}}([\ ,]\d{{3}})+(\.\d*)?               # 1 000, 1,000
    |[\d.,]+\ ?%|\$\ ?[\d.,]+                     # 1%, $1
    |\d{{1,2}}:\d{{1,2}}(:\d{{1,2}})?|true|false""",
    re.I | re.X,
)


def _changes(text):
    """True for text that a spreadsheet runs as a formula, or takes for a date or a number."""
    text = text.lstrip("'")
    runs = text[:1] in "=@\t\r" if text[:1] not in "+-" else not _PLAIN.fullmatch(text)
    return bool(text) and (runs or _CHANGED.fullmatch(text) is not None)


def inert(text: Any) -> Any:
    """Return a cell that a spreadsheet neither runs nor changes: a tick before =1+2, 1-2, MAR1, 007.

    `as_typed` takes the tick away again. Anything but text is returned as it is.

    Examples
    --------
    >>> inert("=HYPERLINK(1)"), inert("1-2"), inert("-4.5"), inert("7"), inert(3.5)
    ("'=HYPERLINK(1)", "'1-2", '-4.5', '7', 3.5)
    """
    return f"'{text}" if isinstance(text, str) and _changes(text) else text


def as_typed(cell: str) -> str:
    """Return what stood in a cell before `inert`.

    Examples
    --------
    >>> as_typed("'1-2"), as_typed("'tis wet"), as_typed(inert("'1-2"))
    ('1-2', "'tis wet", "'1-2")
    """
    return cell[1:] if cell.startswith("'") and _changes(cell[1:]) else cell


def as_text(value: Any) -> str:
    """Return a value as it stands in a cell: dates year first, numbers without zeros at the end."""
    if blank(value):
        return ""
    if isinstance(value, (datetime, date)):  # pandas' Timestamp is one
        return f"{value.year:04}-{value.month:02}-{value.day:02}"
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, int):
        return str(value)
    try:
        return f"{float(value):.10g}"
    except (TypeError, ValueError, OverflowError):
        return str(value).strip()


def as_shown(value: Any) -> str:
    """Return a value as a page shows it: as in a cell, but 30 cm not as 11.81102362 in.

    Examples
    --------
    >>> as_shown(30 / 2.54), as_shown(1.0625), as_shown("1-3")
    ('11.8', '1.0625', '1-3')
    """
    text = as_text(value)
    long = not isinstance(value, str) and len(text.partition(".")[2]) > 5
    return f"{float(value):.3g}" if long and abs(float(value)) < 1000 else text


def as_measured(value: Any, kind: str) -> str:
    """Return a value as it was likely measured, where a decimal of feet or inches would be a long one.

    Parameters
    ----------
    value : number or text
    kind : str
        That of its column: ``"ft"`` or ``"in"``; of any other it is `as_text`.

    Examples
    --------
    >>> as_measured(12 + 1 / 3, "ft"), as_measured(4 / 0.3048, "ft"), as_measured(12.5, "ft")
    ('12\\' 4"', '4 m', '12.5')
    >>> as_measured(14 + 1 / 64, "in"), as_measured(30 / 2.54, "in"), as_measured(10.123456, "in")
    ('14-1/64', '30 cm', '10.123456')
    """
    text = as_text(value)
    if (
        isinstance(value, str)
        or kind not in ("in", "ft")
        or len(text.partition(".")[2]) <= 5
        or not 0 < value < 1e6
    ):
        return text
    inches = float(value) * (12 if kind == "ft" else 1)
    nearly = 1e-7 * max(inches, 1.0)
    for parts in (1, 2, 4, 8, 16, 32, 64):
        if abs(inches * parts - round(inches * parts)) < nearly * parts:
            if kind == "in":
                return fraction(inches, parts)
            feet, rest = divmod(round(inches * parts), 12 * parts)
            return f"{feet}' " + fraction(rest / parts, parts) + '"'
    in_unit = inches * (M_PER_IN if kind == "ft" else CM_PER_IN)
    if abs(in_unit - round(in_unit, 2)) < 1e-6:
        return f"{round(in_unit, 2):g} {'m' if kind == 'ft' else 'cm'}"
    return text


def same_row(series: Mapping[str, Any], before: Mapping[str, Any]) -> bool:
    """Return whether two rows say the same in the columns of the first."""
    before = dict(before)
    return all(as_text(series[name]) == as_text(before.get(name)) for name in dict(series))


def csv_text(rows: Iterable[Sequence[str]], delimiter: str, newline: str, quoted: int | None = None) -> str:
    """Return rows of cells as the lines of a CSV file; what holds a delimiter, a quote or a line end is quoted.

    The cells of one column, `quoted`, always are.
    """
    needs = re.compile(rf'["\r\n{delimiter}]|^\s|\s$')

    def written(i, cell):
        cell = str(cell)
        return '"' + cell.replace('"', '""') + '"' if i == quoted or needs.search(cell) else cell

    return "".join(delimiter.join(written(*each) for each in enumerate(row)) + newline for row in rows)
