"""The document of one pass, as a page or another system sends it; read strictly, like every document.

Incomplete passes are documents too: what is missing is said by the verdict, not by the form.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from buildsheet.bench.readings import Dish, Pass, RunOut, Tensions
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.kind import Kind

READINGS: Final = Kind(
    "a pass of readings",
    "data",
    DOCUMENT_CODES,
    lines_allowed=frozenset({"/note"}),
)
"""A pass of 72 spokes has some 250 values."""

Key = Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]{8,64}$")]
"""Made once by whoever types: the same pass sent twice is kept once."""

Serial = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,39}$")]
Person = Annotated[str, Field(min_length=1, max_length=40, pattern=r"^\S(.*\S)?$")]
SizeMm = Annotated[float, Field(ge=0.0, le=50.0)]
PlaceMm = Annotated[float, Field(ge=-50.0, le=50.0)]
Typed = Annotated[float, Field(ge=0.0, le=5000.0)]
Spokes = Annotated[tuple[Typed | None, ...], Field(min_length=1, max_length=72)]
Places = Annotated[tuple[PlaceMm | None, ...], Field(min_length=1, max_length=72)]


class Member(BaseModel):
    """One object of the document."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


class TensionDocument(Member):
    """Readings by rim hole, hole 1 first; null where a spoke was not read."""

    gauge: Serial
    unit: Literal["scale", "n", "kgf"]
    typed: Spokes


class RunOutDocument(Member):
    """``given_as`` says what the figure is: the full indicator reading, or plus/minus about the middle.
    ``by_hole_mm`` are gauge readings at the holes from any zero."""

    given_as: Literal["full", "plus-minus"]
    typed_mm: SizeMm | None = None
    by_hole_mm: Places | None = None
    at_joint: bool = False


class DishDocument(Member):
    """``gap``: what the dish gauge shows when turned round; ``offset``: half of it."""

    given_as: Literal["offset", "gap"]
    typed_mm: SizeMm
    toward: Literal["left", "right"]


class PitchDocument(Member):
    """Means of each side when plucked; a cross-check of the gauge, never a tension."""

    left_hz: Annotated[float, Field(gt=20.0, le=5000.0)]
    right_hz: Annotated[float, Field(gt=20.0, le=5000.0)]


class PassDocument(Member):
    """One pass. Only ``key``, ``issue`` and ``by`` are always needed."""

    key: Key
    issue: Annotated[str, Field(pattern=r"^[A-Z]{1,2}$")]
    by: Person
    rim_serial: Serial | None = None
    hub_serial: Serial | None = None
    tension: TensionDocument | None = None
    lateral: RunOutDocument | None = None
    radial: RunOutDocument | None = None
    dish: DishDocument | None = None
    mass_g: Annotated[float, Field(gt=0.0, le=10_000.0)] | None = None
    caps_fitted: bool | None = None
    threads: Annotated[tuple[Literal["below", "in", "above"], ...], Field(max_length=72)] = ()
    free_play: bool | None = None
    twisted: bool | None = None
    relief_rounds: Annotated[int, Field(ge=0, le=20)] | None = None
    pitch: PitchDocument | None = None
    note: Annotated[str, Field(max_length=500)] | None = None

    def as_pass(self) -> Pass:
        """The same as the bench judges it."""
        return Pass(
            issue=self.issue,
            rim_serial=self.rim_serial or "",
            hub_serial=self.hub_serial or "",
            tensions=_tensions(self.tension),
            lateral=_run_out(self.lateral),
            radial=_run_out(self.radial),
            dish=_dish(self.dish),
            mass_g=self.mass_g,
            caps_fitted=self.caps_fitted,
            threads=self.threads,
            free_play=self.free_play,
            twisted=self.twisted,
            relief_rounds=self.relief_rounds,
        )


def _tensions(given: TensionDocument | None) -> Tensions | None:
    return None if given is None else Tensions(given.gauge, given.unit, given.typed)


def _run_out(given: RunOutDocument | None) -> RunOut | None:
    if given is None:
        return None
    return RunOut(given.given_as, given.typed_mm, given.by_hole_mm, given.at_joint)


def _dish(given: DishDocument | None) -> Dish | None:
    return None if given is None else Dish(given.given_as, given.typed_mm, given.toward)
