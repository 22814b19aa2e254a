"""Days as people and spreadsheets write them, and how a day, a span of days or "never" is told."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime, timedelta

from woodcalc.checks import blank

NEVER, NOT_REACHED = "never", "not reached"
_NAMES = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip
MONTHS = {name[:3]: number for number, name in enumerate(_NAMES, start=1)}
_DASHES = dict.fromkeys((0x2010, 0x2011, 0x2012, 0x2013, 0x2212), "-")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]\d{1,2}:\d{2}.*)?")
_THREE = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})(?:\s+\d{1,2}:\d{2}.*)?")
_WORDY = re.compile(  # the digits of a day never touch those of a year: April 2026 is no 20 April 26
    r"(?:(\d{1,2})(?:st|nd|rd|th)?[\s.-]*([a-z]{3,9})[\s.,'-]*"
    r"|([a-z]{3,9})\.?\s*(\d{1,2})(?:(?:st|nd|rd|th)[\s.,'-]*|[\s.,'-]+))"
    r"(\d{4}|\d{2})",
    re.I,
)
_YEARLESS = re.compile(
    r"(\d{1,2})(?:st|nd|rd|th)?[\s.-]+([a-z]{3,9})\.?|([a-z]{3,9})\.?[\s-]+(\d{1,2})(?:st|nd|rd|th)?", re.I
)
_WEEKDAY = re.compile(  # and "of": Friday, the 20th of November 2026
    r"^\s*(?:mon|tues?|wed|wednes|thu|thurs?|fri|sat|satur|sun)(?:day)?[.,]?\s+(?:the\s+)?(?=[\da-z])"
    r"|(?<=[\da-z])\s+of(?=\s)",
    re.I,
)
_DAYLESS = re.compile(
    r"([a-z]{3,9})[\s.,'/-]*(\d{4})|(\d{4})[\s.,/-]*(?:([a-z]{3,9})|(\d{1,2}))\.?|(\d{1,2})[./-](\d{4})", re.I
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


def calendar_day(day: date) -> str:
    """Return a day as on a calendar.

    Parameters
    ----------
    day : date

    Examples
    --------
    >>> calendar_day(date(2025, 7, 19))
    '19 July 2025'
    """
    return f"{day.day} {day:%B %Y}"


def month_name(number: int) -> str:
    """Return the name of a month from its number.

    Parameters
    ----------
    number : int
        1 to 12.

    Examples
    --------
    >>> month_name(5)
    'May'
    """
    return _NAMES[int(number) - 1].capitalize()


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

    def short(when: date) -> str:
        return f"{when.day} {when:%b}" if when.year == likely.year else day_told(when)

    ends = f"{short(low)} to {short(high)}" if high else f"{short(low)} or later, or {NEVER}"
    return f"{day_told(likely)} ({ends})"


def month_of(word: str) -> int:
    """Return the number of a month by its name or the first letters of it, at least three; 0 if it is no month's.

    Parameters
    ----------
    word : str

    Examples
    --------
    >>> month_of("June"), month_of("Sept"), month_of("junk")
    (6, 9, 0)
    """
    number = MONTHS.get(word[:3].lower(), 0)
    return number if number and _NAMES[number - 1].startswith(word.lower()) else 0


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


def _year_leads(text: str) -> bool:
    """True of a date like 26-06-21 whose first number may be the year: in the last dozen years, and in no future."""
    m = _THREE.fullmatch(_with_hyphens(text))
    if not m or len(m[1]) != 2 or len(m[4]) != 2:
        return False
    day, _ = _day(_year(m[1]), int(m[3]), int(m[4]))
    return day is not None and date.today().year - _RECENT_YEARS <= day.year and day <= _last_day()


def _last_day() -> datetime:
    """No day of a record is later: tomorrow, since a server's day may be behind the learner's."""
    return datetime.now() + timedelta(days=1)


def open_orders(text: str) -> tuple[str, ...]:
    """Return the orders in which a date can be read that its own numbers leave open; () if there is but one.

    Parameters
    ----------
    text : str
        A cell as it was typed.

    Examples
    --------
    >>> open_orders("5/6/26"), open_orders("5/24/26"), open_orders("2026-06-05")
    (('mdy', 'dmy'), (), ())
    """
    m = _THREE.fullmatch(_with_hyphens(text))
    if not m:
        return ()
    orders = ("dmy",) if m[2] == "." or int(m[1]) > 12 else ("mdy", "dmy")
    days = {date_of(text, order)[0]: order for order in (*orders, *(["ymd"] if _year_leads(text) else []))}
    return tuple(order for day, order in days.items() if day) if len(days) > 1 and None not in days else ()


def date_order(texts: Iterable[str], first: date | None = None) -> str:
    """Return "mdy", "dmy" or "ymd" if the dates of a column leave no doubt, or all that tell but a single one.

    Parameters
    ----------
    texts : iterable of str
        The cells of a column; what is no date in three numbers tells nothing.
    first : date, optional
        No day is earlier, such as that of stacking.

    Returns
    -------
    str
        "" if nothing tells; ``"?"`` if it is open whether the year of two digits comes first or last.

    Examples
    --------
    >>> date_order(["5/6/26", "5/24/26"]), date_order(["5/6/26"])
    ('mdy', '')
    >>> date_order(["5/24/26", "6/21/26", "28/6/26"]), date_order(["5/24/26", "28/6/26"])
    ('mdy', '')
    >>> date_order(["25-05-10", "25-05-24", "25-06-28"])
    'ymd'
    """
    texts = list(dict.fromkeys(texts))
    if end := _year_end(texts, first):
        return end
    pairs = [(int(m[1]), int(m[3])) for t in texts if (m := slashed(t)) and not _which_end("", True, m)]
    day_first, month_first = sum(a > 12 for a, _ in pairs), sum(b > 12 for _, b in pairs)
    if min(day_first, month_first) > 1 or day_first == month_first:
        return ""
    return "dmy" if day_first > month_first else "mdy"


_RECENT_YEARS = 12  # a record is no older, if its year is to be taken from the first of three numbers
_ONE_SEASON, _SCATTERED = 1, 4  # years from the first day of a table to its last


def _year_end(texts: Iterable[str], first: date | None) -> str:
    """Return "ymd" or "dmy" if dates like 26-06-21 tell at which end the year stands, "?" if not; "" if none may lead.

    One way is out if it puts days into the future or before `first`; or if it scatters them over the years while the
    other keeps them in one season.
    """
    three = [m for t in texts if (m := _THREE.fullmatch(_with_hyphens(t)))]
    leads = [_year_leads(m[0]) for m in three]
    if not any(leads) or leads.count(False) > max(1, len(three) // 4):
        return ""
    ends = {}
    for order, can in (("ymd", leads), ("dmy", [True] * len(three))):
        days = [date_of(m[0], order)[0] if ok else None for m, ok in zip(three, can, strict=True)]
        good = [d for d in days if d and d <= _last_day() and (first is None or d.date() >= first)]
        years = [d.year for d in good] or [0]
        ends[order] = len(days) - len(good), max(years) - min(years), min(years)
    (out, spread, begin), (out_last, spread_last, begin_last) = ends["ymd"], ends["dmy"]
    if out == out_last:
        for order, here, there in (("ymd", spread, spread_last), ("dmy", spread_last, spread)):
            if len(three) > 2 and here <= _ONE_SEASON and there >= _SCATTERED:
                return order
        this_year = date.today().year
        nearer = this_year - begin < this_year - begin_last
        return "?" if nearer or (spread < spread_last and this_year - begin <= 3) else ""
    if out == 0 and (out_last == len(three) or spread < spread_last):
        return "ymd"
    if out_last == 0 and (out == len(three) or spread_last <= spread):
        return "dmy"
    return (
        "ymd"
        if out <= 1 and spread < spread_last
        else "dmy"
        if out_last <= 1 and spread_last < spread
        else "?"
    )


def date_of(text: str, order: str, in_a_file: bool = True) -> tuple[datetime | None, str]:
    """Return (the day, "") or (None, why not); `in_a_file`: a header could tell the order of day and month.

    Parameters
    ----------
    text : str
        A cell as it was typed.
    order : {"mdy", "dmy", "ymd", "?", ""}
        Which comes first where several may; "" for not known, "?" if not even whether the year does.
    in_a_file : bool
        Whether a header could tell the order.

    Examples
    --------
    >>> f"{date_of('24 May 2026', '')[0]:%Y-%m-%d}", f"{date_of('5/6/26', 'mdy')[0]:%Y-%m-%d}"
    ('2026-05-24', '2026-05-06')
    >>> f"{date_of('26-06-21', 'ymd')[0]:%Y-%m-%d}", f"{date_of('26-06-21', 'dmy')[0]:%Y-%m-%d}"
    ('2026-06-21', '2021-06-26')
    >>> date_of("5/6/26", "", in_a_file=False)
    (None, ' 6 May or 5 June? Write 2026-05-06 or 2026-06-05')
    """
    text = _with_hyphens(text)
    if m := _ISO.fullmatch(text):
        return _day(int(m[1]), int(m[2]), int(m[3]))
    if m := _THREE.fullmatch(text):
        a, b, year = int(m[1]), int(m[3]), _year(m[4])
        if order == "ymd" and len(m[1]) == len(m[4]) == 2 and a > 12:
            return _day(_year(m[1]), b, int(m[4]))
        if why := _which_end(order, in_a_file, m):
            return None, why
        if m[2] == ".":  # points between day, month, year are written day first everywhere
            return _day(year, b, a)
        if a > 12 or order == "dmy":
            return _day(year, b, a)
        if b > 12 or order == "mdy":
            return _day(year, a, b)
        (one, why), (other, _) = _day(year, a, b), _day(year, b, a)
        if one is None or other is None or a == b:
            return one, why
        if not in_a_file:
            which = f"{one.day} {one:%B} or {other.day} {other:%B}"
            return None, f" {which}? Write {one:%Y-%m-%d} or {other:%Y-%m-%d}"
        head_it = "head the column 'date (m/d/y)' or 'date (d/m/y)'"
        return None, f" {text} could be {one:%Y-%m-%d} or {other:%Y-%m-%d}: write it so, or {head_it}"
    if (m := _WORDY.fullmatch(text)) and (month := month_of(m[2] or m[3])):
        return _day(_year(m[5]), month, int(m[1] or m[4]))
    return None, _as_counted(text) or _which_day(text) or _which_year(text, in_a_file)


def _which_year(text: str, in_a_file: bool) -> str:
    """Ask for the year of a day that is written without one; "" if it is no such text, or the whole file is asked."""
    m = None if in_a_file else _YEARLESS.fullmatch(text)
    month = month_of(m[2] or m[3]) if m else 0
    if not m or not month:
        return ""
    years = (date.today().year, date.today().year - 1)
    days = [day for year in years if (day := _day(year, month, int(m[1] or m[4]))[0])]
    return f" Which year? Write {' or '.join(f'{day:%Y-%m-%d}' for day in days)}" if days else ""


def _as_counted(text: str) -> str:
    """Say which day 46145, as a spreadsheet counts them, and 20260503 may be; "" if the text is no such number."""
    if re.fullmatch(r"[345]\d{4}", text):
        day = date(1899, 12, 30) + timedelta(days=int(text))
        return f" A spreadsheet's count of days? That day is {calendar_day(day)}: write {day:%Y-%m-%d}"
    if re.fullmatch(r"(19|20)\d{6}", text):
        found = _day(int(text[:4]), int(text[4:6]), int(text[6:]))[0]
        return f" Is that {calendar_day(found)}? Write {found:%Y-%m-%d}" if found else ""
    return ""


def _which_day(text: str) -> str:
    """Ask for the day of a month with its year; "" if it is no such text."""
    if not (m := _DAYLESS.fullmatch(text)):
        return ""
    month = month_of(m[1] or m[4] or "") or int(m[5] or m[6] or 0)
    first, why = _day(int(m[2] or m[3] or m[7]), month, 1) if month else (None, "")
    if not first:
        return why
    return f" Which day of {first:%B %Y}? If you only know about when, write the middle: {first:%Y-%m}-15"


def _which_end(order: str, in_a_file: bool, m: re.Match[str]) -> str:
    """Ask at which end of 26-06-21 the year stands, unless the order tells; "" if it can be but one."""
    text = m[0]
    if order == "dmy" or not _year_leads(text):
        return ""
    now, year = date.today().year, _year(m[4])
    if order != "?" and not abs(_year(m[1]) - now) < abs(year - now):
        return ""
    (first, _), (last, _) = _day(_year(m[1]), int(m[3]), int(m[4])), _day(year, int(m[3]), int(m[1]))
    if not first or not last or first == last:
        return ""
    write = f"{first:%Y-%m-%d} or {last:%Y-%m-%d}"
    if not in_a_file:
        return f" {first.day} {first:%B %Y} or {last.day} {last:%B %Y}? Write {write}"
    return f" {text} could be {write}: write it so, or head the column 'date (y/m/d)' or 'date (d/m/y)'"


def possible_days(text: str, year: int | None = None) -> tuple[datetime, ...]:
    """Return the days that a date can mean, whatever comes first; `year` stands in for the one written.

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
        parts += [(m[1], m[3], m[4])] if _year_leads(text) else []
    elif (m := _WORDY.fullmatch(text)) and (month := month_of(m[2] or m[3])):
        parts = [(m[5], month, m[1] or m[4])]
    else:
        return ()
    days = [_day(_year(y) if year is None else year, int(m), int(d))[0] for y, m, d in parts]
    return tuple(dict.fromkeys(day for day in days if day))


def _with_hyphens(text: str) -> str:
    """The text with the dashes of word processors and phones as plain hyphens, and without the day of the week."""
    return _WEEKDAY.sub("", text.translate(_DASHES))


def _year(text: str) -> int:
    return int(text) + (2000 if len(text) == 2 else 0)


def _day(year: int, month: int, day: int) -> tuple[datetime | None, str]:
    try:
        found = datetime(year, month, day)
    except ValueError:
        return None, " There is no such day"
    if not 1950 <= year <= 2100:
        return None, f" The year {year} cannot be right"
    return found, ""
