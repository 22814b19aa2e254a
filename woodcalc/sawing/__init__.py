"""Sawing: the best boards of a log, its patterns, and the settings of the mill."""

from woodcalc.sawing.best import PATTERNS, SawnTally, pattern_name, saw, saw_tally
from woodcalc.sawing.frustum import TooThin
from woodcalc.sawing.sawn_log import SawingPlan
from woodcalc.sawing.search import Wanted

__all__ = [
    "PATTERNS",
    "SawingPlan",
    "SawnTally",
    "TooThin",
    "Wanted",
    "pattern_name",
    "saw",
    "saw_tally",
]
