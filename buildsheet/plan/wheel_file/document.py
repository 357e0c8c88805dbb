"""The form of the wheel file: strict types, bounds that a bicycle wheel cannot leave, nothing unknown."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Discriminator, Field, Tag

from buildsheet.wheel.spec import (
    FlangeSide,
    HubSide,
    HubSpec,
    RimSpec,
    Sides,
    SpokeSection,
    SpokeSideSpec,
    StraightPullSide,
    WheelSpec,
)
from buildsheet.wheel.structure import Load


def _whole(value: object) -> object:
    """JSON has one kind of number: 24.0 is a whole one."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


Diameter = Annotated[float, Field(ge=100.0, le=1500.0, allow_inf_nan=False)]
Radius = Annotated[float, Field(ge=50.0, le=800.0, allow_inf_nan=False)]
Distance = Annotated[float, Field(ge=-200.0, le=200.0, allow_inf_nan=False)]
Small = Annotated[float, Field(ge=0.0, le=200.0, allow_inf_nan=False)]
Positive = Annotated[float, Field(ge=1e-3, le=1e9, allow_inf_nan=False)]
# Far below any rim and any wire, and far above what a double can no longer divide by.
Bending = Annotated[float, Field(ge=1e-6, le=1e6, allow_inf_nan=False)]
Tension = Annotated[float, Field(ge=0.0, le=5000.0, allow_inf_nan=False)]
Force = Annotated[float, Field(ge=-1e5, le=1e5, allow_inf_nan=False)]
Area = Annotated[float, Field(ge=1e-3, le=50.0, allow_inf_nan=False)]
Share = Annotated[float, Field(ge=1e-6, le=1.0, allow_inf_nan=False)]
Modulus = Annotated[float, Field(ge=1e-3, le=1000.0, allow_inf_nan=False)]
Density = Annotated[float, Field(ge=500.0, le=25000.0, allow_inf_nan=False)]
Holes = Annotated[int, Field(ge=4, le=144), BeforeValidator(_whole)]
OneSide = Annotated[int, Field(ge=1, le=96), BeforeValidator(_whole)]
Crossings = Annotated[int, Field(ge=0, le=12), BeforeValidator(_whole)]
HoleNumber = Annotated[int, Field(ge=1, le=144), BeforeValidator(_whole)]
Name = Annotated[str, Field(min_length=1, max_length=80, pattern=r"^[^\x00-\x1f\x7f-\x9f]*$")]


class _Form(BaseModel):
    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class Rim(_Form):
    """The rim; the five structural figures may be absent, then no structure is computed."""

    holes: Holes
    erd_mm: Diameter
    section_radius_mm: Radius | None = None
    bed_offset_mm: Distance = 0.0
    pair_shift_deg: Annotated[float, Field(ge=-45.0, le=45.0, allow_inf_nan=False)] = 0.0
    axial_stiffness_n: Positive | None = None
    radial_bending_nm2: Bending | None = None
    lateral_bending_nm2: Bending | None = None
    torsion_nm2: Bending | None = None
    spoke_limit_n: Annotated[float, Field(gt=0.0, le=5000.0, allow_inf_nan=False)] | None = None


class Flange(_Form):
    """A drilled flange for J-bend spokes."""

    circle_mm: Annotated[float, Field(gt=0.0, le=400.0, allow_inf_nan=False)]
    from_centre_mm: Distance
    hole_mm: Annotated[float, Field(ge=0.0, le=20.0, allow_inf_nan=False)]

    def as_side(self) -> HubSide:
        return FlangeSide(self.circle_mm, self.from_centre_mm, self.hole_mm)


class StraightPull(_Form):
    """Straight-pull seats."""

    line_from_axis_mm: Small
    seat_ahead_mm: Distance
    from_centre_mm: Distance

    def as_side(self) -> HubSide:
        return StraightPullSide(self.line_from_axis_mm, self.seat_ahead_mm, self.from_centre_mm)


def _kind_of_side(given: object) -> str:
    """Which kind of side is meant: one member that only straight-pull seats have is enough."""
    members = set(given) if isinstance(given, dict) else set()
    pulls_straight = members & {"line_from_axis_mm", "seat_ahead_mm"}
    return "StraightPull" if pulls_straight or isinstance(given, StraightPull) else "Flange"


HubSideForm = Annotated[
    Annotated[Flange, Tag("Flange")] | Annotated[StraightPull, Tag("StraightPull")],
    Discriminator(_kind_of_side),
]


class Hub(_Form):
    """Both sides; which kind each is, its members say."""

    left: HubSideForm
    right: HubSideForm
    flange_turn: Annotated[float, Field(ge=0.0, lt=1.0, allow_inf_nan=False)] = 0.5


class Section(_Form):
    """A stretch of spoke of one cross-section."""

    area_mm2: Area
    share: Share = 1.0


class SpokeSide(_Form):
    """The spokes of one side."""

    count: OneSide
    crossings: Crossings | None = None
    sections: Annotated[tuple[Section, ...], Field(min_length=1, max_length=9, strict=False)]
    modulus_gpa: Modulus
    density_kg_m3: Density = 7900.0
    width_mm: Annotated[float, Field(gt=0.0, le=20.0, allow_inf_nan=False)] = 2.0
    head_mm: Annotated[float, Field(gt=0.0, le=20.0, allow_inf_nan=False)] = 4.0

    def as_side(self) -> SpokeSideSpec:
        return SpokeSideSpec(
            count=self.count,
            crossings=self.crossings,
            sections=tuple(SpokeSection(each.area_mm2, each.share) for each in self.sections),
            modulus_gpa=self.modulus_gpa,
            density_kg_m3=self.density_kg_m3,
            width_mm=self.width_mm,
            head_mm=self.head_mm,
        )


class Spokes(_Form):
    """The spokes of both sides."""

    left: SpokeSide
    right: SpokeSide


class PlannedTension(_Form):
    """The mean of the side that carries more; absent or 0: no prestress."""

    tight_side_n: Tension | None = None


class Tyre(_Form):
    """What the tyre at pressure does to the rim: an inward line load, or the hoop force of it."""

    squeeze_n_per_mm: Annotated[float, Field(ge=0.0, le=100.0, allow_inf_nan=False)] | None = None
    hoop_n: Annotated[float, Field(ge=0.0, le=50000.0, allow_inf_nan=False)] | None = None


class NamedLoad(_Form):
    """A load on the rim's section: radial positive inward, lateral toward the right, tangential
    clockwise as seen from the right."""

    name: Name = "load"
    radial_n: Force = 0.0
    lateral_n: Force = 0.0
    tangential_n: Force = 0.0
    at_hole: HoleNumber

    def as_load(self) -> Load:
        return Load(self.at_hole, self.radial_n, self.lateral_n, self.tangential_n)


class WheelFile(_Form):
    """One wheel as bare dimensions, with what is asked of it."""

    rim: Rim
    hub: Hub
    spokes: Spokes
    tension: PlannedTension | None = None
    tyre: Tyre | None = None
    loads: Annotated[tuple[NamedLoad, ...], Field(max_length=50, strict=False)] = ()
    nipple_turns: bool = False

    def spec(self) -> WheelSpec:
        """The same wheel in the mechanics' words."""
        rim, spokes = self.rim, self.spokes
        return WheelSpec(
            rim=RimSpec(**rim.model_dump()),
            hub=HubSpec(self.hub.left.as_side(), self.hub.right.as_side(), self.hub.flange_turn),
            spokes=Sides(spokes.left.as_side(), spokes.right.as_side()),
            tight_side_n=self.tension.tight_side_n if self.tension else None,
        )
