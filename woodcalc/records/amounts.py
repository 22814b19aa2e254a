"""One reader of a number with its unit, as people write it: in a dial, a form, an answer, a cell of a table."""

from __future__ import annotations

import re

from woodcalc.checks import InputError, quoted
from woodcalc.sizes import NUMBER, PLAIN_SIGNS, fraction, read_feet_and_inches, read_number, run_together
from woodcalc.units import INCHES, POUNDS, celsius, fahrenheit

MOST = 1e9
LONGEST = 40  # letters: longer is no number that anybody wrote

# unit: how it is spelled; the first is how it is named in a sentence
UNITS = {
    "in": "inches, inch, in, \", ''",
    "ft": "feet, foot, ft, '",
    "cm": "centimeters, centimeter, centimetres, centimetre, cm",
    "mm": "millimeters, millimeter, millimetres, millimetre, mm",
    "m": "meters, meter, metres, metre, m",
    "F": "degrees Fahrenheit, fahrenheit, f, deg f, degrees f",
    "C": "degrees Celsius, celsius, centigrade, c, deg c, degrees c",
    "lb": "pounds, pound, lb, lbs",
    "oz": "ounces, ounce, oz",
    "g": "grams, gram, g, gr",
    "kg": "kilograms, kilogram, kilos, kilo, kg",
    "%": "percent, %, pct, per cent",
    "$": "dollars, dollar, $, usd",
    "cents": "cents, cent, ¢",
    "bf": "board feet, board foot, bf, bd ft, board-feet, board-foot, bdft",
    "ft2": "square feet, ft2, sq ft, ft²",
    "weeks": "weeks, week, wk, wks",
    "days": "days, day, d",
    "h": "hours, hour, h, hr, hrs",
}
SPELLED = {word.lower(): unit for unit, words in UNITS.items() for word in words.split(", ")}
_HOURS = {"h": 1.0, "days": 24.0, "weeks": 168.0}
_DOLLARS = {"$": 1.0, "cents": 0.01}
_TAPE = {"in": 1, "ft": 12}  # one tape shows both
_SCALES = ("lb", "oz", "g", "kg")  # what a scale says its weights in
_NO_TAPE, _PARTS = ("%", "F", "C", *_SCALES), (2, 4, 8, 16, 32, 64)  # 10/20 there is two numbers

_POWER = r"(?:\d+\.?\d*|\.\d+)[eE][+-]?\d{1,2}(?![\w.])"  # 1e3, as calculators write it
_THOUSANDS = r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?(?![\d,/])"
_THOUSANDS_BY_POINT = r"[1-9]\d{0,2}(?:\.\d{3})+,\d+(?![\d,/])"
_FIRST = re.compile(
    rf"([+-]?)\s*(\$?)\s*({_POWER}|{_THOUSANDS}|{_THOUSANDS_BY_POINT}|\d+/\d+|{NUMBER})\s*(.*)", re.S
)
_SCALE_WORDS = {word: unit for word, unit in SPELLED.items() if unit in _SCALES}
_WEIGHT = re.compile(
    rf"([\d.,/½¼¾⅛⅜⅝⅞\s-]*[\d.½¼¾⅛⅜⅝⅞])\s*({'|'.join(sorted(_SCALE_WORDS, key=len, reverse=True))})\.?", re.I
)
_LB = "pounds?|lbs?"
_POUNDS_AND_OUNCES = re.compile(rf"(\d+)\s*(?:{_LB})\.?\s*,?\s*({NUMBER})\s*(?:ounces?|oz)\.?", re.I)


def read_pounds_and_ounces(text: str) -> float | None:
    """Return pounds from a text that names pounds and ounces; None if it is no such text.

    Parameters
    ----------
    text : str

    Examples
    --------
    >>> read_pounds_and_ounces("9 lb 5 oz"), read_pounds_and_ounces("9 lb"), read_pounds_and_ounces("9 lb 17 oz")
    (9.3125, None, None)
    """
    m = _POUNDS_AND_OUNCES.fullmatch(text.translate(PLAIN_SIGNS).strip())
    try:
        ounces = read_number(m[2]) if m else 16.0
    except InputError:
        return None
    return float(m[1]) + ounces / 16 if m and ounces < 16 else None


