"""The part kinds and their attributes: what one catalog table must and may say.

Every number is typed, bounded and carries its unit in its name. ``None`` means *unknown*: a check
that needs an unknown attribute blocks (`data.fact-missing`), it never passes. What does not apply to
a part is said with an explicit word or an empty list, not with silence.

Bounds are plausibility windows, wide enough for any bicycle wheel part, narrow enough to catch a
centimetre typed for a millimetre. Structural windows follow the measured rims of [Ford 2018, table
of acoustic rim properties; read], widened for carbon sections.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Code = Annotated[
    str,
    Field(
        pattern=r"^[A-Z0-9][A-Z0-9.-]{0,23}$",
        description="a code of up to 24 capitals, digits, dots and dashes",
    ),
]
Name = Annotated[
    str,
    Field(
        min_length=1,
        max_length=60,
        pattern=r"^[^\x00-\x1f\x7f-\x9f]*$",
        description="one line of 1 to 60 characters",
    ),
]
Axle = Annotated[
    str,
    Field(
        pattern=r"^[1-9][0-9]?x[1-9][0-9]{1,2}$",
        description="an axle like 12x142: diameter x over-locknut distance in mm",
    ),
]
"""Diameter x over-locknut distance in millimetres, as orders write it: ``12x142``."""

Colour = Annotated[
    str,
    Field(
        pattern=r"^[a-z][a-z -]{0,23}$",
        description="a colour in up to 24 small letters",
    ),
]
State = Literal["draft", "active", "no-new-orders", "service-only", "ended"]
Brake = Literal["disc", "rim"]
RotorMount = Literal["splined", "six-bolt"]
Position = Literal["front", "rear"]
Holes = Annotated[int, Field(ge=8, le=72)]
UseClass = Annotated[int, Field(ge=1, le=6)]
ForceN = Annotated[float, Field(ge=400.0, le=5000.0)]
"""A limit on spoke tension. Below 400 N no wheel reaches the mean tension that JIS D 9301:2019 asks for
[read in summaries that quote it]; a smaller figure is kilogram-force typed for newtons."""

MassG = Annotated[float, Field(gt=0.0, le=3000.0)]
MassKg = Annotated[float, Field(gt=0.0, le=400.0)]
SeatMm = Annotated[float, Field(ge=200.0, le=680.0)]
FromCentreMm = Annotated[float, Field(ge=2.0, le=90.0)]
MEASUREMENTS = Field(min_length=2, max_length=8)
"""At least two, by two people or two tools: one number written twice proves nothing."""

Report = Annotated[
    str,
    Field(
        min_length=1,
        max_length=120,
        pattern=r"^[^\x00-\x1f\x7f-\x9f]*$",
        description="the report that a limit rests on, in one line of up to 120 characters",
    ),
]
"""Where a limit comes from: a test report with its number, a maker's sheet with its date."""


class Part(BaseModel):
    """What every part has: a code, a name for people, and its state in this edition."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    code: Code
    name: Name
    state: State = "active"


class Evidence(BaseModel):
    """What a part's limits rest on: limit -> report. Each kind says which limits it has."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class RimEvidence(Evidence):
    """The reports behind a rim's limits."""

    spoke_limit_n: Report | None = None
    max_spoke_section_mm2: Report | None = None
    use_classes: Report | None = None
    system_limits: Report | None = None
    pressure_limits: Report | None = None


class HubEvidence(Evidence):
    """The reports behind a hub's limits."""

    spoke_limit_n: Report | None = None
    radial_spoke_limit_n: Report | None = None
    rotor_max_mm: Report | None = None
    use_classes: Report | None = None
    system_limit_kg: Report | None = None
    e_drive: Report | None = None


class SpokeEvidence(Evidence):
    """The reports behind a spoke's limits."""

    spoke_limit_n: Report | None = None
    use_classes: Report | None = None
    system_limit_kg: Report | None = None


