"""Readings held against their neighbors: the board, its stack, the air, the forecast."""

from __future__ import annotations

import math
import re
import warnings
from bisect import bisect
from collections import Counter
from datetime import date, timedelta
from functools import lru_cache
from itertools import combinations, permutations
from typing import TYPE_CHECKING, Any

from woodcalc.checks import InputError, RangeWarning, blank
from woodcalc.dates import calendar_day
from woodcalc.records.cells import as_text, bare
from woodcalc.records.choices import standing_at
from woodcalc.records.columns import Problem, named, rows_named
from woodcalc.units import POUNDS
from woodcalc.weighings import (
    DRY_WEIGHT,
    FALL,
    RISE_PCT,
    SEASON,
    WARM,
    WHICH_BOARD,
    off_the_path,
    readings_told,
    rows_by_stack,
    turned,
)

if TYPE_CHECKING:
    from woodcalc.records.gathered import Gathered

JUDGED = 60  # stacks whose readings are held against a forecast, the first in the table: a twentieth of a second each
_SAME_PCT = 3.0  # points between two readings of one board on one day
_DRY_PCT, _SOON_DAYS = 12.0, 14  # no green wood is down to that on sticks so soon
_CLOCK_BEHIND = timedelta(days=5 * 366)  # a clock further behind shows in all rows, not in the newest alone
_STILL_GREEN, _STILL_GREEN_DAYS = 0.85, 60  # of the green moisture; so many warm days take an inch below it
# Below the driest usual month: a year's month that only one in forty undercuts (two standard deviations, `emc_sd_pct`),
# and 2 points for what woods, meters and oven-dry weights from two sections differ by (common practice).
_DRIER_YEARS, _DRIER_PCT = 2.0, 2.0
_APART_PCT = 6.0  # points between two boards of a stack that are done drying (common practice)
_HELD_APART = 5  # boards, the driest and the wettest of a stack, that are held against each other
_APART_DAYS = 28  # in which it shows that both have nearly stopped: weighings are good to half a point
_NEARLY_DONE_PCT = 2.0  # points lost in that time
_ALIKE, _ALIKE_PCT = (
    1.25,
    0.3,
)  # of what the dry one loses, and points more: a board that is only slower loses more
_METER_STEP = 15.0  # points between two readings of a board that follow on each other
_MANY_STACKS = 20  # in which a board's mark stands: no mark of one board
START_ODD = "the readings contradict its moisture at stacking"
_WINTER = timedelta(days=183)  # between two weighings of a stack: few leave it longer (judgment)
_ASIDE = "the row, now set aside, of "


