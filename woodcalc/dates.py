"""Days as people and spreadsheets write them, and how a day, a span of days or "never" is told."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime

from woodcalc.checks import blank

NEVER, NOT_REACHED = "never", "not reached"
MONTHS = {
    m: i
    for i, m in enumerate(
        ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"), start=1
    )
}
_DASHES = dict.fromkeys((0x2010, 0x2011, 0x2012, 0x2013, 0x2212), "-")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]\d{1,2}:\d{2}.*)?")
_THREE = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})(?:\s+\d{1,2}:\d{2}.*)?")
_WORDY = re.compile(
    r"(?:(\d{1,2})(?:st|nd|rd|th)?[\s.-]*([a-z]{3,9})|([a-z]{3,9})\.?\s*(\d{1,2})(?:st|nd|rd|th)?)"
    r"[\s.,-]*(\d{4}|\d{2})",
    re.I,
)


def day_told(when: date | None) -> str:
    """Return a date in few letters; None is never.

    Parameters
    ----------
    when : date or None

    Examples
    --------
    >>> day_told(date(2026, 7, 9)), day_told(None)
    ('9 Jul 2026', 'never')
    """
    return NEVER if when is None else f"{when.day} {when:%b %Y}"


def days_told(days: float, within: int | None = None, unit: bool = True) -> str:
    """Return a count of days in words; NaN is never, or not in the days that were looked at.

    Parameters
    ----------
    days : float
        NaN: it does not get there.
    within : int, optional
        Days that were looked at.
    unit : bool
        With the word "days"; a column of a table that has it in its head goes without.

    Returns
    -------
    str

    Examples
    --------
    >>> days_told(146.8), days_told(1), days_told(float("nan")), days_told(float("nan"), 180)
    ('147 days', '1 day', 'never', 'not in 180 days')
    >>> days_told(146.8, unit=False), days_told(float("nan"), 180, unit=False)
    ('147', 'not in 180')
    """
    lead, count = ("", days) if not blank(days) else ("not in ", within)
    if count is None:
        return NEVER
    return f"{lead}{count:,.0f}" + (f" day{'s' * (round(count) != 1)}" if unit else "")


def span_told(low: date | None, likely: date | None, high: date | None, likely_first: bool = False) -> str:
    """Return in words when it is dry: the first, the likely and the last day; None is never.

    Parameters
    ----------
    low, likely, high : date or None
        As `drying.Forecast.date_of` gives them.
    likely_first : bool
        For a table: the likely day, the others in brackets behind it, years where they are not the likely day's.

    Returns
    -------
    str

    Examples
    --------
    >>> july, august, next_june = date(2026, 7, 9), date(2026, 8, 3), date(2027, 6, 1)
    >>> span_told(july, august, next_june)
    '9 Jul 2026 to 1 Jun 2027, likely 3 Aug 2026'
    >>> span_told(july, august, next_june, likely_first=True)
    '3 Aug 2026 (9 Jul to 1 Jun 2027)'
    >>> span_told(july, august, None), span_told(july, None, None), span_told(None, None, None)
    ('9 Jul 2026 or later, likely 3 Aug 2026, or never', 'not before 9 Jul 2026, perhaps never', 'not reached')
    >>> span_told(july, august, None, likely_first=True), span_told(july, None, None, likely_first=True)
    ('3 Aug 2026 (9 Jul or later, or never)', 'perhaps never (not before 9 Jul 2026)')
    """
    if low is None:
        return NOT_REACHED
    if likely is None:
        early = f"not before {day_told(low)}"
        return f"perhaps {NEVER} ({early})" if likely_first else f"{early}, perhaps {NEVER}"
    if not likely_first:
        if high is None:
            return f"{day_told(low)} or later, likely {day_told(likely)}, or {NEVER}"
        return f"{day_told(low)} to {day_told(high)}, likely {day_told(likely)}"

    def short(when):
        return f"{when.day} {when:%b}" if when.year == likely.year else day_told(when)

    ends = f"{short(low)} to {short(high)}" if high else f"{short(low)} or later, or {NEVER}"
    return f"{day_told(likely)} ({ends})"


def slashed(text: str) -> re.Match[str] | None:
    """Return the match of a date in three numbers, ``5/6/26`` or ``5-6-26``, whose order can be in doubt; else None.

    Parameters
    ----------
    text : str
        A cell as it was typed.

    Examples
    --------
    >>> slashed("5/6/26")[1], slashed("5.6.26"), slashed("2026-06-05")
    ('5', None, None)
    """
    m = _THREE.fullmatch(_with_hyphens(text))
    return m if m and m[2] != "." else None


def date_order(texts: Iterable[str]) -> str:
    """Return "mdy" or "dmy" if the dates of a column leave no doubt, or all that tell but a single one; else "".

    Parameters
    ----------
    texts : iterable of str
        The cells of a column; what is no date in three numbers tells nothing.

    Examples
    --------
    >>> date_order(["5/6/26", "5/24/26"]), date_order(["5/6/26"])
    ('mdy', '')
    >>> date_order(["5/24/26", "6/21/26", "28/6/26"]), date_order(["5/24/26", "28/6/26"])
    ('mdy', '')
    """
    pairs = [(int(m[1]), int(m[3])) for t in dict.fromkeys(texts) if (m := slashed(t))]
    day_first, month_first = sum(a > 12 for a, _ in pairs), sum(b > 12 for _, b in pairs)
    if min(day_first, month_first) > 1 or day_first == month_first:
        return ""
    return "dmy" if day_first > month_first else "mdy"


def date_of(text: str, order: str, in_a_file: bool = True) -> tuple[datetime | None, str]:
    """Return (the day, "") or (None, why not); `in_a_file`: a header could tell the order of day and month.

    Parameters
    ----------
    text : str
        A cell as it was typed.
    order : {"mdy", "dmy", ""}
        Which comes first where both may be a month; "" for not known.
    in_a_file : bool
        Whether a header could tell the order.

    Examples
    --------
    >>> f"{date_of('24 May 2026', '')[0]:%Y-%m-%d}", f"{date_of('5/6/26', 'mdy')[0]:%Y-%m-%d}"
    ('2026-05-24', '2026-05-06')
    >>> date_of("5/6/26", "", in_a_file=False)
    (None, ' 6 May or 5 June? Write 2026-05-06 or 2026-06-05')
    """
    text = _with_hyphens(text)
    if m := _ISO.fullmatch(text):
        return _day(int(m[1]), int(m[2]), int(m[3]))
    if m := _THREE.fullmatch(text):
        a, b, year = int(m[1]), int(m[3]), _year(m[4])
        now = datetime.now().year
        if not in_a_file and len(m[4]) == 2 and abs(_year(m[1]) - now) < abs(year - now):  # 25-06-21
            (first, _), (last, _) = _day(_year(m[1]), b, int(m[4])), _day(year, b, a)
            if first and last and first != last:
                which = f"{first.day} {first:%B %Y} or {last.day} {last:%B %Y}"
                return None, f" {which}? Write {first:%Y-%m-%d} or {last:%Y-%m-%d}"
        if m[2] == ".":  # points between day, month, year are written day first everywhere
            return _day(year, b, a)
        if a > 12 or order == "dmy":
            return _day(year, b, a)
        if b > 12 or order == "mdy":
            return _day(year, a, b)
        (one, why), (other, _) = _day(year, a, b), _day(year, b, a)
        if one is None or a == b:
            return one, why
        if not in_a_file:
            which = f"{one.day} {one:%B} or {other.day} {other:%B}"
            return None, f" {which}? Write {one:%Y-%m-%d} or {other:%Y-%m-%d}"
        head_it = "head the column 'date (m/d/y)' or 'date (d/m/y)'"
        return None, f" {text} could be {one:%Y-%m-%d} or {other:%Y-%m-%d}: write it so, or {head_it}"
    if m := _WORDY.fullmatch(text):
        month = MONTHS.get((m[2] or m[3])[:3].lower())
        if month:
            return _day(_year(m[5]), month, int(m[1] or m[4]))
    return None, ""


def possible_days(text: str, year: int | None = None) -> tuple[datetime, ...]:
    """Return the days that a date can mean, month first or day first; `year` stands in for the one written.

    Parameters
    ----------
    text : str
        A cell as it was typed.
    year : int, optional
        The year to take in place of the one written.

    Examples
    --------
    >>> [f"{day:%Y-%m-%d}" for day in possible_days("5/6/26")]
    ['2026-05-06', '2026-06-05']
    >>> [f"{day:%Y-%m-%d}" for day in possible_days("2035-06-05", 2025)]
    ['2025-06-05']
    """
    text = _with_hyphens(text)
    if m := _ISO.fullmatch(text):
        parts = [(m[1], m[2], m[3])]
    elif m := _THREE.fullmatch(text):
        parts = [(m[4], m[3], m[1])] if m[2] == "." else [(m[4], m[1], m[3]), (m[4], m[3], m[1])]
    elif (m := _WORDY.fullmatch(text)) and (month := MONTHS.get((m[2] or m[3])[:3].lower())):
        parts = [(m[5], month, m[1] or m[4])]
    else:
        return ()
    days = [_day(_year(y) if year is None else year, int(m), int(d))[0] for y, m, d in parts]
    return tuple(dict.fromkeys(day for day in days if day))


def _with_hyphens(text):
    """The text with the hyphens and dashes of word processors and phones as plain ones."""
    return text.translate(_DASHES)


def _year(text):
    return int(text) + (2000 if len(text) == 2 else 0)


def _day(year, month, day):
    try:
        found = datetime(year, month, day)
    except ValueError:
        return None, " There is no such day"
    if not 1950 <= year <= 2100:
        return None, f" The year {year} cannot be right"
    return found, ""
