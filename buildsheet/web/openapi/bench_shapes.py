"""What the bench's routes take and answer."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from buildsheet.bench.stations.station import StepDocument
from buildsheet.web.openapi.shapes import FindingShape, Shape

Word = Literal["not-judged", "stop", "rework", "pass", "pass-with-remark"]
StationName = Literal[
    "rim-gate",
    "kit",
    "drill",
    "first-spoke",
    "half-way",
    "relief",
    "finishing",
    "pair",
    "box",
    "ship",
]


class StepBody(StepDocument):
    """One step. Further members are those of the station."""

    model_config = ConfigDict(extra="allow")

    station: StationName


class PackedBefore(BaseModel):
    """A line of the packing list that was ticked with the other wheel of the set."""

    model_config = ConfigDict(extra="forbid")

    label: str
    with_: str = Field(alias="with")
    by: str
    at: str


class StepAnswer(Shape):
    """A step, kept and judged. The box of a set is ticked once: `packed_before` is what lies in it already
    with the other wheel, and need not be sent again; there at the box only."""

    serial: str
    station: StationName
    good: bool
    state: str
    findings: list[FindingShape]
    packed_before: list[PackedBefore] = Field(default_factory=list)


class SideFigures(Shape):
    """What was read of one side."""

    mean_n: float
    lowest_n: float
    lowest_hole: int
    highest_n: float
    highest_hole: int
    below_percent: float
    above_percent: float


class Turn(Shape):
    """One nipple; positive eighths tighten."""

    hole: int
    side: Literal["left", "right"]
    eighths: int


class Predicted(Shape):
    """The readings that the advice leads to."""

    lateral_mm: float | None
    radial_mm: float | None
    dish_mm: float | None
    tension_n: list[float | None]


class AdviceShape(Shape):
    """What to turn next, round by round."""

    rounds: list[list[Turn]]
    predicted: Predicted | None
    highest_n: float | None
    remarks: list[str]
    why_not: str


class PredictionShape(Shape):
    """Measured less predicted."""

    tension_rms_n: float | None
    lateral_mm: float | None
    radial_mm: float | None
    dish_mm: float | None


class PassAnswer(Shape):
    """One pass: verdict, what to turn, and how good the last advice was."""

    model_config = ConfigDict(extra="forbid")

    serial: str
    pass_: int = Field(alias="pass")
    issue: str
    verdict: Word
    may_pass_with_remark: bool
    tension_n: list[float | None]
    gauge_tables: list[str]
    gauge_error_share: float
    sides: dict[Literal["left", "right"], SideFigures]
    ratio: float | None
    findings: list[FindingShape]
    advice: AdviceShape
    prediction: PredictionShape | None


class SignAnswer(Shape):
    """A signature that stands, or why it does not."""

    serial: str
    pass_: int = Field(alias="pass")
    good: bool
    verdict: Word
    state: str
    findings: list[FindingShape]


class TruingAnswer(BaseModel):
    """The advice of the newest pass; null before the first."""

    serial: str
    pass_: int | None = Field(alias="pass")
    verdict: Word | None = None
    advice: AdviceShape | None
    prediction: PredictionShape | None = None


class IssueAnswer(Shape):
    """The sheet that is in force now."""

    serial: str
    issue: str
    edition: int
    unchanged: bool
    findings: list[FindingShape]


class MarkShape(Shape):
    """One calibrated point."""

    shown: float
    force_n: float


class GaugeTableShape(Shape):
    """One calibration table."""

    gauge: str
    spoke: str
    version: str
    made_on: str
    due_on: str
    error_share: float
    marks: list[MarkShape]


class GaugeList(Shape):
    """The table of every gauge and spoke type that was made last."""

    tables: list[GaugeTableShape]


class KeptAnswer(Shape):
    """Whether it is new, or was there already."""

    new: bool


NextThing = Literal[
    StationName,
    "readings",
    "sign",
    "slacken",
    "",
]


class TightSpoke(Shape):
    """A spoke that read above the stop value: what it read, and what that is at most with the gauge's
    error; the stop value then, and the lowest maker's limit."""

    hole: int
    side: Literal["left", "right"]
    reads_n: float
    at_most_n: float
    stop_n: float
    limit_n: float
    says: str


class StoppedShape(Shape):
    """The pass that found spokes too tight. It stands until a later pass was judged and found none; a new
    issue of the sheet does not take it back. `slacken` is walked round by round, before anything else."""

    model_config = ConfigDict(extra="forbid")

    pass_: int = Field(alias="pass")
    issue: str
    by: str
    at: str
    spokes: list[TightSpoke]
    slacken: list[list[Turn]]


class BenchStanding(BaseModel):
    """The wheel at the stand. `next` is a station, `readings` or `sign`, empty where all is done, and
    `slacken` where `stopped` says which spokes are too tight: then nothing leads on."""

    serial: str
    position: Literal["front", "rear"]
    state: str
    issue: str
    edition: int
    waits: bool
    next: NextThing
    stopped: StoppedShape | None
    rim_serial: str | None
    targets: dict[str, float]
    holes: list[dict[str, Any]]
    gauges: list[dict[str, Any]]
    done: list[str]
    steps: list[dict[str, Any]]
    passes: list[dict[str, Any]]
    newest: PassAnswer | None
    signed: list[dict[str, Any]]