def weight_and_scale(text: str) -> tuple[str, str]:
    """Return (the number as it was written, the unit) of a weight that names its unit; ("", "") of anything else.

    Parameters
    ----------
    text : str

    Examples
    --------
    >>> weight_and_scale("16.5 lbs"), weight_and_scale("9 lb 5 oz"), weight_and_scale("14.90#")
    (('16.5', 'lb'), ('9.3125', 'lb'), ('14.90', 'lb'))
    >>> weight_and_scale("24 %")
    ('', '')
    """
    if len(text) > LONGEST:
        return "", ""
    if (pounds := read_pounds_and_ounces(text)) is not None:
        return f"{pounds:.4f}", "lb"
    m = _WEIGHT.fullmatch(re.sub(r"#\s*$", "lb", text))  # 14.9# is in pounds
    return (m[1].strip(), _SCALE_WORDS[m[2].lower()]) if m else ("", "")


def unit_of(label: str) -> str:
    """Return the unit that a field's own words begin with, one of `UNITS`, or "".

    Examples
    --------
    >>> unit_of("% MC"), unit_of("in per 4 ft"), unit_of("boards"), unit_of("in 100")
    ('%', 'in', '', '')
    """
    words = label.lower().split()
    if label == "in 100":
        return ""
    tries = (label.lower(), " ".join(words[:2]), words[0] if words else "")
    return next((SPELLED[each] for each in tries if each in SPELLED), "")


def unit_behind(text: str) -> str:
    """Return the unit, one of `UNITS`, that is written with a number; "" if none is, or it is no number.

    Parameters
    ----------
    text : str

    Examples
    --------
    >>> unit_behind("12.1 %"), unit_behind("$500"), unit_behind("20 %MC"), unit_behind("12"), unit_behind("oak")
    ('%', '$', '%', '', '')
    """
    found = _FIRST.fullmatch(text.translate(PLAIN_SIGNS).strip()) if len(text) <= LONGEST else None
    if not found:
        return ""
    try:
        return "$" if found[2] else _said(found[4], "", "")
    except InputError:
        return ""


def read_amount(text: str, unit: str = "", label: str = "") -> float:
    """Return the number that a person wrote, in the field's own unit, or say why it can't be one.

    Feet and inches serve for each other, as on a tape, and pounds and ounces may stand together. Any other unit than
    the field's own is refused by name, with the number that it is in the field's own.

    Parameters
    ----------
    text : str
        ``12``, ``12.5``, ``12,5``, ``1,250``, ``1e3``, ``26-1/2``, ``1¼``, ``10' 6"``, ``9/16 in``, ``5 %``, ``$9.45``.
    unit : str
        The field's own, ``"in"``, ``"% MC"``, ``"boards"``; it may be repeated behind the number.
    label : str
        What the field is called: its words may stand behind the number, too, as in ``3 boards``.

    Returns
    -------
    float

    Raises
    ------
    InputError
        No number, more than one (``10/20`` %), another unit, over 1e9, or a fraction like ``141/2`` that a lost gap may
        have made.

    Examples
    --------
    >>> read_amount("1-1/8"), read_amount("12,5 %", "% MC"), read_amount("$1,250", "$"), read_amount("10' 6\\"", "ft")
    (1.125, 12.5, 1250.0, 10.5)
    >>> read_amount("2424 kg", "lb")
    Traceback (most recent call last):
    woodcalc.checks.InputError: This is in pounds, not in kilograms. 2424 kg is 5344 lb: type 5344.
    """
    return _read(text, unit, label)[0]


def read_amount_of_any_unit(text: str, unit: str = "", label: str = "") -> tuple[float, str]:
    """Return (the number in the field's own unit, a sentence), also of a number in another unit of the same measure.

    Parameters
    ----------
    text, unit, label : str
        As for `read_amount`. A unit of more than one word, ``"in per 4 ft"``, takes no other.

    Returns
    -------
    float, str
        A length of 3 in or more as a tape shows it, in sixteenths. The sentence says what was taken for what; "" if
        the number was in the field's own unit.

    Raises
    ------
    InputError
        As `read_amount`, but for a unit of the same measure.

    Examples
    --------
    >>> read_amount_of_any_unit("30 cm", "in"), read_amount_of_any_unit("12", "in")
    ((11.8125, '30 cm is 11-13/16 in.'), (12.0, ''))
    """
    return _read(text, unit, label, takes_other=unit.lower() in SPELLED)


