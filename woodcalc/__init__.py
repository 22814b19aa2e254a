"""Woodcalc: from log to dry board, in plain functions of numbers with the unit in each name.

The modules follow the wood: species, logs, sawing, shrinkage, air, moisture, climate, drying, stack, kiln,
records, plan. Importing the package loads none of them, so that a lesson starts fast.
"""

__version__ = "0.1.0"
