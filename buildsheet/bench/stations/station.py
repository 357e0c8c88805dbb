"""What every station has: a strict document, what must have been done before, and a judgement."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Final, Generic, TypeVar

from pydantic import Field

from buildsheet.bench.document import Key, Member, Person
from buildsheet.bench.task import Task
from buildsheet.catalog.house import House
from buildsheet.catalog.parts import Rim
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.kind import Kind
from buildsheet.findings import Finding
from buildsheet.plan.plan import Plan
from buildsheet.states import WheelMove

STEP: Final = Kind("a step at the stand", "data", DOCUMENT_CODES, most_members=600)

Issue = Annotated[str, Field(pattern=r"^[A-Z]{1,2}$")]
Label = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._/-]{0,59}$")]
"""A part's label or a bag's, a batch, a reference: what a scanner reads or a hand writes."""

MassG = Annotated[float, Field(gt=0.0, le=10_000.0)]
SizeMm = Annotated[float, Field(ge=0.0, le=50.0)]


class StepDocument(Member):
    """One step done. ``key`` is made once by whoever types: a step sent twice is kept once."""

    key: Key
    issue: Issue
    by: Person


@dataclass(frozen=True, slots=True)
class Stand:
    """The wheel at the stand: its task, its plan, its rim, and the rim's serial and mass where an earlier
    station recorded them."""

    task: Task
    plan: Plan
    rim: Rim
    house: House
    rim_serial: str = ""
    decals: tuple[str, ...] = ()


D = TypeVar("D", bound=StepDocument)


@dataclass(frozen=True, slots=True)
class Station(Generic[D]):
    """One station. ``needs`` are the stations that must have been passed before; ``move`` what passing it
    does to the wheel's state; ``repeats`` where it is done more than once."""

    name: str
    says: str
    document: type[D]
    judge: Callable[[Stand, D], tuple[Finding, ...]]
    needs: tuple[str, ...] = ()
    move: WheelMove | None = None
    repeats: bool = False