class NippleEvidence(Evidence):
    """The reports behind a nipple's limits."""

    use_classes: Report | None = None
    system_limit_kg: Report | None = None


class RimSection(BaseModel):
    """The rim's section as a structure; ``radius_mm`` is where bending acts."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    radius_mm: Annotated[float, Field(ge=100.0, le=400.0)]
    axial_stiffness_n: Annotated[float, Field(ge=1e6, le=1e8)]
    radial_bending_nm2: Annotated[float, Field(ge=20.0, le=5000.0)]
    lateral_bending_nm2: Annotated[float, Field(ge=20.0, le=5000.0)]
    torsion_nm2: Annotated[float, Field(ge=2.0, le=2000.0)]


class MassLimit(BaseModel):
    """Permitted system mass (rider + bicycle + luggage) for one drilling; None: not offered there."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    holes: Holes
    front_kg: MassKg | None = None
    rear_kg: MassKg | None = None


class PressureLimit(BaseModel):
    """Highest pressure from this tyre width on, up to the next row."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    tyre_mm: Annotated[float, Field(ge=15.0, le=120.0)]
    limit_bar: Annotated[float, Field(gt=0.5, le=15.0)]


class Rim(Part):
    """A rim. The effective diameter is no attribute: it follows from seat, nipple and washer.

    ``bed_offset_mm`` is how far the spoke bed lies off centre (0: symmetric); which way it is turned
    follows from the wheel. ``drillings`` are the nipple holes the rim can be drilled with.
    ``seat_measured_mm`` are measurements on the article, independent of each other and of the drawing.
    """

    brake: Brake
    bead: Literal["hooked", "hookless", "tubular"]
    tubeless: bool
    bead_seat_mm: Annotated[int, Field(ge=200, le=700)]
    depth_mm: Annotated[float, Field(ge=8.0, le=120.0)]
    inner_width_mm: Annotated[float, Field(ge=10.0, le=80.0)]
    outer_width_mm: Annotated[float, Field(ge=14.0, le=110.0)]
    seat_diameter_mm: SeatMm
    seat_measured_mm: Annotated[tuple[SeatMm, ...], MEASUREMENTS] | None = None
    bed_mm: Annotated[float, Field(ge=0.5, le=8.0)]
    bed_offset_mm: Annotated[float, Field(ge=0.0, le=8.0)] = 0.0
    holes: Annotated[tuple[Holes, ...], Field(min_length=1)]
    split: Literal["1:1", "2:1"] = "1:1"
    spacing: Literal["even", "paired"] = "even"
    seat_shape: Literal["ball", "cone", "flat"]
    drillings: Annotated[tuple[Literal["external", "hidden"], ...], Field(min_length=1)]
    external_hole_mm: Annotated[float, Field(ge=2.0, le=8.0)] | None = None
    hidden_hole_mm: Annotated[float, Field(ge=2.0, le=8.0)] | None = None
    tyre_bed_hole_mm: Annotated[float, Field(ge=0.0, le=14.0)] | None = None
    valve_hole_mm: Annotated[float, Field(ge=6.0, le=9.0)] | None = None
    needs_washer: bool = False
    spoke_limit_n: ForceN | None = None
    max_spoke_section_mm2: Annotated[float, Field(gt=0.5, le=8.0)] | None = None
    use_classes: tuple[UseClass, ...] | None = None
    mass_g: MassG
    mass_tolerance_g: Annotated[float, Field(ge=0.0, le=200.0)]
    system_limits: tuple[MassLimit, ...] | None = None
    pressure_limits: tuple[PressureLimit, ...] | None = None
    tyre_min_mm: Annotated[float, Field(ge=15.0, le=120.0)] | None = None
    tyre_max_mm: Annotated[float, Field(ge=15.0, le=120.0)] | None = None
    track_mm: Annotated[float, Field(ge=3.0, le=30.0)] | None = None
    decal_size: Literal["S", "M", "L"] | None = None
    section: RimSection | None = None
    evidence: RimEvidence | None = None


class JBendFlange(BaseModel):
    """One drilled flange for J-bend spokes."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    circle_mm: Annotated[float, Field(ge=15.0, le=150.0)]
    from_centre_mm: FromCentreMm
    from_centre_measured_mm: Annotated[tuple[FromCentreMm, ...], MEASUREMENTS] | None = None
    thickness_mm: Annotated[float, Field(ge=1.0, le=8.0)] | None = None