def set_aside_by_date(held: Gathered) -> None:
    """Set readings aside that are from the future, or from before their stack was stacked.

    Parameters
    ----------
    held : Gathered
        Gets the problems, and loses those rows.
    """
    import pandas as pd

    if "readings" not in held.frames:
        return
    frame = held.frames["readings"]
    stacked = held.stacked()
    last = held.today + timedelta(days=1)  # a server's day may be behind the learner's
    begin = frame["stack"].map(stacked)
    future = frame["date"] > pd.Timestamp(last)
    if _clock_is_behind(held, frame[future]):
        future[:] = False
    early = (frame["date"] < pd.to_datetime(begin)) & (frame["kind"] != "oven-dry")
    if not (future | early).any():
        return
    good = frame[~future & ~early]
    years = {s: list(g["date"].dt.year) for s, g in good.groupby("stack")}
    of_boards: dict[str, Counter[str]] = {}  # worked out once: a tangled table has many such rows
    for board, stack in zip(frame["board"].map(bare), frame["stack"], strict=True):
        of_boards.setdefault(board, Counter())[stack] += 1
    above = _days_above(held, frame, early)
    for row in frame.index[future | early]:
        stack, column = frame.loc[row, "stack"], "date"
        first = stacked.get(stack)
        mend = held.likely_day("readings", row, "date", first, years.get(stack, ()))
        if early[row] and (first - frame.loc[row, "date"]).days < 200:  # not a slip of the year
            mend = held.likely_day("readings", row, "date", first, None)
        if row in above:
            after, next_year = above[row]
            follows = mend and mend > as_text(after) and mend != as_text(next_year)
            mend = mend if follows and not next_year else "" if follows else as_text(next_year) or mend
        if future[row]:
            expected = (
                f"a day up to today, {as_text(held.today)} by this computer's clock. Is the year right?"
            )
        else:
            expected = f"a day after {as_text(first)}, when stack {stack} was stacked. "
            mark = bare(frame.loc[row, "board"])
            of_board = of_boards[mark] if mark else Counter()
            if others := _stacks_of_the_board(of_board, stack, frame.loc[row, "date"], stacked):
                column = "date" if mend else "stack"
                board, there = frame.loc[row, "board"], " and ".join(others)
                which = f"Is {others[0]} meant?" if len(others) == 1 else "Which stack is meant?"
                expected += f"Board {board} has its other readings in stack {there}. {which}"
                mend = "" if mend or len(others) > 1 else others[0]
            else:
                expected += "Is one of the two days wrong?"
        held.problems.append(held.problem("readings", row, column, expected, mend))
    dated = frame[frame["kind"] != "oven-dry"]
    by_stack = early[dated.index].groupby(dated["stack"]).agg(["all", "size"])
    whole = list(by_stack.index[by_stack["all"] & (by_stack["size"] > 1)])
    held.drop("readings", frame.index[future | early])
    for stack in whole:
        row = held.frames["stacks"].index[held.frames["stacks"]["stack"] == stack][0]
        expected = "a day before the stack's readings, which are all earlier. Is the year right?"
        day = frame.loc[frame["stack"] == stack, "date"].min()
        mend = next(
            (as_text(d) for d in held.years_of("stacks", row, "stacked", (day.year,)) if d <= day), ""
        )
        held.doubt("stacks", row, "stacked", expected, mend)


def _days_above(held, frame, early):
    """{early row: (the day of the stack's row above, the row's own a year later if that follows soon, or None)}.

    In January the old year is easily written on.
    """
    import pandas as pd

    out, last = {}, dict[str, Any]()
    rows = [*zip(frame.index, frame["stack"], frame["date"], frame["kind"], strict=True)]
    below, next_below = {}, dict[str, Any]()
    for row, stack, day, kind in reversed(rows):
        below[row] = next_below.get(stack, pd.Timestamp.max)
        if kind != "oven-dry" and not early[row]:
            next_below[stack] = day
    for row, stack, day, kind in rows:
        if early[row] and stack in last:
            years = held.years_of("readings", row, "date", [day.year + 1])
            after = last[stack]
            last_day = min(pd.Timestamp(held.today), after + _WINTER, below[row])
            following = (d for d in years if after < d <= last_day)
            next_year = (
                next(following, None) if day.year == after.year or day.year + 1 == after.year else None
            )
            out[row] = after, next_year
            last[stack] = next_year or after
        elif kind != "oven-dry" and not early[row]:
            last[stack] = day
    return out


def _stacks_of_the_board(of_board, stack, day, stacked):
    """The stacks, stacked by then, in which a board has all its other readings; [] if one is in this row's own."""
    found = [s for s, many in of_board.items() if s != stack or many > 1]
    if stack in found or any(s not in stacked or stacked[s] > day for s in found):
        return []
    return found


def _clock_is_behind(held, later):
    """Say once that the computer's clock is behind, if so many readings lie after it that it must be; else False.

    That is where all readings do, or several follow in order, each soon after the one before, on those up to today.
    """
    frame = held.frames["readings"]
    days = later["date"].drop_duplicates()
    if len(days) < 2 or not days.is_monotonic_increasing:
        return False
    if len(later) < len(frame):
        begin = frame["date"].drop(later.index)
        in_order = begin.index.max() < later.index.min()
        gaps = (later["date"].max() - begin.max(), later["date"].min() - begin.max())
        if not in_order or gaps[0] > _CLOCK_BEHIND or gaps[1] > SEASON:
            return False
    newest = later["date"].max()
    held.clock_is_behind = True
    held.doubts.append(
        Problem(
            held.sheets["readings"].name,
            None,
            "date",
            "",
            "",
            says=f"This computer's clock says {calendar_day(held.today)}, which is before your newest rows, up to "
            f"{calendar_day(newest)}. Set the clock right; no row was set aside for it.",
        )
    )
    return True


