"""What a sheet is made from: one wheel of one order, planned and released."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding
from buildsheet.plan.plan import Plan

Paper = Literal["A4", "Letter"]


@dataclass(frozen=True, slots=True)
class Use:
    """What the wheel is for: class of EN 17406, mass of rider, bicycle and luggage, tyre, brake."""

    use_class: int
    system_kg: float
    tyre_width_mm: float
    tyre_system: str
    brake: str


@dataclass(frozen=True, slots=True)
class Decals:
    """The decal sets of the wheel: the colour as ordered, and the codes to take from the shelf."""

    colour: str
    left: str = ""
    right: str = ""


@dataclass(frozen=True, slots=True)
class Released:
    """Who put a name and a reason to what the checks would not let through alone, and on which day."""

    by: str
    on: str
    reason: str


@dataclass(frozen=True, slots=True)
class SheetRequest:
    """One wheel to print. ``wheel_of`` is (1, 2) for the first wheel of two.

    ``note`` is the order's free text; ``findings`` are its cautions and approvals (blocks have no
    sheet; of the notes only the tyre's pressure is printed); ``bench_url`` is what the QR code opens.
    ``released`` None: approvals among the findings are still to be signed, on paper.
    """

    workshop: str
    order_number: str
    revision: int
    source: str
    serial: str
    issue: str
    wanted_by: str | None
    edition: Edition
    plan: Plan
    wheel_of: tuple[int, int]
    use: Use
    bench_url: str
    decals: Decals | None = None
    note: str = ""
    findings: tuple[Finding, ...] = field(default=())
    paper: Paper = "A4"
    released: Released | None = None
