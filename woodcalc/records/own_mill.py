"""The learner's own mill: measured once, kept with the choices, used by the sheets, the panels and the plan."""

from __future__ import annotations

import json
from dataclasses import asdict

from woodcalc.checks import InputError
from woodcalc.disk import SaveError, locked, short_path
from woodcalc.records import choices
from woodcalc.records.keep import save
from woodcalc.sawing.mill import Mill

NAME = "mill"  # in the file of the choices


def kept_mill() -> Mill | None:
    """Return the learner's mill, None until one is kept, or where what is kept makes no sense.

    Examples
    --------
    >>> kept_mill() is None
    True
    """
    try:
        return Mill.of(choices._kept(choices.folder() / choices.FILE)[NAME])
    except (OSError, ValueError, KeyError):  # an InputError is a ValueError; the form asks anew
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
    path = choices.folder() / choices.FILE
    with locked(path):
        try:
            kept = choices._kept(path)
        except (ValueError, InputError):  # nothing to be made of it; its history keeps it
            kept = {}
        except OSError as error:
            raise SaveError(
                f"{short_path(path)} was not saved: what is in it cannot be read ({error.strerror or error})."
            ) from error
        save(path, (json.dumps({**kept, NAME: asdict(mill)}, indent=1) + "\n").encode("utf-8"))
