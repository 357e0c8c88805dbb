"""The prestressed wheel as a structure: what the planned tension can carry.

The rim is a closed ring of exact circular arcs (axial, both bendings, torsion, acting at the section's
own radius), the spokes are bars that attach inside it on a rigid arm and carry tension, the hub is
rigid and fixed. Spokes are discrete; the stiffness of tension (string stiffness of spokes, loss in the
compressed rim) is part of it. What is left out: shear deformation, warping, the play of elbows and
nipples, the hub's own give. Real wheels therefore measure softer.

``arc``       exact stiffness of a piece of rim
``layout``    the wheel as plain arrays
``cyclic``    solving a ring of equal groups harmonic by harmonic
``assembly``  rim and spokes put together
``buckling``  the tension at which the rim leaves its plane
``response``  loads, nipple turns, a tyre's squeeze
``answer``    all of it at once, for arrays
``planned``   all of it at once, for a `WheelSpec`
``closed_forms``  what handbooks print for rings and wheels: a second opinion
``standing``  only whether it stands, for many wheels that differ in their spokes
"""

from buildsheet.wheel.structure.answer import (
    BucklesFirst,
    StructureAnswer,
    StructureFigures,
    solve_layout,
)
from buildsheet.wheel.structure.layout import Layout, between_points
from buildsheet.wheel.structure.planned import (
    figures,
    has_section,
    layout_of,
    section_of,
    solve,
)
from buildsheet.wheel.structure.response import Influence, Load, Response, SlackLoad
from buildsheet.wheel.structure.standing import Softer, stands

__all__ = [
    "BucklesFirst",
    "Influence",
    "Layout",
    "Load",
    "Response",
    "SlackLoad",
    "Softer",
    "StructureAnswer",
    "StructureFigures",
    "between_points",
    "figures",
    "has_section",
    "layout_of",
    "section_of",
    "solve",
    "solve_layout",
    "stands",
]
