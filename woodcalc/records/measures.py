"""Sizes of logs and boards that can each be right and hardly are together: they are doubted, never refused."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import numpy as np

from woodcalc.records.likely import FAR, lies_near
from woodcalc.sizes import LOG_TAPER_IN_PER_FT, LOG_TRIM_IN, board_feet, lifted_ft3, nominal_in
from woodcalc.units import CM_PER_IN, M_PER_FT

if TYPE_CHECKING:
    import pandas as pd

# All limits are common practice, and wide: a butt with a flare and a short chunk for a bowl stay inside.
STUBBY_IN, STUBBY_FT = 30.0, 5.0  # logs that are all wider and shorter were likely measured in cm and m
# Across the small end: so many inches are a very big log, and as many cm an ordinary one; in most of so many logs.
_BIG_IN, _BIG_SHARE, _BIG_LOGS = 26.0, 0.8, 3
_FLARE_IN, _FLARE_IN_PER_FT = 6.0, 0.5
_THIN, _THICK, _THICK_IN = 0.65, 1.25, 0.25  # of the nominal thickness
_WIDER_IN, _LONGER_FT = 1.0, 0.5
_OFF, _OFF_BF = 0.25, 0.75  # of the board feet by its size; a small board may be rounded to a whole foot
_SLIPS = {
    10.0: "Is the point in its right place?",
    12.0: "Inches times inches times feet are divided by 12. Was that left out?",
}
_NEARLY = 0.08  # from a slip
_WHOLE_FT, _TYPED = 0.05, 0.01  # from a whole foot, and from a half of what was typed

Odd = tuple[str, Any, str, str, str]


def odd_sizes(frames: dict[str, pd.DataFrame]) -> Iterator[Odd]:
    """Yield (table, row, column, what was expected, the likely mend or "") of sizes that do not go together.

    Parameters
    ----------
    frames : dict
        Table name to DataFrame, as from `records.read`.

    Yields
    ------
    tuple

    Examples
    --------
    >>> from woodcalc import records
    >>> list(odd_sizes(records.read_folder(records.KETTLE_HOLLOW)))
    []
    """
    logs, boards = frames.get("logs"), frames.get("boards")
    if logs is not None:
        yield from _of_logs(logs)
    if boards is not None:
        yield from _thicknesses(boards)
        yield from _board_feet(boards)
    if logs is not None and boards is not None:
        yield from _boards_in_logs(boards, logs)


def stubby(logs: pd.DataFrame) -> bool:
    """Return whether all logs are so thick and short that they were likely measured in cm and m.

    Parameters
    ----------
    logs : DataFrame

    Examples
    --------
    >>> import pandas as pd
    >>> stubby(pd.DataFrame({"small_in": [41.0, 38.0], "length_ft": [3.6, 4.2]}))
    True
    """
    return len(logs) > 0 and bool(
        (logs["small_in"] > STUBBY_IN).all() and (logs["length_ft"] < STUBBY_FT).all()
    )


def short_as_in_m(logs: pd.DataFrame) -> bool:
    """Return whether all logs are so short that their lengths were likely measured in meters.

    Parameters
    ----------
    logs : DataFrame

    Examples
    --------
    >>> import pandas as pd
    >>> short_as_in_m(pd.DataFrame({"length_ft": [3.66, 3.05]})), short_as_in_m(pd.DataFrame({"length_ft": [3.66]}))
    (True, False)
    """
    return len(logs) > 1 and bool((logs["length_ft"] <= STUBBY_FT).all())


def big_as_in_cm(logs: pd.DataFrame) -> bool:
    """Return whether most small ends would be ordinary in cm and are very big in inches.

    Parameters
    ----------
    logs : DataFrame

    Examples
    --------
    >>> import pandas as pd
    >>> big_as_in_cm(pd.DataFrame({"small_in": [36.0, 41.0, 30.0]})), big_as_in_cm(pd.DataFrame({"small_in": [40.0]}))
    (True, False)
    """
    return len(logs) >= _BIG_LOGS and bool((logs["small_in"] >= _BIG_IN).mean() >= _BIG_SHARE)


def _of_logs(logs):
    if stubby(logs):
        expected = (
            f"logs under {STUBBY_IN:g} in across or over {STUBBY_FT:g} ft long. All of them are short and thick like "
            "this. Were they measured in cm and meters?"
        )
        yield "logs", logs.index[0], "small_in", expected, ""
    yield from _in_other_units(logs)
    for log in logs.itertuples():
        flare = log.large_in - log.small_in
        if flare > _FLARE_IN + _FLARE_IN_PER_FT * log.length_ft:  # false if it is blank
            expected = (
                f"at most some {log.small_in + _FLARE_IN + _FLARE_IN_PER_FT * log.length_ft:.0f} in, for a log of "
                f"{log.length_ft:g} ft with a small end of {log.small_in:g} in. Is one of the two ends wrong?"
            )
            yield "logs", log.Index, "large_in", expected, ""


def _in_other_units(logs):
    """Logs that were measured in meters among others in feet, or in inches and feet among others in cm and m."""
    for log in logs.itertuples() if len(logs) > 2 else ():
        others = logs.drop(index=log.Index)
        foot = log.length_ft / M_PER_FT
        near = lies_near(foot, [*others["length_ft"]])
        if (
            log.length_ft < STUBBY_FT < others["length_ft"].min()
            and near
            and abs(foot - round(foot)) < _WHOLE_FT
        ):
            low, high = others["length_ft"].min(), others["length_ft"].max()
            these = f"{low:.4g} to {high:.4g} ft" if low < high else f"{low:.4g} ft"
            expected = (
                f"a length like the others, {these}. Was it measured in meters? Then it is {foot:.0f} ft"
            )
            yield "logs", log.Index, "length_ft", f"{expected}.", f"{foot:.0f}"
        inches, feet = log.small_in * CM_PER_IN, log.length_ft * M_PER_FT
        typed = all(abs(2 * size - round(2 * size)) < _TYPED for size in (inches, feet))
        far = (
            log.length_ft > FAR * others["length_ft"].max() and log.small_in < others["small_in"].min() / FAR
        )
        near = lies_near(inches, [*others["small_in"]]) and lies_near(feet, [*others["length_ft"]])
        if typed and far and near:
            expected = (
                f"sizes like those of the other logs. Were these typed in inches and feet, under headings in cm and "
                f"meters? Then it is {inches:.4g} in by {feet:.4g} ft."
            )
            yield "logs", log.Index, "small_in", expected, ""


def _thicknesses(boards):
    for board in boards[(boards["nominal"] != "") & boards["thickness_in"].notna()].itertuples():
        inches = float(nominal_in(board.nominal))
        if not _THIN * inches <= board.thickness_in <= _THICK * inches + _THICK_IN:
            expected = f"about {inches:g} in, as the board is {board.nominal}. Is one of the two wrong?"
            yield "boards", board.Index, "thickness_in", expected, ""


def _board_feet(boards):
    """Board feet in the file that are not those of the board's own size."""
    sized = boards[["board_feet", "width_in", "length_ft"]].notna().all(axis=1) & (boards["nominal"] != "")
    for board in boards[sized].itertuples():
        feet = float(board_feet(board.nominal, board.width_in, board.length_ft))
        if abs(board.board_feet - feet) <= max(_OFF * feet, _OFF_BF):
            continue
        times = max(board.board_feet, 1e-9) / feet
        far = max(times, 1 / times)
        slip = next((asks for n, asks in _SLIPS.items() if abs(math.log(far / n)) < _NEARLY), "")
        size = f"{board.nominal} x {board.width_in:.4g} in x {board.length_ft:.4g} ft"
        asks = slip or "Is the size right, and is it one board?"
        expected = f"about {feet:.3g} bf, which a board of {size} has. {asks}"
        yield "boards", board.Index, "board_feet", expected, f"{feet:.3g}" if slip else ""


