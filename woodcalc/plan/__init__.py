"""The whole job, as one plan."""

from woodcalc.plan.job import ASSUMPTIONS, Plan, make_plan
from woodcalc.plan.steps import FURNITURE_PCT, Step, first_season
from woodcalc.plan.wall import Wall, wall_sheet

__all__ = [
    "ASSUMPTIONS",
    "FURNITURE_PCT",
    "Plan",
    "Step",
    "Wall",
    "first_season",
    "make_plan",
    "wall_sheet",
]
