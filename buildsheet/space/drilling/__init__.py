"""Which programs of the rim drill the buildable wheels need, which exist, which are missing.

`kinds` names a kind of drilled rim, `undrilled` finds the wheels that wait for a program alone, `needs`
puts both beside the programs that there are.
"""

from buildsheet.space.drilling.kinds import Drilling
from buildsheet.space.drilling.needs import Axes, DrillingNeed, drilling_needs

__all__ = ["Axes", "Drilling", "DrillingNeed", "drilling_needs"]
