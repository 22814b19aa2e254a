"""What the owner of a stack does next: when to weigh again, whether it dries too fast, when it is ready."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from woodcalc.checks import blank, capital
from woodcalc.climate import MONTH_NAMES
from woodcalc.dates import calendar_day
from woodcalc.drying.danger import checks_by_month, checks_say, greatest_day_pct
from woodcalc.drying.forecast import Span
from woodcalc.drying.safe_loss import SLOW_DOWN, bears, pace
from woodcalc.species import LIMIT_ABOVE_MC

if TYPE_CHECKING:
    import pandas as pd

    from woodcalc.drying.forecast import Forecast


READY_PCT = 20.0
# Weekly at first, every two to three weeks later: common practice. Between them, the days in which the stack loses so
# many points: judgment, so that weeks become three weeks as drying slows. Sooner after a loss over the safe one, and
# near it weekly: judgment.
LEAST_DAYS, MOST_DAYS, _POINTS, _SOON_DAYS = 7, 21, 7.0, 3
_STILL_PCT = 0.5  # points between two weighings that a scale can be off
# That the air moves an air-dry board through the seasons, and so little a day that it reads as 0.0: judgment
_SEASON_PCT, _NOTHING_PER_DAY = 2.0, 0.05
_METER_END_PCT = 30.0  # near fiber saturation, where the scale of a pin meter ends (common practice)
_METER_LOW_PCT = 7.0
_LONG_AGO = timedelta(days=400)  # a stack is read for a year or so
_TOGETHER = timedelta(days=30)  # readings of a stack that tell of the same days
_NAMED = 6  # boards that are told one by one
_SAME_PCT = 0.5  # points that a meter's correction moves a reading at least to be worth a word


@dataclass(frozen=True)
class Loss:
    """What a board lost between its last two weighings.

    Attributes
    ----------
    board : str
    since, until : date
        Days of the two weighings.
    pct_per_day : float
        Points of moisture content a day, the mean of those days; below 0 it gained.
    before_pct : float
        Moisture content at the first of the two, %.
    safe_pct_per_day : float or None
        Greatest safe loss of the wood: its own, else what `safe_loss.bears` holds against it; None for none.
    note : str
        Where that is not one in print for the wood itself; "" where it is.
    greatest_pct_per_day : float
        The greatest of those days that fits both weighings (`danger.greatest_day_pct`), which the verdict goes by; 0
        where only the mean is known.
    """

    board: str
    since: date
    until: date
    pct_per_day: float
    before_pct: float
    safe_pct_per_day: float | None
    note: str = ""
    greatest_pct_per_day: float = 0.0

    @property
    def _points(self) -> float:
        return self.pct_per_day * (self.until - self.since).days

    @property
    def _slow(self) -> bool:
        return abs(self.pct_per_day) < _NOTHING_PER_DAY

    @property
    def verdict(self) -> str:
        """One of ``"over"``, ``"close"``, ``"safe"``, ``"past"`` (too dry to check), ``"still"``, ``"gained"``, ``""``.

        Examples
        --------
        >>> Loss("A1", date(2027, 6, 3), date(2027, 6, 10), 4.1, 70.0, 3.8).verdict
        'over'
        """
        if abs(self._points) <= (_SEASON_PCT if self._slow else _STILL_PCT):
            return "still"
        if self._points < 0:
            return "gained"
        if self.before_pct <= LIMIT_ABOVE_MC:
            return "past"
        if self.safe_pct_per_day is None:
            return ""
        return pace(self._fastest, self.safe_pct_per_day)

    @property
    def _fastest(self) -> Any:
        return max(self.pct_per_day, self.greatest_pct_per_day)

    def says(self) -> str:
        """The loss and what to do about it, in words.

        Examples
        --------
        >>> print(Loss("A1", date(2027, 6, 3), date(2027, 6, 17), 1.4, 50.0, 3.8).says())
        Board A1 lost 1.4 points a day since 3 June 2027: safe (under 3.8).
        """
        verdict, since = self.verdict, calendar_day(self.since)
        if verdict == "still":
            return f"{_board(self.board)} has hardly changed since {since}."
        if verdict == "gained":
            told = f"{-self._points:.0f} points" if self._slow else f"{-self.pct_per_day:.1f} points a day"
            return (
                f"{_board(self.board)} gained {told} since {since}. Look whether rain or splash gets at it."
            )
        # never rounded to the safe side of its limit
        near = min(abs(each - (self.safe_pct_per_day or 0)) for each in (self.pct_per_day, self._fastest))
        digits = 1 if self.safe_pct_per_day is None or near >= 0.1 else 2
        lost = f"{self._points:.0f} points" if self._slow else f"{self.pct_per_day:.{digits}f} points a day"
        told = f"{_board(self.board)} lost {lost} since {since}"
        if verdict == "past":
            return f"{told}: under {LIMIT_ABOVE_MC:g} % new checks at the face are no longer the danger."
        if verdict == "":
            return f"{told}. No safe loss is published here for this wood: look at its faces and ends for checks."
        safe = f"{self.safe_pct_per_day:.{digits}f}"
        if verdict != pace(self.pct_per_day, float(self.safe_pct_per_day or 0)):
            told += f"; the first of these days were faster, likely up to {self._fastest:.{digits}f} a day"
        if verdict == "over":
            told += (
                f": over the safe {safe}. Slow it down now: {SLOW_DOWN}. Look at faces and ends for checks."
            )
        elif verdict == "close":
            told += (
                f": close to the safe {safe}, and one dry, windy day may be over it. Have shade ready for the windward "
                "side."
            )
        else:
            told += f": safe (under {safe})."
        return f"{told} {self.note}".strip()


@dataclass(frozen=True)
class Watch:
    """What to do next with one stack; made by `watch`.

    Attributes
    ----------
    stack : str
    boards : tuple of str
        Those to weigh, or to read, the next time; "" is a reading without a board's name.
    last : date or None
        Day of the newest reading that tells a moisture.
    next_weighing : date or None
        None if there is nothing to weigh: the stack is down to 20 %, or was left long ago.
    losses : tuple of Loss
        One for each weighed board that has two weighings, the fastest first.
    ready : Span of date or None
        Likely day of 20 %, with the days between which four stacks in five get there; None if no date is told, as where
        all of it lies before a day on which a board was wetter.
    is_ready : bool
        The newest readings of all boards are at 20 % or below.
    weigh_says, ready_says : str
        The sentences about weighing, and whether it can be taken in, with the board that decides it.
    meter_says : tuple of str
        What a meter could not tell.
    waits : tuple of str
        What weighings still wait for.
    ahead : str
        A later month in which boards that are still wet may check; "" for none.
    """

    stack: str
    boards: tuple[str, ...]
    last: date | None
    next_weighing: date | None
    losses: tuple[Loss, ...]
    ready: Span[date | None] | None
    is_ready: bool
    weigh_says: str
    ready_says: str
    meter_says: tuple[str, ...] = ()
    waits: tuple[str, ...] = ()
    ahead: str = ""

    @property
    def too_fast(self) -> bool:
        """True if a board lost more than is safe between its last two weighings."""
        return any(loss.verdict == "over" for loss in self.losses)

    @property
    def says(self) -> tuple[str, ...]:
        """All of it in sentences: a loss that is too fast first, then take in or leave, weigh, waits, losses, meter."""
        first = [loss.says() for loss in self.losses if loss.verdict == "over"][:_NAMED]
        others = [loss.says() for loss in self.losses if loss.verdict != "over"]
        room = _NAMED - len(first)
        more = len(self.losses) - len(first) - len(others[:room])
        verdict = (self.ready_says, self.weigh_says) if self.last else (self.weigh_says, self.ready_says)
        others = [*others[:room], f"{more} more boards lost less a day, or as fast." if more else ""]
        return tuple(filter(None, [*first, *verdict, self.ahead, *self.waits, *others, *self.meter_says]))


def days_between_weighings(loss_pct_per_day: float) -> int:
    """Days until a stack that loses so much is weighed again.

    Parameters
    ----------
    loss_pct_per_day : float
        Points of moisture content a day.

    Returns
    -------
    int
        The days in which it loses seven points, 7 to 21.

    References
    ----------
    Weekly at first, every two to three weeks later: common practice. The seven points are judgment.

    Examples
    --------
    >>> [days_between_weighings(loss) for loss in (1.4, 0.5, 0.1)]
    [7, 14, 21]
    """
    if loss_pct_per_day <= _POINTS / MOST_DAYS:
        return MOST_DAYS
    return max(LEAST_DAYS, round(_POINTS / loss_pct_per_day))


def watch(
    stack: str,
    forecast: Forecast,
    readings: pd.DataFrame,
    today: date | None = None,
    no_date: str = "",
    waits: Sequence[str] = (),
) -> Watch:
    """Return what to do next with a stack.

    Parameters
    ----------
    stack : str
        Its name.
    forecast : Forecast
        As its readings have taught it (`drying.forecast.taught`).
    readings : DataFrame
        `date`, `board`, `kind`, `mc_pct`, and `sure` where that is known: what is told by rows that look wrong counts
        for nothing here. `read_pct`, where it is known, is what a meter showed before it was corrected.
    today : date, optional
        The computer's if left out.
    no_date : str
        Why the readings teach no date; "" if they do.
    waits : sequence of str
        What weighings of some boards still wait for, in sentences.

    Returns
    -------
    Watch

    Examples
    --------
    >>> import pandas as pd
    >>> from woodcalc.drying import air_dry
    >>> seen = pd.DataFrame({"date": pd.to_datetime(["2027-05-15", "2027-05-29"]), "board": "A1", "kind": "weight",
    ...                      "mc_pct": [78.0, 58.0]})
    >>> oak = air_dry("northern red oak", "4/4", "Madison", "2027-05-15").update(seen)
    >>> for sentence in watch("A", oak, seen, date(2027, 5, 29)).says:  # doctest: +ELLIPSIS
    ...     print(sentence)
    Not ready: board A1 read 58 % on 29 May 2027; leave it. Down to 20 % most likely from 30 July 2027 (15 July to ...
    Weigh board A1 again on 5 June 2027 (7 days after the last time: common practice).
    Board A1 lost 1.4 points a day since 15 May 2027: safe (under 3.8).
    """
    today = today or date.today()
    sure = readings[readings["sure"]] if "sure" in readings and len(readings) else readings
    doubted = sorted({str(board) for board in readings["board"]} - {str(board) for board in sure["board"]})
    if sure.empty:
        return _unread(stack, forecast, today, waits, doubted)
    sure = sure.sort_values("date", kind="stable")
    last = sure["date"].iloc[-1].date()
    if today - last > _LONG_AGO:
        says = (
            f"No reading since {calendar_day(last)}. Boards that are still out there: weigh them now. If they have "
            "come in, there is nothing to do here."
        )
        return Watch(stack, (), last, None, (), None, False, says, "")
    newest = _newest(sure)
    losses = _losses(sure, forecast)
    wettest = newest.loc[newest["mc_pct"].idxmax()]
    is_ready = bool(wettest["mc_pct"] <= READY_PCT and not no_date and _told_low(newest))
    span = None if no_date or is_ready else _not_before(forecast.date_of(READY_PCT), wettest)
    weighed = tuple(dict.fromkeys(sure.loc[sure["kind"] == "weight", "board"]))
    boards = weighed or tuple(dict.fromkeys(sure["board"]))
    due, why = _due(losses, forecast, last, span)
    meter_says = _of_meters(newest, weighed)
    if doubted or (len(readings) and not _newest_is_sure(readings)):
        due, why = today, ""
        meter_says = (
            "The newest reading looks wrong and isn't counted here: weigh that board again.",
            *meter_says,
        )
    weigh_says = "" if is_ready else _weigh(boards, bool(weighed), due, why, today)
    ready_says = _ready(forecast, newest, span, no_date, today)
    return Watch(
        stack,
        boards,
        last,
        None if is_ready else due,
        losses,
        span,
        is_ready,
        weigh_says,
        ready_says,
        meter_says,
        tuple(waits),
        "" if is_ready else dry_weeks_ahead(forecast, float(wettest["mc_pct"]), today),
    )


def dry_weeks_ahead(forecast: Forecast, mc_pct: float, today: date) -> str:
    """Return a sentence on a later month whose dry weeks check boards that are still wet then; "" for none.

    Parameters
    ----------
    forecast : Forecast
        Of the stack.
    mc_pct : float
        Its wettest board now.
    today : date

    Returns
    -------
    str

    Examples
    --------
    >>> from woodcalc.drying import air_dry
    >>> winter = air_dry("pin oak", "8/4", "Madison", "2027-01-15")
    >>> dry_weeks_ahead(winter, 72.0, date(2027, 2, 1))
    'Only the outermost boards may check, in a dry week of April. Shade the sunny and the windward side by March.'
    """
    began = forecast.start.month
    if mc_pct <= LIMIT_ABOVE_MC:
        return ""
    row = checks_by_month(
        forecast.species,
        forecast.thickness_in,
        forecast.site,
        airflow=forecast.airflow,
        pile_width_ft=forecast.pile_width_ft,
    ).loc[began]
    if blank(row.level) or row.level < 1 or row.worst_month == began:
        return ""
    month = int(row.worst_month)
    if today >= date(forecast.start.year + (month < began), month, 1):
        return ""
    by = MONTH_NAMES[(month - 2) % 12]
    said = capital(checks_say(row.level, row.outer, month))
    return f"{said}. Shade the sunny and the windward side by {by}."


def wetter_since(forecast: Forecast, readings: pd.DataFrame) -> str:
    """Return a sentence on the board that was read over 20 % after all days that a forecast tells for it; "" if none.

    Parameters
    ----------
    forecast : Forecast
        As its readings have taught it.
    readings : DataFrame
        As for `watch`.

    Returns
    -------
    str

    Examples
    --------
    >>> import pandas as pd
    >>> from woodcalc.drying import air_dry
    >>> seen = pd.DataFrame({"date": pd.to_datetime(["2027-12-01"] * 2), "board": ["1", "2"], "kind": "weight",
    ...                      "mc_pct": [13.0, 24.0]})
    >>> oak = air_dry("northern red oak", "4/4", "Madison", "2027-05-15").update(seen)
    >>> wetter_since(oak, seen)
    'But board 2 read 24 % on 1 December 2027, after all of these days: the stack is not ready.'
    """
    import pandas as pd

    sure = readings[readings["sure"]] if "sure" in readings and len(readings) else readings
    if sure.empty or "board" not in sure:
        return ""
    dated = sure.assign(date=pd.to_datetime(sure["date"]))
    newest = _newest(dated.sort_values("date", kind="stable"))
    wettest = newest.loc[newest["mc_pct"].idxmax()]
    if _not_before(forecast.date_of(READY_PCT), wettest):
        return ""
    return (
        f"But {_named(wettest['board'])} {_read(wettest)}, after all of these days: the stack is not ready."
    )


def _unread(stack: Any, forecast: Any, today: Any, waits: Any, doubted: Any) -> Any:
    """What to do where no reading tells a moisture that can be trusted."""
    span = forecast.date_of(READY_PCT)
    if waits:
        says = f"{' '.join(waits)} Until then weigh once a week all the same, and keep the weights (common practice)."
    elif doubted:
        says = "No reading of this stack can be trusted so far. Weigh its sample boards again now."
    elif today - forecast.start > _LONG_AGO:
        says = (
            f"It was stacked on {calendar_day(forecast.start)}, and nothing of it was ever weighed. Read several "
            "boards with a meter before you count on anything."
        )
    elif today < forecast.start:
        says = (
            f"Weigh its sample boards on {calendar_day(forecast.start)}, the day it goes on sticks, then once a week "
            "(common practice)."
        )
        return Watch(
            stack,
            (),
            None,
            forecast.start,
            (),
            span,
            False,
            says,
            _unread_ready(forecast, span, today),
        )
    else:
        says = "No board of it has been weighed yet. Weigh its sample boards now, then once a week (common practice)."
    return Watch(stack, (), None, today, (), span, False, says, _unread_ready(forecast, span, today))


def _losses(sure: pd.DataFrame, forecast: Forecast) -> tuple[Loss, ...]:
    """The loss of each weighed board between its last two weighings, the fastest first."""
    borne = bears(forecast.species, forecast.thickness_in)
    limit, note = (None, "") if blank(borne.loss_pct) else (borne.loss_pct, borne.note)
    found = []
    for board, rows in sure[sure["kind"] == "weight"].groupby("board", sort=False):
        days = rows.groupby("date", sort=True)["mc_pct"].mean()
        if len(days) < 2 or blank(board):
            continue
        (since, before), (until, now) = list(days.items())[-2:]
        per_day = float(before - now) / (until - since).days
        greatest = greatest_day_pct(
            forecast.species, forecast.thickness_in, forecast.site, (since.date(), until.date()),
            (float(before), float(now)), forecast.start,
            airflow=forecast.airflow, pile_width_ft=forecast.pile_width_ft,
        ) if per_day > 0 and before > LIMIT_ABOVE_MC else per_day  # fmt: skip
        found.append(
            Loss(str(board), since.date(), until.date(), per_day, float(before), limit, note, greatest)
        )
    return tuple(sorted(found, key=lambda loss: -loss.pct_per_day))


def _due(losses: tuple[Loss, ...], forecast: Forecast, last: date, span: Span | None) -> tuple[date, str]:
    """The day of the next weighing, and why then."""
    fresh = [loss for loss in losses if last - loss.until < _TOGETHER]
    if any(loss.verdict == "over" for loss in fresh):
        return last + timedelta(
            days=_SOON_DAYS
        ), f"{_SOON_DAYS} days after the last time, as it dries too fast"
    day = min(max((last - forecast.start).days, 0), forecast.horizon_days - MOST_DAYS)
    ahead = forecast.daily["likely"].iloc[day : day + MOST_DAYS + 1]
    loss = max(
        [float(ahead.iloc[0] - ahead.iloc[LEAST_DAYS]) / LEAST_DAYS, *(each.pct_per_day for each in fresh)]
    )
    days = LEAST_DAYS if any(each.verdict == "close" for each in fresh) else days_between_weighings(loss)
    due = last + timedelta(days=days)
    if span and span.likely and last + timedelta(days=LEAST_DAYS) <= span.likely < due:
        return span.likely, f"the likely day of {READY_PCT:g} %"
    return due, f"{days} days after the last time: common practice"


def _weigh(boards: tuple[str, ...], weighed: bool, due: date, why: str, today: date) -> str:
    named = [str(board) for board in boards if not blank(board) and str(board)]
    some = named[:_NAMED] + (["the others"] if len(named) > _NAMED else [])
    which = " and ".join(filter(None, (", ".join(some[:-1]), some[-1]))) if some else ""
    board = f"board{'s' if len(named) > 1 else ''} {which}" if which else "the boards"
    do = f"Weigh {board} again" if weighed else f"Read {board} with the meter again"
    if due < today:
        return f"{do} now: that was due on {calendar_day(due)}."
    if due == today:
        return f"{do} today."
    return f"{do} on {calendar_day(due)} ({why})." if why else f"{do} on {calendar_day(due)}."


def _of_meters(newest: pd.DataFrame, weighed: tuple[str, ...]) -> tuple[Any, ...]:
    """What the newest readings of a meter cannot tell."""
    said = []
    for row in newest[newest["kind"] == "meter"].itertuples():
        if row.mc_pct > _METER_END_PCT:
            said.append(
                f"{_board(row.board)} read {row.mc_pct:.0f} % by meter on {calendar_day(row.date.date())}. Over "
                f"{_METER_END_PCT:g} % a pin meter says wet and no more: the reading is kept, but not trusted."
            )
    if not weighed:
        said.append("A meter can't tell how much a board loses in a day: weigh a sample board as well.")
    return tuple(said[:_NAMED])


def _told_low(newest: Any) -> Any:
    """True if no meter reading is past the low end of its scale."""
    return bool(((newest["kind"] != "meter") | (newest["mc_pct"] >= _METER_LOW_PCT)).all())


def _newest(sure: pd.DataFrame) -> pd.DataFrame:
    """The newest readings of each board; of those without a board's name, and read by meter alone, the last weeks'.

    A board that was only ever read by meter may not be found again, so it counts as long as one without a name.
    """
    sure = sure.assign(board=sure["board"].fillna(""))
    lately = sure["date"] > sure["date"].iloc[-1] - _TOGETHER
    of_board = sure.groupby("board", sort=False)
    kept = of_board["kind"].transform(lambda kinds: (kinds == "weight").any()) & (sure["board"] != "")
    return sure[(lately | kept) & (sure["date"] == of_board["date"].transform("max"))].reset_index(drop=True)


def _not_before(span: Span, wettest: pd.Series) -> Span | None:
    """The days of the forecast; None if all of them lie before a board was read as wetter."""
    if span.high and wettest["mc_pct"] > READY_PCT and span.high <= wettest["date"].date():
        return None
    return span


def _newest_is_sure(readings: pd.DataFrame) -> bool:
    day = readings["date"].max()
    return bool(readings.loc[readings["date"] == day, "sure"].any()) if "sure" in readings else True


def _ready(forecast: Forecast, newest: pd.DataFrame, span: Span | None, no_date: str, today: date) -> str:
    """Whether the stack can be taken in, or when, in words."""
    wettest = newest.loc[newest["mc_pct"].idxmax()]
    board = _named(wettest["board"])
    if wettest["mc_pct"] > READY_PCT:
        read, on = f"{board} {_read(wettest)}", wettest["date"].date()
        told = f"Not ready: {read}; leave it."
        if newest["date"].max().date() - on >= _TOGETHER:
            return f"Not known to be ready: {read}, and not since. Weigh it before you take anything in."
        if today - on >= _TOGETHER:  # long enough for a board near 20 % to have come down
            told = f"Not known to be ready: {read}. Weigh it before you take anything in."
        if no_date:
            return f"{told} No date yet: {no_date}."
        if span is None:
            return f"{told} The forecast had it down to {READY_PCT:g} % before that, so it tells no date."
        if span.high and span.high <= today:
            return f"Not known to be ready: {read}. {_should_have_been(span.high)}"
        return f"Not ready: {read}; leave it. {_from(forecast, span, on)}"
    if no_date:
        return f"Not known to be ready: the wettest, {board}, {_read(wettest)}, but {no_date}."
    if not _told_low(newest):
        low = newest[(newest["kind"] == "meter") & (newest["mc_pct"] < _METER_LOW_PCT)].iloc[0]
        return (
            f"Not known to be ready: {_named(low['board'])} {_read(low)}, and under {_METER_LOW_PCT:g} % a pin meter "
            "can't be trusted. Weigh that board, or read it again."
        )
    which = f"the wettest, {board}," if len(newest) > 1 else board
    return f"Ready for the kiln or indoors: {which} {_read(wettest)}. Measure several boards before you move them."


def _read(row: pd.Series) -> str:
    """What a reading said, and when; never rounded down to 20 %."""
    mc, on = row["mc_pct"], f"on {calendar_day(row['date'].date())}"
    told = f"{mc:.0f} %"
    if mc > READY_PCT and round(mc) <= READY_PCT:
        told = f"{mc:.1f} %" if mc >= READY_PCT + 0.05 else f"just over {READY_PCT:g} %"
    if row["kind"] != "meter":
        return f"read {told} {on}"
    if mc > _METER_END_PCT:
        return f"read over {_METER_END_PCT:g} % by meter {on}"
    shown = row.get("read_pct")
    if blank(shown) or abs(mc - shown) < _SAME_PCT:
        return f"read {told} by meter {on}"
    why = "cold" if mc > shown else "warmth"
    return f"read {told} by meter {on} (it showed {shown:g} %; corrected for the {why} of the wood)"


def _unread_ready(forecast: Any, span: Any, today: Any) -> Any:
    """When a stack without a reading is ready, in words."""
    if span.high and span.high <= today:
        return _should_have_been(span.high)
    if None in span:
        return forecast.says(READY_PCT)
    return f"Ready for the kiln or indoors at {READY_PCT:g} %: most likely from {_days(span)}."


def _should_have_been(when: Any) -> Any:
    return (
        f"By the forecast it should have been down to {READY_PCT:g} % by {calendar_day(when)}. Only a weighing or a "
        "meter says whether it is."
    )


def _from(forecast: Forecast, span: Span, read_on: date) -> str:
    """The days of 20 %, without those on which a board was read as wetter."""
    if None in span:
        return forecast.says(READY_PCT)
    if span.likely <= read_on:
        return f"By the forecast, down to {READY_PCT:g} % by {calendar_day(span.high)}."
    if span.low <= read_on:
        return f"Down to {READY_PCT:g} % most likely from {calendar_day(span.likely)} (by {calendar_day(span.high)})."
    return f"Down to {READY_PCT:g} % most likely from {_days(span)}."


def _days(span: Span) -> str:
    low, likely, high = span
    first = f"{low.day} {low:%B}" if low.year == high.year else calendar_day(low)
    return f"{calendar_day(likely)} ({first} to {calendar_day(high)})"


def _named(name: str) -> str:
    return f"board {name}" if not blank(name) and str(name) else "a board"


def _board(name: str) -> str:
    return f"Board {name}" if not blank(name) and str(name) else "The board"