def _strangers(held, by_stack, stacks):
    """Rows of boards that belong to another stack, with it: {row: (mark, why)}.

    Such a board is of another wood than the stack (boards.csv), or has all its other readings in one other stack
    while the stack has other boards. Stacks that share several boards number them anew, and are left alone.
    """
    if len(by_stack) < 2 or len(stacks) < 2:
        return {}
    where: dict[str, dict[str, list[Any]]] = {}
    for stack, rows in by_stack.items():
        for r in rows:
            if not blank(r[2]) and r[2]:
                where.setdefault(bare(r[2]), {}).setdefault(stack, []).append(r)
    shared: dict[tuple[str, str], int] = {}
    for of in where.values():
        for pair in permutations(of, 2) if 1 < len(of) < _MANY_STACKS else ():
            shared[pair] = shared.get(pair, 0) + 1
    woods = held.woods_of_boards()
    found: dict[int, tuple[str, str]] = {}
    for board, of in where.items():
        for stack, rows in of.items():
            wood, own = woods.get(board), getattr(stacks.get(stack), "species", None)
            if own is None or 2 * len(rows) > len(by_stack[stack]) or wood == own:
                continue  # most of the stack's rows are of this board: it is the stack's
            stood = [s for s, r in stacks.items() if s != stack and r.stacked <= rows[0][1]]
            of_wood = [s for s in stood if wood and stacks[s].species == wood]
            other = [s for s in of if s in stood and len(of[s]) > 1]
            if wood and len(of_wood) == 1:
                why = f"which is {wood} in boards.csv, as stack {of_wood[0]} is"
                found |= {r[0]: (of_wood[0], why) for r in rows}
            elif (
                not wood and len(of) == 2 and len(rows) == 1 and len(other) == 1 and shared[stack, other[0]] == 1
                and _may_be_one_board(rows[0], of[other[0]])
            ):  # fmt: skip
                found[rows[0][0]] = other[0], f"whose other readings are in stack {other[0]}"
    return found


def _boards_it_may_be(held, row, rows):
    """The other boards of a stack whose readings one row of it goes with: the mark of the board may be the slip."""
    one = next(r for r in rows if r[0] == row)
    boards: dict[str, list[Any]] = {}
    for r in rows:
        if not blank(r[2]) and r[2] != one[2]:
            boards.setdefault(r[2], []).append(r)
    return [board for board, mine in boards.items() if _may_be_one_board(one, mine)]


def judge_readings(held: Gathered) -> None:
    """Say which readings cannot be right, one by one and against their neighbors, and what the others tell.

    Parameters
    ----------
    held : Gathered
        Gets the doubts and remarks, what waits, what is left out, and what each stack is told.
    """
    if "readings" not in held.frames:
        return
    frame = held.frames["readings"]
    stacks = {r.stack: r for r in held.frames["stacks"].itertuples()} if "stacks" in held.frames else {}
    first = frame[frame["kind"] != "oven-dry"].groupby("stack")["date"].min().to_dict()
    by_stack = rows_by_stack(_without_doubted_warmth(held, frame))
    strangers = _strangers(held, by_stack, stacks)
    _asks_whose(held, frame, by_stack, strangers)
    marks = held.sheets["stacks"].marks() if "stacks" in held.sheets else set()
    judged, little = [*stacks][:JUDGED], []
    for stack, rows in by_stack.items():
        mine = [r for r in rows if r[0] not in strangers]
        own = stacks.get(stack)
        told, strays, lack = readings_told(mine, getattr(own, "species", None), _driest(held, own))
        held.told[stack], held.waits_for_weights[stack] = tuple(told), tuple(lack)
        lost = held.asked.no_stacks or ("stacks" in held.frames and own is None)
        named_as = f"{_ASIDE if stack in marks else ''}{named('stack', stack)}" if lost else ""
        _set_aside(held, mine, told, strays, named_as)
        little += [s.row for s in strays if s.little]
        _doubt_strays(held, strays)
        asked = {s.row for s in strays}
        for pairs in _by_board(told).values():
            _one_by_one(held, pairs, asked)
        if own is None:
            continue
        _too_dry_too_soon(held, told, own.stacked, own.start_mc_pct)
        told = _believed(held, own, mine, told, strays)
        if not _stacked_long_before(held, own, first.get(stack), told) and stack in judged:
            _against_the_forecast(held, own, told)
    _tells_little(held, little)


