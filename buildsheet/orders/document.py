"""The order document: exactly the members that the interfaces name, typed and bounded.

Strict: a number in quotes is no number, a member that is not listed is refused. ``null`` at a member
that may be absent means absent. What one member has to do with another, or with the catalog, is not
judged here but in `buildsheet.orders.checks`.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from buildsheet.catalog.parts import Code

NOTE_LENGTH = 500
"""What a person still reads, and a sheet still prints."""


def _whole(value: object) -> object:
    """An integer as JSON Schema counts it: 24.0 is one, 24.5 and "24" are not."""
    if isinstance(value, float) and value.is_integer():
        return int(value)
    return value


def _calendar_day(value: str) -> str:
    try:
        date.fromisoformat(value)
    except ValueError as error:
        raise PydanticCustomError(
            "date", "not a day of the calendar: {why}", {"why": str(error)}
        ) from error
    return value


Word = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$")]
"""A name that other systems give: safe in a file name, on a label and in a code for scanning."""

Ends = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,19}$")]
"""Wheel ends as the frame wants them: axle diameter x over-locknut distance."""

Day = Annotated[str, Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$"), AfterValidator(_calendar_day)]


Revision = Annotated[int, Field(ge=1, le=9999), BeforeValidator(_whole)]
EditionNumber = Annotated[int, Field(ge=1, le=1_000_000), BeforeValidator(_whole)]
UseClass = Annotated[int, Field(ge=1, le=6), BeforeValidator(_whole)]
Holes = Annotated[int, Field(ge=8, le=72), BeforeValidator(_whole)]
Crossings = Annotated[int, Field(ge=0, le=5), BeforeValidator(_whole)]
Sprocket = Annotated[int, Field(ge=8, le=16), BeforeValidator(_whole)]
BeadSeatMm = Annotated[int, Field(ge=200, le=700), BeforeValidator(_whole)]
RotorMm = Annotated[int, Field(ge=100, le=260), BeforeValidator(_whole)]

Kind = Literal["set", "front", "rear"]
TyreSystem = Literal["clincher", "tubeless", "tubular"]
Bike = Literal["bicycle", "e-bike", "tandem", "cargo", "fixed-gear"]
DecalSize = Literal["S", "M", "L"]


class Member(BaseModel):
    """One object of the document."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class Cassette(Member):
    """The sprockets that go on the driver body."""

    spline: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._-]{0,59}$")]
    smallest_sprocket: Sprocket


class Use(Member):
    """Who rides what, and on which bicycle the wheels go.

    Beyond the interfaces: ``bike`` (absent: a bicycle), ``tyre_bead_seat_mm``, ``front_rotor_mm``,
    ``rear_rotor_mm`` and ``salt`` (salted winter roads or sea air), each judged only when given.
    """

    class_: Annotated[UseClass, Field(alias="class")]
    rider_kg: Annotated[float, Field(ge=20.0, le=250.0)]
    bike_kg: Annotated[float, Field(ge=3.0, le=100.0)]
    luggage_kg: Annotated[float, Field(ge=0.0, le=150.0)]
    brake: Literal["disc", "rim"]
    rotor_mount: Literal["none", "splined", "six-bolt"] | None = None
    front_axle: Ends | None = None
    rear_axle: Ends | None = None
    cassette: Cassette | None = None
    tyre_width_mm: Annotated[float, Field(ge=15.0, le=120.0)]
    tyre_system: TyreSystem
    tyre_bead_seat_mm: BeadSeatMm | None = None
    front_rotor_mm: RotorMm | None = None
    rear_rotor_mm: RotorMm | None = None
    bike: Bike | None = None
    salt: bool | None = None

    @property
    def system_kg(self) -> float:
        """Rider, bicycle and luggage together."""
        return self.rider_kg + self.bike_kg + self.luggage_kg


class CrossingsBySide(Member):
    """How many other spokes of its side each spoke crosses; 0 is radial."""

    left: Crossings
    right: Crossings


class SpokeBySide(Member):
    """The spoke type of each side."""

    left: Code
    right: Code


class WheelOrder(Member):
    """One wheel by its parts."""

    rim: Code
    holes: Holes
    hub: Code
    crossings: CrossingsBySide | None = None
    spoke: SpokeBySide
    nipple: Code
    nipple_colour: Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9 -]{0,23}$")]
    washer: Code | None = None


class FrontOrder(WheelOrder):
    """A front wheel: no driver body."""


class RearOrder(WheelOrder):
    """A rear wheel; its driver body is needed, which `buildsheet.orders.checks` says."""

    driver: Code | None = None


class Finish(Member):
    """Decals. ``decal_size`` absent: as the rim wants it; ``rear_decal_colour`` absent: as the front."""

    decal_colour: Code
    decal_size: DecalSize | None = None
    rear_decal_colour: Code | None = None


class Order(Member):
    """One wheel or one set of two, as posted."""

    source: Word
    number: Word
    revision: Revision
    kind: Kind
    market: Annotated[str, Field(pattern=r"^[A-Z]{2}$")]
    wanted_by: Day | None = None
    edition_seen: EditionNumber | None = None
    use: Use
    front: FrontOrder | None = None
    rear: RearOrder | None = None
    finish: Finish
    note: Annotated[str, Field(max_length=NOTE_LENGTH)] | None = None

    @model_validator(mode="after")
    def _kind_names_the_positions(self) -> Self:
        given = {name for name in ("front", "rear") if getattr(self, name) is not None}
        if given != positions_of(self.kind):
            raise PydanticCustomError("positions", "a {kind} has other wheels", {"kind": self.kind})
        return self

    @property
    def key(self) -> tuple[str, str, int]:
        """The business key."""
        return (self.source, self.number, self.revision)


def positions_of(kind: str) -> set[str]:
    """The wheels that an order of this kind has.

    >>> sorted(positions_of("set"))
    ['front', 'rear']
    """
    return {"front", "rear"} if kind == "set" else {kind}
