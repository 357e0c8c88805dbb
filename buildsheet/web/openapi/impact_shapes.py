"""What the impact of a draft and the plans of lengths and programs look like."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from buildsheet.web.openapi.shapes import FindingShape, Shape

Proposal = Literal["keep", "re-issue", "hold", "cancel"]


class ConfigurationsShape(Shape):
    """Wheels in one nipple colour, driver body and decal colour, counted exactly."""

    before: int
    after: int
    appear: int
    disappear: int
    change: int
    by_figure: dict[str, int] = Field(description="Of those that change: in which figure.")


class ExampleShape(Shape):
    """A wheel that is touched, with its figures before and after. `apart`: in how many members it
    differs from the nearest wheel on order, which `orders` open orders have."""

    position: Literal["front", "rear"]
    wheel: dict[str, Any]
    appear: int
    disappear: int
    stay: int
    changed: list[str]
    apart: int | None
    orders: int
    before: dict[str, Any] | None
    after: dict[str, Any] | None


class MovedShape(Shape):
    """One wheel of an order: which figures differ, on its own sheet and under the draft."""

    position: Literal["front", "rear"]
    changed: list[str]
    before: dict[str, Any] | None
    after: dict[str, Any] | None


class TouchedOrderShape(Shape):
    """An open order that the draft would answer otherwise, and what to do about it."""

    id: str
    source: str
    number: str
    state: str
    edition: int
    proposal: Proposal
    why: str
    touches: list[str]
    findings: list[FindingShape]
    cleared: list[str]
    wheels: list[MovedShape]


class TouchedOrdersShape(Shape):
    """All open orders."""

    open: int
    touched: int
    by_state: dict[str, dict[str, int]]
    list: list[TouchedOrderShape]


class DeadPartShape(Shape):
    """A part that is in no buildable wheel; `variant` empty: in no variant."""

    kind: str
    code: str
    variant: str


class OnlyChoiceShape(Shape):
    """A part that is the only one of its kind left for a rim, drilled so, at a position."""

    position: Literal["front", "rear"]
    rim: str
    holes: int
    kind: str
    code: str


class PartsShape(Shape):
    """Parts that stop or start to be of use."""

    dead: list[DeadPartShape]
    revived: list[DeadPartShape]
    only_choices: list[OnlyChoiceShape]
    no_longer_only: list[OnlyChoiceShape]


class RuleStandingShape(Shape):
    """A rule that does nothing, or too much."""

    id: str
    standing: Literal["never-asked", "never-fails", "always-fails", "never-judged"]
    says: str


class ContradictionShape(Shape):
    """Rules that together leave no wheel of this rim, though each alone leaves some."""

    position: Literal["front", "rear"]
    rim: str
    rules: list[str]


class RulesShape(Shape):
    """Rules that fall idle or start to work, and rules that contradict each other."""

    idle: list[RuleStandingShape]
    no_longer_idle: list[RuleStandingShape]
    contradictions: list[ContradictionShape]


class LengthChangeShape(Shape):
    """One spoke type: the fewest lengths before and after, lengths newly needed, lengths that die."""

    spoke: str
    fewest: list[int]
    needed_mm: list[int]
    dead_mm: list[int]


class AxesShape(Shape):
    """Hole axes of a program that is missing."""

    left_lateral_deg: float
    right_lateral_deg: float
    in_plane_deg: float
    serves: int
    worst_deg: float


class DrillingShape(Shape):
    """One kind of drilled rim with the programs made for it and those it lacks."""

    rim: str
    holes: int
    position: Literal["front", "rear"]
    drilling: Literal["external", "hidden"]
    builds: int
    taken: list[str]
    unused: list[str]
    unserved: int
    missing: list[AxesShape]
    fewest: int | None
    proved: bool


class MissingDecalShape(Shape):
    """A colour that is not on offer in the size of these rims."""

    colour: str
    size: str
    hands: list[str]
    rims: list[str]


class StrandedShape(Shape):
    """A place on the shelves that no buildable wheel takes from; `new`: the draft makes it so."""

    item: str
    quantity: int
    bin: str
    why: str
    new: bool


class ImpactShape(Shape):
    """Everything that publishing the draft would do."""

    edition: int
    draft: int
    nothing: bool
    configurations: ConfigurationsShape
    examples: dict[str, list[ExampleShape]]
    orders: TouchedOrdersShape
    parts: PartsShape
    rules: RulesShape
    lengths: list[LengthChangeShape]
    drilling: list[DrillingShape]
    missing_decals: list[MissingDecalShape]
    stranded: list[StrandedShape]


class ImpactAnswer(Shape):
    """The impact of one version of the draft; null where the findings keep it from being read."""

    version: int
    impact: ImpactShape | None
    findings: list[FindingShape]


class StockLengthShape(Shape):
    """One length of the plan."""

    length_mm: int
    sides: int
    builds: int
    alone: int
    order_point: int
    stocked: bool


class ErrorStepShape(Shape):
    """Sides whose stocked length is off by this much up to the next step of 0.1 mm; long is positive."""

    from_mm: float
    sides: int


class TypeLengthsShape(Shape):
    """One spoke type: the fewest lengths, and the shelf beside them."""

    sides: int
    targets: int
    range_mm: list[float]
    fewest: int
    lengths: list[StockLengthShape]
    errors: list[ErrorStepShape]
    stocked: int
    share_served: float | None
    missing_mm: list[int]
    spare_mm: list[int]
    dead_mm: list[int]


class RimAddsShape(Shape):
    """What one rim asks for beyond all others."""

    rim: str
    builds: int
    more: dict[str, int]
    only_mm: dict[str, list[int]]


class LengthsAnswer(Shape):
    """The fewest spoke lengths that serve every buildable wheel. `order_point` and `weighing` say how the
    figures are meant."""

    edition: int
    builds: int
    unserved_builds: int
    look_alike_builds: int
    proved: bool
    order_point: str
    weighing: str
    types: dict[str, TypeLengthsShape]
    rims: list[RimAddsShape]


class ProgramsAnswer(Shape):
    """The drilling programs that every buildable wheel needs."""

    edition: int
    within_deg: float
    fewest: int
    made: int
    proved: bool
    drilling: list[DrillingShape]