def _asks_whose(held, frame, by_stack, strangers):
    """Ask of readings that are another stack's, and leave them out."""
    for row, (other, why) in strangers.items():
        own = _boards_it_may_be(held, row, by_stack[frame.loc[row, "stack"]])
        asks = f"Is {other} meant?" if not own else f"Is stack {other} meant, or board {' or '.join(own)}?"
        expected = f"the stack of board {frame.loc[row, 'board']}, {why}. {asks}"
        held.doubt("readings", row, "stack", expected, "" if own else other, used=False)
    held.left_out += strangers


def _board_kinds(rows):
    """(row, board, kind) of rows of the readings, boards in small letters."""
    return [(row, "" if blank(b) else str(b).casefold(), kind) for row, _, b, kind, *_ in rows]


def _set_aside(held, rows, told, strays, lost_stack):
    """Which readings of a stack are left out, and what the others wait for: a board, the stack, an oven-dry weight."""
    kinds = _board_kinds(rows)
    dry = {board for _, board, kind in kinds if kind == "oven-dry"}
    alone = {row for row, board, kind in kinds if kind == "weight" and board not in dry}
    whose = {s.row for s in strays if s.column == "board"}
    unused = {row for s in strays if not s.used for row in (s.row, *s.rivals)} - whose
    waiting = alone - unused - whose
    held.waiting |= {row: (WHICH_BOARD,) for row in whose}
    used = {r.row for r, _ in told} | waiting | whose | {row for row, _, kind in kinds if kind == "oven-dry"}
    out = unused | ({row for row, *_ in kinds} - used)
    held.left_out += out
    for row in [row for row, *_ in kinds if lost_stack and row not in out]:
        held.waiting[row] = (lost_stack, *held.waiting.get(row, ()))
    for row in waiting:
        held.waiting[row] = (*held.waiting.get(row, ()), DRY_WEIGHT)


def _doubt_strays(held, strays):
    """Say what is wrong with readings that cannot be right among their neighbors."""
    sheet = held.sheets["readings"]
    for s in strays:
        if s.little:
            continue
        if s.remark:
            held.remarks.append(f"{sheet.name}, row {s.row}: {s.says}")
            continue
        says = s.says if s.twice or s.rivals or s.column == "board" else ""
        # 01.4 may be 10.4 with two digits swapped as well as 14 with the point moved
        mend = "" if re.match(r"0\d", sheet.cell(s.row, "value")) else s.mend
        held.doubt("readings", s.row, s.column, s.expected, mend, used=s.used, says=says, rivals=s.rivals)


def _by_board(told):
    """What the readings of a stack tell, by board and kind."""
    boards: dict[tuple[str, str], list[tuple[Any, float]]] = {}
    for r, mc in told:
        boards.setdefault((r.board.casefold(), r.kind), []).append((r, mc))
    return boards


