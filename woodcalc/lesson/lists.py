"""What the lists of several panels offer: places, months, parts of the log."""

from __future__ import annotations

from woodcalc import climate
from woodcalc.lesson.mine import offers
from woodcalc.records.choices import Choices, kept_choices
from woodcalc.sizes import QUARTERS

THICKNESSES = [f"{quarters}/4" for quarters in QUARTERS]
PARTS = [("the whole log", "mixed"), ("heartwood only", "heartwood"), ("sapwood only", "sapwood")]


def place_names() -> list[str]:
    """Return the places that a list offers: the chosen one and those of one's stacks first, then 61 by the alphabet.

    Examples
    --------
    >>> place_names()[0]
    'Albany, NY'
    """
    mine = kept_choices().place
    chosen = [mine] if mine != Choices().place else []
    stacks = [values["place"] for _, values in offers({"place": "Place"})]
    return list(dict.fromkeys([*chosen, *stacks, *sorted(climate.sites().name)]))


def months() -> list[tuple[str, int]]:
    """Return each month as (name, number).

    Examples
    --------
    >>> months()[4]
    ('May', 5)
    """
    return [(name, number) for number, name in enumerate(climate.MONTHS, 1)]