class StraightPullSeats(BaseModel):
    """One side of a straight-pull hub: the spoke line's distance from the axis, the seat ahead of the
    point nearest the axis."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    line_from_axis_mm: Annotated[float, Field(ge=3.0, le=80.0)]
    seat_ahead_mm: Annotated[float, Field(ge=0.0, le=60.0)]
    from_centre_mm: FromCentreMm
    from_centre_measured_mm: Annotated[tuple[FromCentreMm, ...], MEASUREMENTS] | None = None


class Hub(Part):
    """A hub. Exactly one pair of ``left_flange``/``right_flange`` or ``left_seats``/``right_seats``.

    ``crossings`` lists the crossing counts the maker releases for J-bend patterns (radial is said by
    ``radial_holes``: the drillings released for radial lacing). ``axles`` are the ends that fit, by
    end caps; ``drivers`` are the driver bodies of a rear hub, empty on a front hub.
    """

    position: Position
    brake: Brake
    rotor_mount: Literal["none", "splined", "six-bolt"]
    rotor_max_mm: Annotated[int, Field(ge=100, le=260)] | None = None
    over_locknut_mm: Annotated[float, Field(ge=60.0, le=220.0)]
    axles: Annotated[tuple[Axle, ...], Field(min_length=1)]
    holes: Annotated[tuple[Holes, ...], Field(min_length=1)]
    split: Literal["1:1", "2:1"] = "1:1"
    spacing: Literal["even", "paired"] = "even"
    left_flange: JBendFlange | None = None
    right_flange: JBendFlange | None = None
    left_seats: StraightPullSeats | None = None
    right_seats: StraightPullSeats | None = None
    hole_mm: Annotated[float, Field(ge=1.5, le=5.0)] | None = None
    slot_mm: Annotated[float, Field(ge=0.0, le=8.0)] = 0.0
    crossings: tuple[Annotated[int, Field(ge=1, le=5)], ...] = ()
    radial_holes: tuple[Holes, ...] = ()
    drivers: tuple[Code, ...] = ()
    spoke_limit_n: ForceN | None = None
    radial_spoke_limit_n: ForceN | None = None
    use_classes: tuple[UseClass, ...] | None = None
    system_limit_kg: MassKg | None = None
    e_drive: bool = False
    mass_g: MassG
    evidence: HubEvidence | None = None


class Spoke(Part):
    """A spoke type. Lengths are stocked from ``shortest_mm`` to ``longest_mm`` in steps of
    ``step_mm``. ``blade_mm`` is the blade's width (0: round), ``thickness_mm`` the middle's smaller
    dimension (the wire for a round one). ``end_share`` is the share of the length, both ends
    together, that has the ends' cross-section; 0 treats the whole length as the middle."""

    head: Literal["j-bend", "straight-pull"]
    thread: Name
    end_mm: Annotated[float, Field(ge=1.2, le=3.0)]
    blade_mm: Annotated[float, Field(ge=0.0, le=8.0)]
    thickness_mm: Annotated[float, Field(ge=0.5, le=3.0)]
    section_mm2: Annotated[float, Field(ge=0.5, le=8.0)]
    end_share: Annotated[float, Field(ge=0.0, le=0.9)] = 0.0
    head_mm: Annotated[float, Field(ge=2.5, le=6.0)]
    modulus_gpa: Annotated[float, Field(ge=60.0, le=260.0)]
    density_kg_m3: Annotated[float, Field(ge=1000.0, le=9000.0)] = 7900.0
    mass_at_264_g: Annotated[float, Field(ge=1.0, le=20.0)]
    spoke_limit_n: ForceN | None = None
    flange_min_mm: Annotated[float, Field(ge=1.0, le=8.0)] | None = None
    flange_max_mm: Annotated[float, Field(ge=1.0, le=8.0)] | None = None
    use_classes: tuple[UseClass, ...] | None = None
    system_limit_kg: MassKg | None = None
    shortest_mm: Annotated[int, Field(ge=60, le=340)]
    longest_mm: Annotated[int, Field(ge=60, le=340)]
    step_mm: Annotated[int, Field(ge=1, le=10)] = 1
    evidence: SpokeEvidence | None = None

    @property
    def lengths_mm(self) -> range:
        """Every stocked length, shortest first."""
        return range(self.shortest_mm, self.longest_mm + 1, self.step_mm)