def _believed(held, stack, rows, told, strays):
    """What a stack is told, without boards whose oven-dry weight is doubted or that stood indoors meanwhile."""
    doubted = {s.row for s in strays if s.used and not s.remark}
    indoors = {r for s in strays if s.remark for r in (s.row, *s.rivals)}
    dry = [(row, board) for row, board, kind in _board_kinds(rows) if kind == "oven-dry"]
    wrong, inside = ({board for row, board in dry if row in those} for those in (doubted, indoors))
    near = [(r, mc) for r, mc in told if r.board.casefold() not in wrong | inside]
    wrong |= _boards_apart(held, stack, rows, near, {s.row for s in strays})
    driest = _driest(held, stack)
    return [
        (r, mc)
        for r, mc in told
        if r.board.casefold() not in wrong
        and not (r.board.casefold() in inside and driest and mc < driest[0])
    ]


def _without_doubted_warmth(held, frame):
    """The readings without the temperatures that are asked about: those correct no meter."""
    name = held.sheets["readings"].name
    doubted = {p.row for p in held.doubts if (p.file, p.column) == (name, "temp_f")}
    return frame.assign(temp_f=frame["temp_f"].mask(frame.index.isin(doubted))) if doubted else frame


def _boards_apart(held, stack, rows, told, asked):
    """Boards that are done drying at quite other moistures than others of the stack; their oven-dry rows are asked.

    Two such boards lose alike from one weighing to the next. A board that is only slower loses more than the dry
    one. Where the air at the place tells which of the two is off, that one is named alone, else both.
    """
    weighed = [(r, mc) for r, mc in told if r.kind == "weight" and r.row not in asked]
    boards = {board: pairs for (board, _), pairs in _by_board(weighed).items()}
    by_end = sorted(boards, key=lambda b: boards[b][-1][1])
    some = {*by_end[:_HELD_APART], *by_end[-_HELD_APART:]}
    apart = [
        (*pair, *ends)
        for pair in combinations([b for b in boards if b in some], 2)
        if (ends := _done_apart(boards[pair[0]], boards[pair[1]], stack.stacked))
    ]
    emc = _emc_pct(standing_at(stack, held.asked.place))
    named: set[str] = set()
    while apart:
        many = {board: sum(board in pair[:2] for pair in apart) for pair in apart for board in pair[:2]}
        a, b, low, high = apart[0]
        worst = max(many, key=many.__getitem__)
        off = {a: abs(low - emc), b: abs(high - emc)} if emc is not None else {a: 0, b: 0}
        if many[worst] > 1 or max(off.values()) - min(off.values()) >= _APART_PCT / 2:
            worst = worst if many[worst] > 1 else max(off, key=off.__getitem__)
            pair, rivals = next(p for p in apart if worst in p[:2]), False
        else:
            worst, pair, rivals = b, apart[0], True
        other = pair[0] if pair[1] == worst else pair[1]
        _apart(held, worst, other, dict(zip(pair[:2], pair[2:], strict=True)), rows, boards, rivals)
        named |= {worst, other} if rivals else {worst}
        apart = [each for each in apart if not {*each[:2]} & named]
    return named


def _apart(held, board, other, ends, rows, boards, rivals):
    """The doubt of an oven-dry weight whose board stands apart from another; of both if nothing tells which."""
    own, others = (_oven_dry_row(rows, boards[b]) for b in (board, other))
    if own is None or others is None or {own, others} & {p.row for p in held.doubts if p.row}:
        return
    names = [boards[b][0][0].board for b in (board, other)]
    what = (
        f"board {names[0]} comes to {ends[board]:.0f} % and board {names[1]} to {ends[other]:.0f} %, and both "
        "have nearly stopped drying"
    )
    which = f" Or is the oven-dry weight of board {names[1]}, in row {others}, wrong?" if rivals else ""
    asks = f"Is the oven-dry weight of board {names[0]}, in row {own}, right, and of this board?{which}"
    if not rivals and ends[board] < ends[other]:
        name = held.sheets["readings"].name
        well = "If the board came in from outdoors, all is well."
        held.remarks.append(f"{name}, row {own}: {what[0].upper()}{what[1:]}. {asks} {well}")
        return
    expected = f"an oven-dry weight that brings the board near the others of its stack: {what}. {asks}"
    held.doubt("readings", own, "value", expected, rivals=(others,) if rivals else ())


