"""How a log is laid on the bed by what its owner saw on it: bow, worst face, check or shake, by the hours of a clock.

The hours are those of a clock on the small end, 12 chalked on top as the log was measured.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from woodcalc.sizes import fraction

if TYPE_CHECKING:
    from woodcalc.logs import Log

# hours of the mill's own faces: 1 on top, then clockwise
FACES = {1: 12.0, 2: 3.0, 3: 6.0, 4: 9.0}


class Lay(NamedTuple):
    """Which hour of the small end goes up, what that does, and where the rest comes to lie (hours; 0: not told)."""

    top_clock: float
    bow: float
    worst: float
    crack: float
    says: str


def lay(log: Log, around_a_cant: bool = True) -> Lay:
    """Return how a log is laid for its first pass.

    The outside of a bow goes level, to face 2, as the sheet's heights have it, whatever else the log shows. A straight
    log's check or shake goes upright for a cant off two faces, level for any other, so that few boards hold it;
    then its worst face goes as far down as that leaves it. A worst face alone goes down.

    Parameters
    ----------
    log : Log
    around_a_cant : bool
        Whether it is sawn around a cant off two faces (`SawingPlan.splits_upright`).

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> lay(Log(14, worst_clock=2)).says
    "Lay it with 8 o'clock up: the worst face lies down, at face 3."
    >>> lay(Log(14, sweep_in=2, bow_clock=5, crack_clock=2)).top_clock
    2.0
    """
    bow = log.bow_clock if log.sweep_in else 0.0
    worst, crack = log.worst_clock, log.crack_clock
    if bow:
        top = bow - FACES[2]
    elif log.sweep_in or not (worst or crack):  # nobody told where the bow points: that comes first
        return Lay(0.0, 0.0, 0.0, 0.0, "")
    elif crack:
        first = crack if around_a_cant else crack - FACES[2]
        top = min((first, first + 6), key=lambda t: _apart(worst - t, FACES[3]) if worst else 0.0)
    else:
        top = worst - FACES[3]
    bow, worst, crack = (_hour(h - top) if h else 0.0 for h in (bow, worst, crack))
    told = ["the outside of the bow points to face 2"] if bow else []
    if crack:
        told.append(f"the check or shake points {_to(crack)}")
    if worst:
        told.append(
            "the worst face lies down, at face 3"
            if worst == FACES[3]
            else f"the worst face lies {_to(worst)}"
        )
    return Lay(_hour(top), bow, worst, crack, f"Lay it with {_clock(_hour(top))} up: {', '.join(told)}.")


def used(log: Log, around_a_cant: bool = True) -> tuple[list[str], list[str]]:
    """Return what was measured of a log and is not used, each with the reason, and what is taken as usual instead.

    Parameters
    ----------
    log : Log
    around_a_cant : bool
        As in `lay`.

    Examples
    --------
    >>> from woodcalc.logs import Log
    >>> unused, usual = used(Log(14, bow_clock=3))
    >>> unused[0], usual[0]
    ('the bow at 3: no bow is written down', 'the large end by a taper of 1/2 in in 4 ft')
    """
    unused, laid = [], lay(log, around_a_cant)
    for what, hour, now in (
        ("the bow", log.bow_clock, laid.bow),
        ("the worst face", log.worst_clock, laid.worst),
        ("the check or shake", log.crack_clock, laid.crack),
    ):
        if hour and not now:
            why = (
                "no bow is written down"
                if what == "the bow"
                else "how the bow lies comes first, and its hour is open"
            )
            unused.append(f"{what} at {hour:g}: {why}")
    if laid.bow and (laid.worst or laid.crack):
        unused.append("worst face, check or shake in the choice of the top: the bow decides")
    usual = []
    if log.large_in is None:
        usual.append("the large end by a taper of 1/2 in in 4 ft")
    if log.oval_ratio == 1:
        usual.append("the ends as round")
    if log.bark_in is None:
        usual.append("the bark as usual for the wood (from memory)")
    return unused, usual


def _hour(clock: float) -> float:
    """An hour from 1 to under 13, as 12.5 is half past twelve."""
    return (clock - 1) % 12 + 1


def _apart(one: float, other: float) -> float:
    """Hours between two places of the clock, the shorter way."""
    return abs((one - other + 6) % 12 - 6)


def _to(hour: float) -> str:
    """Where an hour of the mill's own clock points, in words."""
    face, at = min(FACES.items(), key=lambda pair: _apart(pair[1], hour))
    way = {1: "up", 2: "level", 3: "down", 4: "level"}[face]
    near = "to" if _apart(at, hour) < 0.01 else "near"
    return f"{way}, {near} face {face}"


def _clock(hour: float) -> str:
    return f"{fraction(hour, 4)} o'clock"
