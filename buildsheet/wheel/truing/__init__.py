"""Truing: from what was read at the stand to the turns of each nipple.

``readings``       what was read, where the wheel is to go, how far readings are trusted
``seen``           readings and nipple turns as one linear system, without what readings cannot see
``least_squares``  least squares under limits, exactly
``eighths``        few whole steps near that answer
``rounds``         an order of turning that passes the stop value nowhere
``estimate``       what all readings together make likely; a bent rim told apart from uneven tension
``plan``           all of it: one pass
"""

from buildsheet.wheel.truing.estimate import BentRim
from buildsheet.wheel.truing.plan import Expected, TruingPlan, truing_plan
from buildsheet.wheel.truing.readings import Goal, ReadingNoise, Readings

__all__ = ["BentRim", "Expected", "Goal", "ReadingNoise", "Readings", "TruingPlan", "truing_plan"]
