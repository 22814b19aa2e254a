"""The learner's own mill: measured once, kept with the choices, used by the sheets, the panels and the plan."""

from __future__ import annotations

from dataclasses import asdict

from woodcalc.checks import InputError
from woodcalc.records import choices
from woodcalc.sawing.mill import Mill

NAME = "mill"  # in the file of the choices


def kept_mill() -> Mill | None:
    """Return the learner's mill, None until one is kept, or where what is kept makes no sense.

    Examples
    --------
    >>> kept_mill() is None
    True
    """
    kept = choices.kept_under(NAME)
    try:
        return Mill.of(kept) if kept else None
    except InputError:  # the form asks anew
        return None


def keep_mill(mill: Mill) -> None:
    """Keep the learner's mill for the other lessons; whatever else the file holds stays in it.

    Parameters
    ----------
    mill : Mill

    Raises
    ------
    SaveError
        The file could not be written; what was kept is still there.
    """
    choices.keep_under(NAME, asdict(mill))