def _driest(held, stack):
    """How dry wood gets outdoors where a stack stands, and how that place is named; None if no stack is known."""
    where = standing_at(stack, held.asked.place)
    low = _driest_pct(where) if stack is not None else None
    return low and (low, getattr(where, "name", where))


def _tells_little(held, rows):
    """Remark on readings by meter above what a meter can tell: they are right, and count for little."""
    from woodcalc import moisture

    if not rows:
        return
    sheet, most = held.sheets["readings"], moisture.meter_range_pct()[1]
    who = rows_named([f"{row} ({sheet.cell(row, 'value')} %)" for row in sorted(rows)])
    said = f"kept, not trusted: a meter tells little above {most:g} %"
    held.remarks.append(f"{sheet.name}, {who}: {said}.")


def _one_by_one(held, pairs, asked):
    """Moisture by a meter that rises in the warm months, and two readings on one day that disagree."""
    for (a, before), (b, after) in zip(pairs, pairs[1:], strict=False):
        if a.kind == "meter" and max(before, after) > 30:
            continue
        same_day = a.date == b.date and a.board and not asked & {a.row, b.row}
        if same_day and abs(after - before) > _SAME_PCT:
            _two_on_a_day(held, pairs, (a, before), (b, after))
    metered = [(r, mc) for r, mc in pairs if r.kind == "meter" and r.board and mc <= 30]

    def follows(i, j):
        (a, before), (b, after) = metered[i], metered[j]
        return after - before <= RISE_PCT or b.date.month not in WARM or a.date == b.date

    sure, tied = off_the_path(len(metered), follows)
    for i in [*sure, *tied[-1:]]:
        b, after = metered[i]
        others = [pair for k, pair in enumerate(metered) if k not in (*sure, *tied[-1:])]
        before = max(
            (pair for pair in others if pair[0].date < b.date), key=lambda p: p[0].date, default=None
        )
        later = min((pair for pair in others if pair[0].date > b.date), key=lambda p: p[0].date, default=None)
        if before and after > before[1]:
            a, there = before
            both = f"it makes {after:.0f} % where row {a.row} made {there:.0f} %"
            dates = (
                "are the dates the wrong way round (day and month), "
                if turned(b.date) < turned(a.date)
                else ""
            )
            slip = f"{dates}rain on the stack, or another board?"
            expected = f"less than before: {both}. {slip[0].upper()}{slip[1:]}"
        elif later:
            both = f"it makes {after:.0f} % where row {later[0].row} makes {later[1]:.0f} % after it"
            expected = f"more than afterwards: {both}. Is the number right, and the board?"
        else:
            continue
        tie = (
            [metered[k][0].row for k in tied if k != i and not follows(*sorted((i, k)))] if i in tied else ()
        )
        also = f" Or is row {' or '.join(map(str, tie))} wrong?" if tie else ""
        held.doubt("readings", b.row, "value", expected + also, rivals=tuple(tie))


def _two_on_a_day(held, pairs, *two):
    """Two readings of a board on one day that disagree: the one that its neighbors reject, else both."""
    others = [(r, mc) for r, mc in pairs if r.date != two[0][0].date]
    off = [_rejected(r.date, mc, others) for r, mc in two]
    (r, here), (other, there) = two if off == [True, False] else two[::-1]
    both = f"{there:.0f} % there, {here:.0f} % here"
    expected = f"about what row {other.row} says of the same board on that day: {both}"
    if off[0] == off[1]:
        expected += f". Is row {other.row} or row {r.row} wrong?"
    held.doubt("readings", r.row, "value", expected, rivals=(other.row,) if off[0] == off[1] else ())


