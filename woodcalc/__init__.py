"""Woodcalc: from log to dry board, in plain functions of numbers with the unit in each name.

The modules follow the wood: species, sizes, logs, sawing, shrinkage, air, moisture, climate, drying, stack, movement,
kiln, records, plan. Importing the package loads none of them, so that a lesson starts fast; each loads when it is
first asked for.
"""

from importlib import import_module
from typing import TYPE_CHECKING

__version__ = "0.1.0"

_MODULES = (
    "species", "sizes", "logs", "sawing", "shrinkage", "air", "moisture", "climate", "drying", "stack", "movement",
    "kiln", "records", "weighings", "plan", "trees", "tables", "units", "dates", "checks", "disk", "figures", "lesson",
    "leader",
)  # fmt: skip


if (
    TYPE_CHECKING
):  # a checker is told the modules by name: behind __getattr__ any name and any type would pass
    from woodcalc import air as air
    from woodcalc import checks as checks
    from woodcalc import climate as climate
    from woodcalc import dates as dates
    from woodcalc import disk as disk
    from woodcalc import drying as drying
    from woodcalc import figures as figures
    from woodcalc import kiln as kiln
    from woodcalc import leader as leader
    from woodcalc import lesson as lesson
    from woodcalc import logs as logs
    from woodcalc import moisture as moisture
    from woodcalc import movement as movement
    from woodcalc import plan as plan
    from woodcalc import records as records
    from woodcalc import sawing as sawing
    from woodcalc import shrinkage as shrinkage
    from woodcalc import sizes as sizes
    from woodcalc import species as species
    from woodcalc import stack as stack
    from woodcalc import tables as tables
    from woodcalc import trees as trees
    from woodcalc import units as units
    from woodcalc import weighings as weighings
else:

    def __getattr__(name):
        if name in _MODULES:
            return import_module(f"woodcalc.{name}")
        raise AttributeError(f"module 'woodcalc' has no attribute {name!r}")


def __dir__():
    return sorted({*globals(), *_MODULES})
