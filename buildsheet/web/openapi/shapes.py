"""What the API answers, as models: they describe, and the tests hold every real answer against them.

Nothing is built through these models on the way out; the documents come from the rooms that own them.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Side = Literal["left", "right"]
Severity = Literal["block", "approval", "caution", "note"]


class Shape(BaseModel):
    """One object of an answer: every member is there, and no other."""

    model_config = ConfigDict(extra="forbid")


class Change(Shape):
    """One way out: put any of the values at this place."""

    at: str
    values: list[Any]


class FindingShape(BaseModel):
    """One thing to say about a document; `at` and `also` are JSON Pointers into it."""

    model_config = ConfigDict(title="Finding", extra="forbid")

    code: str
    severity: Severity
    at: str
    also: list[str]
    edition: int | None
    says: str
    have: dict[str, Any]
    need: dict[str, Any]
    try_: list[Change] = Field(alias="try")
    reason: str
    source: str
    together: list[dict[str, Any]] = Field(
        default=[], description="Changes that help only at once."
    )


class SpokeSide(Shape):
    """The spokes of one side. Lengths in mm; `error_mm` is stock less target."""

    feature: str
    type: str
    count: int
    crossings: int | None
    exact_mm: float
    stretch_mm: float
    rim_shrink_mm: float
    target_mm: float
    stock_mm: int | None
    error_mm: float | None
    window_mm: list[float]
    angle_deg: float
    head_clearance_mm: float | None
    from_centre_mm: float


class SpokeSides(Shape):
    """Both sides, as the rider sees them."""

    left: SpokeSide
    right: SpokeSide


class Tension(Shape):
    """Mean tension of each side without tyre, and the value that no spoke may exceed."""

    left_n: float
    right_n: float
    stop_n: float
    band_percent: float
    ratio: float
    set_by: str
    tight_side: Side


class Pitch(Shape):
    """The tone of a plucked spoke."""

    left_hz: float
    right_hz: float
    left_note: str
    right_note: str
    left_clamped_hz: float
    right_clamped_hz: float
    assumes: str
    use: str


class LacedSpokeShape(Shape):
    """Where one spoke runs."""

    hole: int
    side: Side
    hub_hole: int
    run: Literal["trailing", "leading", "radial"]
    head: Literal["in", "out", "none"]
    interlace: Literal["over", "under", "none"]


class HoleShape(Shape):
    """How one rim hole must be drilled."""

    hole: int
    side: Side
    lateral_deg: float
    in_plane_deg: float


class Structure(Shape):
    """What the wheel carries."""

    radial_stiffness_n_per_mm: float
    lateral_stiffness_n_per_mm: float
    torsional_stiffness_n_per_mm: float
    buckling_tension_n: float
    buckling_mode: int
    slack_load_n: float
    slack_side_load_n: float


class PickLine(BaseModel):
    """One line of the pick list."""

    model_config = ConfigDict(extra="forbid")

    part: str
    name: str
    count: int
    spare: int = 0


class PlanShape(BaseModel):
    """Everything computed for one wheel."""

    model_config = ConfigDict(title="Plan", extra="allow")

    position: Literal["front", "rear"]
    edition: int
    fingerprint: str
    rim: str
    hub: str
    holes: int
    nipple: str
    nipple_colour: str
    washer: str | None
    driver: str | None
    end_caps: str | None
    erd_mm: float
    bed_offset_mm: float
    orientation: str
    mass_g: float
    spokes: SpokeSides
    tension: Tension
    pitch: Pitch
    valve_gap: str
    lacing: list[LacedSpokeShape]
    drilling_program: str | None
    largest_misalignment_deg: float | None
    drilling: list[HoleShape]
    structure: Structure | None
    pick: list[PickLine]


class Plans(Shape):
    """The plans of an order's wheels, by position."""

    front: PlanShape | None = None
    rear: PlanShape | None = None


class CheckAnswer(Shape):
    """An order judged; nothing was stored."""

    buildable: bool
    edition: int
    findings: list[FindingShape]
    plans: Plans


class OrderedWheel(Shape):
    """One wheel of a taken order, with the addresses of its documents."""

    serial: str
    position: Literal["front", "rear"]
    issue: str
    fingerprint: str
    wheel: str
    plan: str
    sheet: str


class HeldPart(Shape):
    """Pieces of one article, named as in the pick list."""

    part: str
    count: int


class Hold(Shape):
    """The parts set aside for one wheel; `expires_at` null where its order is released."""

    position: Literal["front", "rear"]
    serial: str
    expires_at: str | None
    parts: list[HeldPart]


class OrderAnswer(Shape):
    """A taken order. `event` is its place in the list of events."""

    id: str
    source: str
    number: str
    revision: int
    state: str
    needs_release: bool
    edition: int
    taken_at: str
    event: int
    findings: list[FindingShape]
    wheels: list[OrderedWheel]
    holds: list[Hold]
    plans: Plans


class MoveLine(Shape):
    """One thing that was done to an order. `by`, `approved_by` and `reason` are null for a key of role
    intake: another house's system is told what and when, not by whom and why."""

    move: Literal["hold", "approve", "release", "ship", "close", "cancel", "change"]
    at: str
    revision: int
    state_before: str
    state: str
    by: str | None
    approved_by: str | None
    reason: str | None


class OrderStanding(OrderAnswer):
    """A taken order as it stands now, with every move, oldest first, and the document that was posted."""

    moves: list[MoveLine]
    document: dict[str, Any]


class OrderLine(Shape):
    """One line of the list of orders."""

    id: str
    source: str
    number: str
    revision: int
    state: str
    edition: int
    taken_at: str


class OrderList(Shape):
    """The newest orders; `next` is the address of the page after it."""

    orders: list[OrderLine]
    next: str | None


class WheelAnswer(Shape):
    """One wheel as it stands. `stopped_at_pass` is the pass that found a spoke too tight, null where none
    did; the bench says which spokes."""

    serial: str
    position: Literal["front", "rear"]
    state: str
    stopped_at_pass: int | None
    order: str
    order_state: str
    source: str
    number: str
    revision: int
    edition: int
    issue: str
    fingerprint: str
    allotted_at: str
    plan: str
    sheet: str
    picture: str


class Code(Shape):
    """One finding code: a code is never renamed."""

    code: str
    severities: list[Severity]
    says: str
    reason: str
    source: str


class CodeList(Shape):
    """Every finding code."""

    codes: list[Code]


class HealthAnswer(BaseModel):
    """Whether the workshop can work right now."""

    model_config = ConfigDict(title="Health", extra="forbid")

    up: bool
    database: Literal["writable", "not writable"]
    edition: int | None
    version: str


class ProblemShape(BaseModel):
    """A refusal (RFC 9457). `type` leads to a page that explains the kind."""

    model_config = ConfigDict(title="Problem", extra="forbid")

    type: str
    title: str
    status: int
    detail: str
    request: str
    findings: list[FindingShape]
