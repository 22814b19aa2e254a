"""What the lists of several panels offer: places, months, parts of the log."""

from __future__ import annotations

from woodcalc import climate

PARTS = [("the whole log", "mixed"), ("heartwood only", "heartwood"), ("sapwood only", "sapwood")]


def place_names() -> list[str]:
    """Return the names of all climate sites, in alphabetical order.

    Examples
    --------
    >>> place_names()[0]
    'Albany, NY'
    """
    return sorted(climate.sites().name)


def months() -> list[tuple[str, int]]:
    """Return each month as (name, number).

    Examples
    --------
    >>> months()[4]
    ('May', 5)
    """
    return [(name, number) for number, name in enumerate(climate.MONTHS, 1)]
