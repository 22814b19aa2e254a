"""The last points: solar kiln, dehumidifier, a room indoors, and what the wood needs at the end."""

from woodcalc.kiln.equalizing import Setting, condition, equalize, stress_test
from woodcalc.kiln.runs import Run, give_or_take, took
from woodcalc.kiln.ways import (
    PINTS_PER_DAY,
    ROUGH_PCT,
    compare,
    dehumidifier,
    humidity_for,
    indoors,
    runs_of_each,
    safe_loss_pct_per_day,
    solar,
)

__all__ = [
    "PINTS_PER_DAY",
    "ROUGH_PCT",
    "Run",
    "Setting",
    "compare",
    "condition",
    "dehumidifier",
    "equalize",
    "give_or_take",
    "humidity_for",
    "indoors",
    "runs_of_each",
    "safe_loss_pct_per_day",
    "solar",
    "stress_test",
    "took",
]
