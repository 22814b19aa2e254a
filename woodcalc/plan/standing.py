"""The stacks that stand already: what to do next with each, and what its sample boards weigh when they are dry."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from woodcalc.checks import RangeWarning
from woodcalc.disk import in_words
from woodcalc.drying.watch import Watch, watch
from woodcalc.records.choices import KETTLE_HOLLOW
from woodcalc.records.usable import stack_taught

if TYPE_CHECKING:
    from woodcalc.climate import Site
    from woodcalc.records.usable import OwnTables

TARGETS_PCT = (25, 20, 15)  # moisture contents whose weights are listed
SENTENCES = 3  # told of each stack: what comes first matters most


@dataclass(frozen=True)
class SampleWeights:
    """What a sample board of a standing stack weighs on its way down.

    Attributes
    ----------
    board, unit : str
    oven_dry : float
        In that unit.
    last_pct : float
        Its moisture content when it was weighed last, %.

    Examples
    --------
    >>> SampleWeights("1-3", "lb", 9.32, 24.0).targets
    {25: None, 20: 11.184, 15: 10.718}
    """

    board: str
    unit: str
    oven_dry: float
    last_pct: float

    @property
    def targets(self) -> dict[int, float | None]:
        """Its weight at each of `TARGETS_PCT`; None where it is past that."""
        return {mc: self.oven_dry * (1 + mc / 100) if mc < self.last_pct else None for mc in TARGETS_PCT}


@dataclass(frozen=True)
class Standing:
    """A stack that stands already.

    Attributes
    ----------
    stack, wood : str
        ``"A"``, ``"northern red oak 4/4"``.
    says : tuple of str
        What to do next, the verdict first.
    next_weighing : date or None
    as_of : date
        The day on which this is told.
    boards : tuple of SampleWeights
        Its weighed boards whose oven-dry weight is known.
    """

    stack: str
    wood: str
    says: tuple[str, ...]
    next_weighing: date | None
    as_of: date
    boards: tuple[SampleWeights, ...]

    @property
    def in_short(self) -> str:
        """The first of its sentences: the verdict.

        Examples
        --------
        >>> said = ("Not ready: board 2 read 24 % on 19 July; leave it. Down to 20 % most likely from 3 August.",)
        >>> Standing("A", "white oak 4/4", said, None, date(2026, 7, 20), ()).in_short
        'Not ready: board 2 read 24 % on 19 July; leave it.'
        """
        return self.says[0].partition(". ")[0].removesuffix(".") + "."


def watched(own: OwnTables, row: Any, place: str | Site, today: date | None = None) -> Watch:
    """Return what to do next with a stack of the records.

    Parameters
    ----------
    own : OwnTables
        With the readings, or without.
    row : row of the stacks table
    place : str or Site
        Where it stands if its row names no place.
    today : date, optional
        The computer's if left out.

    Returns
    -------
    Watch

    Raises
    ------
    InputError
        There can be no forecast of such a stack.

    Examples
    --------
    >>> from woodcalc import records
    >>> wood = records.read_usable(records.KETTLE_HOLLOW)
    >>> watched(wood, next(wood.tables["stacks"].itertuples()), "Madison", date(2025, 7, 19)).weigh_says
    'Weigh board 1-3 again on 3 August 2025 (the likely day of 20 %).'
    """
    readings = own.moistures(row.stack)
    forecast, no_date = stack_taught(row, readings, place)
    return watch(row.stack, forecast, readings, today, no_date, own.waits_for_weights.get(row.stack, ()))


def read_last_first(own: OwnTables) -> tuple[list[Any], date | None]:
    """Return (the stacks, those with the newest readings first; the day of the newest reading that tells a moisture).

    Parameters
    ----------
    own : OwnTables
        With a table of stacks.

    Examples
    --------
    >>> from woodcalc import records
    >>> rows, day = read_last_first(records.read_usable(records.KETTLE_HOLLOW))
    >>> [row.stack for row in rows], day.isoformat()
    (['A', 'B', 'C'], '2025-07-19')
    """
    rows = list(own.tables["stacks"].itertuples())
    last = {row.stack: told[-1][0].date.date() for row in rows if (told := own.told.get(row.stack))}
    rows.sort(key=lambda row: last.get(row.stack, date.min), reverse=True)
    return rows, max(last.values(), default=None)


def standing(own: OwnTables, place: str | Site, most: int = 6) -> tuple[Standing, ...]:
    """Return the learner's stacks, those read last first; invented ones as of the day of their last reading.

    Parameters
    ----------
    own : OwnTables
    place : str or Site
        As in `watched`.
    most : int
        Stacks at most.

    Examples
    --------
    >>> from woodcalc import records
    >>> [stack.boards for stack in standing(records.read_usable(records.KETTLE_HOLLOW), "Madison")][0]
    (SampleWeights(board='1-3', unit='lb', oven_dry=9.32, last_pct=23.9),)
    """
    if "stacks" not in own.tables:
        return ()
    rows, newest = read_last_first(own)
    today = newest if own.folder == KETTLE_HOLLOW else None
    return tuple(_standing(own, row, place, today) for row in rows[:most])


def _standing(own, row, place, today):
    boards = {
        reading.board: SampleWeights(
            reading.board, reading.unit, reading.value / (1 + mc / 100), round(float(mc), 1)
        )
        for reading, mc in own.told.get(row.stack, ())
        if reading.kind == "weight"
    }
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", RangeWarning)  # the other pages say it
            now = watched(own, row, place, today)
        says, when = now.says[:SENTENCES], now.next_weighing
    except Exception as error:  # the other stacks count
        says, when = (f"No forecast: {in_words(error)}",), None
    return Standing(
        row.stack, f"{row.species} {row.nominal}", says, when, today or date.today(), tuple(boards.values())
    )
