"""How a span of days is told: one wording, whatever of it is never reached."""

from datetime import date

import pytest

from woodcalc import drying
from woodcalc.dates import (
    date_of,
    date_order,
    day_told,
    days_told,
    open_orders,
    possible_days,
    span_told,
)

LOW, LIKELY, HIGH = date(2026, 7, 9), date(2026, 8, 3), date(2027, 6, 1)
NAN = float("nan")


@pytest.mark.parametrize(
    "span, sentence, cell",
    [
        ((LOW, LIKELY, HIGH), "9 Jul 2026 to 1 Jun 2027, likely 3 Aug 2026", "3 Aug 2026 (9 Jul to 1 Jun 2027)"),
        ((LOW, LIKELY, None), "9 Jul 2026 or later, likely 3 Aug 2026, or never",
         "3 Aug 2026 (9 Jul or later, or never)"),
        ((LOW, None, None), "not before 9 Jul 2026, perhaps never", "perhaps never (not before 9 Jul 2026)"),
        ((None, None, None), "not reached", "not reached"),
    ],
)  # fmt: skip
def test_a_span_in_words(span, sentence, cell):
    assert (span_told(*span), span_told(*span, likely_first=True)) == (sentence, cell)


def test_years_stand_in_brackets_only_where_they_differ():
    assert span_told(LOW, HIGH, date(2028, 1, 2), True) == "1 Jun 2027 (9 Jul 2026 to 2 Jan 2028)"


@pytest.mark.parametrize(
    "days, within, words, cell",
    [
        (146.6, None, "147 days", "147"),
        (1.2, 180, "1 day", "1"),
        (0.0, None, "0 days", "0"),
        (1234.0, None, "1,234 days", "1,234"),
        (NAN, None, "never", "never"),
        (NAN, 180, "not in 180 days", "not in 180"),
    ],
)
def test_days_in_words(days, within, words, cell):
    assert (days_told(days, within), days_told(days, within, unit=False)) == (words, cell)


def test_a_day_in_words():
    assert (day_told(LOW), day_told(None)) == ("9 Jul 2026", "never")


def test_only_one_place_says_never_of_a_day():
    """Pictures, lessons and the plan take the words from here."""
    from test_gates import ROOT

    for part in ("figures", "lesson", "leader", "plan"):
        for path in (ROOT / "woodcalc" / part).rglob("*.py"):
            text = path.read_text(encoding="utf-8")
            said = [
                f'"{word}"'
                for word in ("never", "not reached", "not in 180", "over 180")
                if f'"{word}"' in text
            ]
            assert said == [], path


@pytest.mark.parametrize(
    ("when", "number"),
    [((2027, 1, 1), 0), ((2028, 2, 28), 58), ((2028, 2, 29), 58), ((2028, 3, 1), 59), ((2028, 12, 31), 364)],
)
def test_a_leap_day_shifts_no_later_day(when, number):
    assert drying.day_of_year(date(*when)) == number


def test_a_year_of_two_digits_that_may_come_first_is_asked_about():
    now = f"{date.today():%y}"
    day, why = date_of(f"{now}-06-13", "", in_a_file=False)
    assert day is None and f"20{now}-06-13" in why and f"2013-06-{now}" in why
    assert date_of(f"13/6/{now}", "", in_a_file=False)[0] is not None  # this year, day first


THIS = date.today().year % 100


@pytest.mark.parametrize(
    ("texts", "order"),
    [
        ([f"{THIS - 1:02}-05-10", f"{THIS - 1:02}-05-24", f"{THIS - 1:02}-06-07"], "ymd"),
        ([f"{THIS - 1:02}.05.10", f"{THIS - 1:02}.05.24", f"{THIS - 1:02}.06.07"], "ymd"),
        ([f"{THIS - 1:02}-06-{THIS + 2:02}"], "ymd"),  # day first it would be in the future
        ([f"{THIS - 1:02}-06-13"], "?"),
        ([f"{THIS - 1:02}-06-13", f"{THIS - 1:02}-07-05"], "?"),
        ([f"13/6/{THIS:02}", f"14/6/{THIS:02}", f"20/6/{THIS:02}"], "dmy"),
        ([f"{THIS - 2:02}/6/{THIS:02}", f"{THIS - 1:02}/6/{THIS:02}"], "dmy"),
        ([f"5/24/{THIS:02}", f"6/3/{THIS:02}"], "mdy"),
        (["24-05-2025", "25-05-2025"], "dmy"),
    ],
)
def test_at_which_end_the_year_of_a_column_stands(texts, order):
    assert date_order(texts) == order


def test_no_day_before_the_first_one_tells_at_which_end_the_year_stands():
    text = f"{THIS - 1:02}-06-13"
    assert date_order([text], date(2000 + THIS - 1, 5, 1)) == "ymd"
    assert [f"{day:%Y-%m-%d}" for day in possible_days(text)] == [f"2013-06-{THIS - 1:02}", f"20{text}"]
    assert open_orders(text) == ("dmy", "ymd")


@pytest.mark.parametrize(
    "text", ["April 2026", "May 2019", "Oct. 2024", "April, 2026", "2026-04", "2026 April", "4/2026"]
)
@pytest.mark.parametrize("in_a_file", [True, False])
def test_a_month_with_its_year_is_no_day_and_is_asked(text, in_a_file):
    day, why = date_of(text, "mdy", in_a_file)
    assert day is None and why.startswith(" Which day of ")
    assert possible_days(text) == () and date_order([text]) == ""


@pytest.mark.parametrize(
    ("text", "day"),
    [("20 April 2026", "2026-04-20"), ("April 20 2026", "2026-04-20"), ("April 20, 26", "2026-04-20"),
     ("Apr. 20th, 2026", "2026-04-20"), ("Apr 20th 26", "2026-04-20"), ("24May2026", "2026-05-24"),
     ("24-May-26", "2026-05-24"), ("May 24 '26", "2026-05-24"), ("24. Mai 2026", None), ("10 junk 2026", None),
     ("Sept. 4 2025", "2025-09-04"), ("4 sept 2025", "2025-09-04"), ("mayor 4 2025", None), ("April 30 1926", None)],
)  # fmt: skip
def test_a_day_with_the_name_of_its_month(text, day):
    found = date_of(text, "")[0]
    assert (found and f"{found:%Y-%m-%d}") == day


def test_a_count_of_days_and_a_date_without_strokes_are_said_as_a_day():
    assert date_of("46145", "")[1].endswith("That day is 3 May 2026: write 2026-05-03")
    assert date_of("20260503", "") == (None, " Is that 3 May 2026? Write 2026-05-03")
    assert date_of("20261503", "") == (None, "")