class Nipple(Part):
    """A nipple. ``head_height_mm`` is from the seat to the bottom of the slot: the spoke's wanted end.

    ``head_top_mm`` is how far past the slot's bottom the thread may end before it leaves the head.
    """

    material: Literal["brass", "alloy"]
    kind: Literal["external", "hidden"]
    length_mm: Annotated[float, Field(ge=6.0, le=30.0)]
    body_mm: Annotated[float, Field(ge=2.0, le=7.0)]
    head_height_mm: Annotated[float, Field(ge=0.0, le=20.0)]
    head_top_mm: Annotated[float, Field(ge=0.0, le=5.0)] | None = None
    head_shape: Literal["ball", "cone", "flat"]
    thread: Name
    bed_max_mm: Annotated[float, Field(ge=0.5, le=12.0)] | None = None
    needs_washer: bool = False
    key_mm: Annotated[float, Field(ge=2.0, le=8.0)] | None = None
    use_classes: tuple[UseClass, ...] | None = None
    system_limit_kg: MassKg | None = None
    excluded_rims: tuple[Code, ...] = ()
    colours: Annotated[tuple[Colour, ...], Field(min_length=1)]
    mass_g: Annotated[float, Field(gt=0.0, le=10.0)]
    evidence: NippleEvidence | None = None


class Washer(Part):
    """A nipple washer: it lifts the nipple off the seat by its thickness."""

    thickness_mm: Annotated[float, Field(ge=0.1, le=3.0)]
    seat_shapes: Annotated[tuple[Literal["ball", "cone", "flat"], ...], Field(min_length=1)]
    mass_g: Annotated[float, Field(gt=0.0, le=5.0)]


class Driver(Part):
    """A driver body: the spline family it carries and the smallest sprocket that fits over it."""

    spline: Name
    smallest_sprocket: Annotated[int, Field(ge=8, le=16)]
    spacer: Annotated[str, Field(max_length=60)] = ""
    mass_g: Annotated[float, Field(gt=0.0, le=300.0)]


class EndCaps(Part):
    """A pair of end caps: on which hubs they turn which axle standard into a fit."""

    axle: Axle
    hubs: Annotated[tuple[Code, ...], Field(min_length=1)]


class Decal(Part):
    """One hand of a decal set: colour, size and side; a wheel takes one left and one right set."""

    colour: Code
    size: Literal["S", "M", "L"]
    hand: Literal["left", "right"]
    reflective: bool
    certified_reflector: bool


class DrillingProgram(Part):
    """One program of the rim drill: hole axes for one rim, drilling and wheel position.

    ``left_lateral_deg`` and ``right_lateral_deg`` are how far the hole axes of each side lean toward
    that side's flange (positive); ``in_plane_deg`` is how far they lean along the rim toward their
    own hub hole (0 for radial lacing).
    """

    rim: Code
    holes: Holes
    position: Position
    drilling: Literal["external", "hidden"]
    left_lateral_deg: Annotated[float, Field(ge=-5.0, le=25.0)]
    right_lateral_deg: Annotated[float, Field(ge=-5.0, le=25.0)]
    in_plane_deg: Annotated[float, Field(ge=0.0, le=25.0)]
