"""What an as-built record is made of, and the list of a recall."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import ConfigDict, Field

from buildsheet.actions.bench.find_wheels import WAYS
from buildsheet.web.openapi.bench_shapes import PredictionShape, StationName, Word
from buildsheet.web.openapi.shapes import Severity, Shape, Side

NotRecorded = Literal["not recorded"]
"""Stands wherever something that belongs into a record was never said."""


class FoundWheel(Shape):
    """One wheel of a list. `stopped_at_pass` is the pass that found a spoke too tight, null where nothing
    stops the wheel; the bench says which spokes."""

    serial: str
    position: str
    state: str
    order: str
    source: str
    number: str
    edition: int
    issue: str
    title: str
    stopped_at_pass: int | None


class WheelList(Shape):
    """The wheels that have this in them; ``next`` is where the page after this one is asked for."""

    by: str = Field(json_schema_extra={"enum": [*WAYS]})
    what: str
    wheels: list[FoundWheel]
    next: str | None


class RecordOrder(Shape):
    """The order the wheel was built for, by the sender's number."""

    number: str
    source: str
    revision: int


class VoidIssue(Shape):
    """A sheet that was in force before."""

    issue: str
    void_at: str
    because: str


class RecordSheet(Shape):
    """The sheet the wheel was built from."""

    issue: str
    issued_at: str
    fingerprint: str
    void: list[VoidIssue]


class RecordEdition(Shape):
    """The catalog edition behind it."""

    number: int
    digest: str


class RecordRim(Shape):
    """The rim with its serial."""

    code: str
    holes: int
    serial: str
    batch: str
    drilling: str


class RecordHub(Shape):
    """The hub with its serial."""

    code: str
    serial: str
    driver: str | None
    end_caps: str | None


class RecordSpokes(Shape):
    """The spokes of one side."""

    type: str
    count: int
    length_mm: int | None
    crossings: int | None


class RecordNipple(Shape):
    """The nipples."""

    code: str
    colour: str
    washer: str | None


class Spare(Shape):
    """What is in the bag for the rider."""

    part: str
    count: int


class RecordParts(Shape):
    """Everything in the wheel."""

    rim: RecordRim
    hub: RecordHub
    spokes: dict[Side, RecordSpokes]
    nipple: RecordNipple
    decals: list[str]
    spares: list[Spare]
    batches: list[str] | NotRecorded


class RecordAllowed(Shape):
    """The tolerances that the readings were judged by."""

    band_percent: float
    mean_percent: float
    ratio: float
    lateral_mm: float
    radial_mm: float
    radial_joint_mm: float
    dish_offset_mm: float
    mass_percent: float


class RecordPlanned(Shape):
    """What the wheel should be."""

    erd_mm: float
    mass_g: float
    left_n: float
    right_n: float
    stop_n: float
    ratio: float
    set_by: str
    target_mm: dict[Side, float]
    tight_side: Side
    sides_by_hole: list[Side]
    allowed: RecordAllowed


class RecordFinding(Shape):
    """What was said of the pass."""

    code: str
    severity: Severity
    says: str


class RecordMeasured(Shape):
    """The pass that counts: as typed, and in newtons by hole."""

    model_config = ConfigDict(extra="forbid")

    pass_: int = Field(alias="pass")
    at: str
    by: str
    gauge: str
    gauge_tables: list[str]
    gauge_error_share: float
    tension_typed: dict[str, Any] | NotRecorded
    tension_n: list[float | None]
    sides: dict[Side, dict[str, float]] | NotRecorded
    ratio: float | NotRecorded
    lateral: dict[str, Any] | NotRecorded
    radial: dict[str, Any] | NotRecorded
    dish: dict[str, Any] | NotRecorded
    mass_g: float | NotRecorded
    threads: list[str] | NotRecorded
    free_play: bool | NotRecorded
    twisted: bool | NotRecorded
    relief_rounds: int | NotRecorded
    findings: list[RecordFinding]


class RecordSigned(Shape):
    """Who stands for the wheel."""

    model_config = ConfigDict(extra="forbid")

    pass_: int = Field(alias="pass")
    by: str
    at: str
    reason: str


class RecordPass(Shape):
    """One pass of readings."""

    number: int
    issue: str
    at: str
    by: str
    gauge: str
    verdict: Word
    tension_n: list[float | None]
    prediction: PredictionShape | None


class RecordStep(Shape):
    """One station; only its name and ``done`` where nothing was recorded."""

    station: StationName
    done: str
    by: str | None = None
    times: int | None = None
    said: dict[str, Any] | None = None


class PressureRow(Shape):
    """Highest pressure from this tyre width on."""

    from_tyre_mm: float
    limit_bar: float | None
    with_tube_bar: float | None


class RecordLimits(Shape):
    """What the rider must keep to."""

    system_mass_kg: float | NotRecorded
    use_classes: list[int] | NotRecorded
    pressure: list[PressureRow]
    tyre_min_mm: float | NotRecorded
    tyre_max_mm: float | NotRecorded
    bead_seat_mm: int
    bead: str
    brake: str


class RecordDocument(Shape):
    """The as-built record. `digest` is over everything else: canonical JSON, members sorted, UTF-8."""

    kind: Literal["as-built record of a wheel"]
    form: Literal[1]
    workshop: str
    serial: str
    position: str
    verdict: Word
    certificate: bool
    no_certificate_because: list[str]
    order: RecordOrder
    sheet: RecordSheet
    edition: RecordEdition
    parts: RecordParts
    planned: RecordPlanned
    measured: RecordMeasured | NotRecorded
    signed: RecordSigned | NotRecorded
    passes: list[RecordPass]
    steps: list[RecordStep]
    people: list[str]
    limits: RecordLimits
    digest: str
