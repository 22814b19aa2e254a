"""What the lists of several panels offer: places, woods, months, parts of the log."""

from __future__ import annotations

from woodcalc import climate, species
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


def wood_names() -> list[tuple[str, str]]:
    """Return each wood as (what a list says, name): those of one's own first, then the book's as people look for them.

    Examples
    --------
    >>> [listed for listed in wood_names() if listed[1] == "sugar maple"]
    [('maple, sugar', 'sugar maple')]
    """
    kept_choices()  # the woods of one's own are known by then
    book = sorted(
        ((species.as_listed(name), name) for name in species.names()), key=lambda each: each[0].lower()
    )
    return [*((f"my own: {name}", name) for name in species.own_names()), *book]


def months() -> list[tuple[str, int]]:
    """Return each month as (name, number).

    Examples
    --------
    >>> months()[4]
    ('May', 5)
    """
    return [(name, number) for number, name in enumerate(climate.MONTHS, 1)]