def _boards_in_logs(boards, logs):
    """Boards that are wider or longer than their log, and logs that cannot hold their boards."""
    of = {log.log: log for log in logs.itertuples()}
    for board in boards[boards["log"].isin(list(of))].itertuples():
        log = of[board.log]
        large = _large_in(log)
        longest = log.length_ft + _trim_in(log) / 12
        if board.width_in > large + _WIDER_IN:
            expected = (
                f"at most {large:.3g} in, the large end of log {log.log}. Is the width right, and the log?"
            )
            yield "boards", board.Index, "width_in", expected, ""
        if board.length_ft > longest + _LONGER_FT:
            expected = (
                f"at most {longest:.3g} ft, the length of log {log.log} with its trim. Is the length right, and the "
                "log?"
            )
            yield "boards", board.Index, "length_ft", expected, ""
    for mark, of_log in boards.groupby("log", sort=False):
        if mark in of:
            log, feet = of[mark], float(of_log["board_feet"].sum())
            room = 12 * lifted_ft3(log.small_in, _large_in(log), log.length_ft, _trim_in(log))
            if feet > room:
                how_many = f"the {len(of_log)} boards" if len(of_log) > 1 else "the board"
                expected = (
                    f"a log with room for {how_many} of it in boards.csv: {feet:,.0f} bf, and there are {room:,.0f} bf "
                    "of wood in the whole log, sawdust and slabs counted. Is the log's size right, and the boards' log?"
                )
                yield "logs", log.Index, "log", expected, ""


def _large_in(log):
    return log.small_in + LOG_TAPER_IN_PER_FT * log.length_ft if np.isnan(log.large_in) else log.large_in


def _trim_in(log):
    return LOG_TRIM_IN if np.isnan(log.trim_in) else log.trim_in