def _read(text, unit, label, takes_other=False):
    """(the number in the field's own unit, what to say of it)."""
    own = unit_of(unit)
    clean = str(text).translate(PLAIN_SIGNS).strip()
    if " " in unit and clean.lower().endswith(unit.lower()):
        clean = clean[: -len(unit)].rstrip()
    if own in _TAPE and (inches := read_feet_and_inches(clean)) is not None:
        return inches / _TAPE[own], ""
    if own == "lb" and (pounds := read_pounds_and_ounces(clean)) is not None:
        return pounds, ""
    found = _FIRST.fullmatch(clean) if 0 < len(clean) <= LONGEST else None
    if not found:
        raise InputError("It does not begin with a number.")
    sign, dollar, digits, rest = found.groups()
    if re.search(r"[\d,/]", rest) and rest.strip(" .").lower() not in SPELLED:  # ft2
        raise InputError("Only one number goes in here.")
    if own in _NO_TAPE and (part := re.fullmatch(r"(\d+)/(\d+)", digits)):
        over, under = map(int, part.groups())
        if (over >= under or under not in _PARTS) and not run_together(digits):
            raise InputError("Only one number goes in here.")
    said = "$" if dollar else _said(rest, unit, label)
    if said and said != own and not (said in _TAPE and own in _TAPE):
        found = _in_own(f"{sign}{digits}", said, own)
        if found and takes_other:
            return found[0], f"{clean} is {found[1]} {own}."
        asked = "% of dry weight" if unit == "% MC" else _named(own) or unit
        if not asked:  # what it is in stands with what was expected
            raise InputError(f"It can't be in {_named(said)}.")
        told = f" {clean} is {found[2]} {own}: type {found[1]}." if found else ""
        raise InputError(f"This is in {asked}, not in {_named(said)}.{told}")
    value = _value(digits) * (_TAPE[said] / _TAPE[own] if said in _TAPE and said != own else 1)
    if value > MOST:
        raise InputError("That number is too large. Was a key held down?")
    return (-value if sign == "-" else value), ""


def _in_own(digits, said, own):
    """The field's own number for one in another unit, (number, as typed, as told); None if there is none."""
    try:
        value = _value(digits.lstrip("+-")) * (-1 if digits[0] == "-" else 1)
    except InputError:
        return None
    for units in (INCHES, POUNDS, _HOURS, _DOLLARS):
        if said in units and own in units:
            found = value * units[said] / units[own]
            break
    else:
        if {said, own} != {"F", "C"}:
            return None
        found = round(fahrenheit(value) if said == "C" else celsius(value), 1)
    if not 0.001 <= abs(found) < 10_000:  # far from anything on a farm: a slip
        return None
    if own == "in" and 3 <= found < 200:
        by_tape = round(16 * found) / 16
        return by_tape, fraction(by_tape, 16), f"{found:.3g}"
    typed = f"{found:.{3 if own == 'in' else 4}g}"
    return float(typed), typed, typed


def _value(digits):
    if re.fullmatch(_POWER, digits):
        return float(digits)
    if re.fullmatch(_THOUSANDS, digits):
        return float(digits.replace(",", ""))
    if re.fullmatch(_THOUSANDS_BY_POINT, digits):
        return float(digits.replace(".", "").replace(",", "."))
    try:
        return read_number(re.sub(r"^0,(\d+)$", r"0.\1", digits))
    except InputError as error:
        if run_together(digits):
            raise
        raise InputError("A fraction is written like 1-1/8 or 7/8, a decimal like 12.5.") from error


def _said(rest, unit, label):
    """The unit that was written behind the number; "" if none, or only words of the field's own."""
    word = rest.strip(" .").lower().replace("°", "").strip()
    if not word:
        return ""
    if word in SPELLED:
        return SPELLED[word]
    if word.startswith("%") and word[1:].strip() in ("mc", "of dry weight") and unit_of(unit) in ("%", ""):
        return "%"
    own = {each.rstrip("s") for each in re.findall(r"[a-z]+", f"{unit} {label}".lower())}
    words = word.split()
    first = SPELLED.get(words[0], "")
    if all(each.rstrip("s") in own for each in words[bool(first) :]):
        return first
    raise InputError(f"What does {quoted(rest.strip())} stand for?")


def _named(unit):
    return UNITS[unit].partition(",")[0] if unit in UNITS else ""
