"""Which programs of the rim drill the buildable wheels need, which exist, which are missing.

`kinds` names a kind of drilled rim, `undrilled` finds the wheels that wait for a program alone, `written`
turns hole axes into programs as they are written down, `needs` puts all beside the programs that there are.
"""

from buildsheet.space.drilling.kinds import Drilling
from buildsheet.space.drilling.needs import DrillingNeed, drilling_needs
from buildsheet.space.drilling.written import Axes

__all__ = ["Axes", "Drilling", "DrillingNeed", "drilling_needs"]
