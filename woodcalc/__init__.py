"""Woodcalc: from log to dry board, in plain functions of numbers with the unit in each name.

The modules follow the wood: species, sizes, logs, sawing, shrinkage, air, moisture, climate, drying, stack, movement,
kiln, records, plan. Importing the package loads none of them, so that a lesson starts fast; each loads when it is
first asked for.
"""

from importlib import import_module

__version__ = "0.1.0"

_MODULES = (
    "species", "sizes", "logs", "sawing", "shrinkage", "air", "moisture", "climate", "drying", "stack", "movement",
    "kiln", "records", "weighings", "plan", "beam", "trees", "tables", "dates", "checks", "disk", "figures", "lesson",
    "leader",
)  # fmt: skip


def __getattr__(name):
    if name in _MODULES:
        return import_module(f"woodcalc.{name}")
    raise AttributeError(f"module 'woodcalc' has no attribute {name!r}")


def __dir__():
    return sorted({*globals(), *_MODULES})