def _against_the_forecast(held, stack, told):
    """A stack whose readings teach it no date: they contradict its forecast, or begin long after it."""
    if not told:
        return
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RangeWarning)
            why = held.taught(stack, told, held.asked.place)[1]
    except InputError as error:  # there is no forecast of such a stack
        why = f"there is no forecast of it: {error}".rstrip(".")
    if why:
        says = f"Stack {stack.stack}: {why}{'' if why.endswith('?') else '.'}"
        if why.startswith(START_ODD):  # the readings go together: one cell is out of line
            held.doubt("stacks", stack.Index, "start_mc_pct", why, says=says)
            return
        held.contradict += [r.row for r, _ in told]
        held.doubt("stacks", stack.Index, "stacked", why, says=says)


def _stacked_long_before(held, stack, first, told):
    """A stack whose readings begin so late, or so wet for their day, that it was stacked another year."""
    if first is None or (days := (first - stack.stacked).days) <= _STILL_GREEN_DAYS:
        return False
    row, stacked = stack.Index, stack.stacked
    wet = next((mc for r, mc in told if r.date == first), 0)
    if days <= SEASON.days:
        if wet <= 25 or not (known := green_and_inches(stack.species, stack.nominal)):
            return False
        green, thick_in = known[0] if blank(stack.start_mc_pct) else stack.start_mc_pct, known[1]
        if not wet >= _STILL_GREEN * green > 25:
            return False
        day = stacked.toordinal()
        warm = sum(date.fromordinal(d).month in WARM for d in range(day, day + days))
        if warm <= _STILL_GREEN_DAYS * max(thick_in**1.5, 1):
            return False
    others = held.years_of("stacks", row, "stacked", (first.year, first.year - 1))
    mend = next((as_text(d) for d in others if d != stacked and stacked < d <= first), "")
    rows = [r.row for r, _ in told if r.date == first]
    alone = len(rows) == 1 == len({r.date for r, _ in told})
    years = held.years_of("readings", rows[0], "date", (stacked.year, stacked.year + 1)) if alone else []
    also = ""
    if any(timedelta(0) <= day - stacked <= SEASON and day != first for day in years):
        mend, also = "", f" Or that of readings.csv, row {rows[0]}?"
    what = f"its first reading, on {as_text(first)}, comes {days} days later" + (
        f" and still tells {wet:.0f} %" if wet > 25 else ""
    )
    held.doubt(
        "stacks", row, "stacked", f"a day nearer to its readings: {what}. Is the year right?{also}", mend
    )
    held.contradict += [r.row for r, _ in told]
    return True


def _too_dry_too_soon(held, told, stacked, start_mc):
    if not blank(start_mc) and start_mc < 2 * _DRY_PCT:
        return
    for r, mc in told:
        days = (r.date - stacked).days
        if mc < _DRY_PCT and days <= _SOON_DAYS:
            what = f"{mc:.0f} % is kiln-dry, {days} days after stacking"
            expected = f"wetter wood: {what}. Is the day right, and the board?"
            held.doubt("readings", r.row, "value", expected)


