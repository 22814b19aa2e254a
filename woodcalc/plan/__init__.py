"""The whole job, as one plan."""

from woodcalc.plan.job import ASSUMPTIONS, Plan, make_plan
from woodcalc.plan.steps import FURNITURE_PCT, Step, first_season

__all__ = ["ASSUMPTIONS", "FURNITURE_PCT", "Plan", "Step", "first_season", "make_plan"]