def _done_apart(some, others, stacked):
    """Return (moisture of one board, of another) if both have nearly stopped drying far apart, in order; else None."""
    lines = [([r.date.toordinal() for r, _ in each], [mc for _, mc in each]) for each in (some, others)]
    end = min(days[-1] for days, _ in lines)
    begin = max(end - 2 * _APART_DAYS, *(days[0] for days, _ in lines))
    warm = _warm_days(stacked.toordinal(), end)
    still_warm = date.fromordinal((begin + end) // 2).month in (*WARM, WARM.stop)
    if end - begin < _APART_DAYS or warm < _STILL_GREEN_DAYS or not still_warm:
        return None
    (a, b), (was_a, was_b) = ([_between(*line, day) for line in lines] for day in (end, begin))
    fell_a, fell_b = ((was - now) * _APART_DAYS / (end - begin) for was, now in ((was_a, a), (was_b, b)))
    low, high = (fell_a, fell_b) if a <= b else (fell_b, fell_a)
    done = high <= _NEARLY_DONE_PCT and high <= _ALIKE * max(low, 0) + _ALIKE_PCT
    return (a, b) if done and abs(a - b) > _APART_PCT else None


@lru_cache(1000)
def _warm_days(first, end):
    """How many days of April to September there are between two days, in the first year or so."""
    return sum(date.fromordinal(day).month in WARM for day in range(first, min(end, first + SEASON.days)))


def _rejected(day, mc, others):
    """True if a moisture on a day can't come after the reading before it, or before the one after it."""

    def follows(first, was, then, now):
        fortnights = max((then - first) / timedelta(days=14), 1)
        return now - was <= RISE_PCT and (100 + now) / (100 + was) >= FALL**fortnights

    before = max((p for p in others if p[0].date < day), key=lambda p: p[0].date, default=None)
    after = min((p for p in others if p[0].date > day), key=lambda p: p[0].date, default=None)
    return bool(
        (before and not follows(before[0].date, before[1], day, mc))
        or (after and not follows(day, mc, after[0].date, after[1]))
    )


def _between(days, values, day):
    """The value on a day, in a straight line between those beside it."""
    at = min(max(bisect(days, day), 1), len(days) - 1)
    (d, e), (v, w) = days[at - 1 : at + 1], values[at - 1 : at + 1]
    return w if e == d else v + (w - v) * (day - d) / (e - d)


def _oven_dry_row(rows, weighed):
    """The row of the oven-dry weight that a board's moistures were told with; None if it is not among the rows."""
    (r, mc), board = weighed[0], weighed[0][0].board.casefold()
    dry_lb = r.lb / (1 + mc / 100)
    dry = {
        row[0]: abs(float(row[4]) * POUNDS.get(row[5], math.nan) - dry_lb)
        for row in rows
        if row[3] == "oven-dry" and ("" if blank(row[2]) else str(row[2])).casefold() == board
    }
    return min(dry, key=dry.__getitem__) if dry else None


@lru_cache(100)
def _emc_pct(where):
    """The moisture that the air at a place brings wood to over the year, %; None if it is not known."""
    from woodcalc import climate

    try:
        return float(climate.get(where).monthly.emc_pct.mean())
    except InputError:
        return None


@lru_cache(100)
def _driest_pct(where):
    """The lowest moisture that wood reaches outdoors at a place, %; None if it is not known."""
    from woodcalc import climate
    from woodcalc.drying.curves import known_emc_sd_pct

    try:
        monthly = climate.get(where).monthly
    except InputError:
        return None
    off = _DRIER_YEARS * known_emc_sd_pct(float(monthly.emc_sd_pct.mean()))
    return max(float(monthly.emc_pct.min()) - off - _DRIER_PCT, 0.0)


def green_and_inches(wood: str, nominal: str) -> tuple[float, float] | None:
    """Return the moisture of a wood as it is sawn, %, and the inches of a thickness; None if either is not known.

    Examples
    --------
    >>> green_and_inches("northern red oak", "4/4"), green_and_inches("plastic", "4/4")
    ((80.0, 1.0), None)
    """
    from woodcalc import sizes
    from woodcalc import species as woods

    try:
        return woods.get(wood).start_mc_pct, float(sizes.nominal_in(nominal))
    except (InputError, TypeError, ValueError, AttributeError):
        return None


def _may_be_one_board(one, others):
    """True if a reading goes with those of a board in another stack: by meter near them, by weight not far off."""
    _, day, _, kind, value, unit, _ = one
    same = sorted((r[1], r[4]) for r in others if r[3] == kind and r[5] == unit)
    if kind == "oven-dry":
        return all(r[3] != kind for r in others)
    before, after = [v for d, v in same if d <= day][-1:], [v for d, v in same if d > day][:1]
    far = _METER_STEP if kind == "meter" else 0.15 * value
    beside = [v for d, v in same if d == day]
    return bool(before or after) and not beside and all(abs(v - value) <= far for v in (*before, *after))
