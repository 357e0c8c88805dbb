"""Stress relief: round after round until a round changes nothing."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Final

from pydantic import Field

from buildsheet.bench.codes import found
from buildsheet.bench.stations.station import SizeMm, Stand, Station, StepDocument
from buildsheet.findings import Finding

ForceN = Annotated[float, Field(gt=0.0, le=3000.0)]


class Relief(StepDocument):
    """One round: both sides squeezed all round. Mean tension of the tight side, and lateral run-out as a
    full reading, before and after."""

    round: Annotated[int, Field(ge=1, le=20)]
    before_n: ForceN | None = None
    after_n: ForceN | None = None
    lateral_before_mm: SizeMm | None = None
    lateral_after_mm: SizeMm | None = None


def judge(stand: Stand, step: Relief) -> tuple[Finding, ...]:
    """Whether the wheel has settled."""
    return tuple(_judged(stand, step))


def _judged(stand: Stand, step: Relief) -> Iterator[Finding]:
    most_percent = stand.house.stations.relief_change_percent
    if step.before_n is None or step.after_n is None:
        says = "Read the tight side's mean before and after the round; else nobody knows if it settled."
        yield found("bench.reading-missing", "block", "/after_n", says)
        return
    change_percent = 100.0 * abs(step.after_n / step.before_n - 1.0)
    if change_percent > most_percent + 1e-9:
        yield found(
            "bench.not-settled",
            "caution",
            "/after_n",
            f"Round {step.round} changed the mean by {change_percent:.1f} %; below {most_percent:g} % it "
            "has settled. Bring it back to target and relieve once more.",
            have={"change_percent": round(change_percent, 2)},
            need={"change_percent": {"at_most": most_percent}},
        )
    before_mm, after_mm = step.lateral_before_mm, step.lateral_after_mm
    wave_mm = stand.house.stations.relief_wave_mm
    if before_mm is not None and after_mm is not None and after_mm - before_mm > wave_mm:
        yield found(
            "bench.wave",
            "block",
            "/lateral_after_mm",
            f"Relief threw the rim {after_mm - before_mm:.2f} mm out of true: it stands too tight for its "
            "stiffness. Slacken all spokes half a turn; no truing mends that.",
            have={"grown_mm": round(after_mm - before_mm, 3)},
            need={"grown_mm": {"at_most": wave_mm}},
        )


STATION: Final = Station(
    name="relief",
    says="Squeeze near-parallel pairs all round, both sides; read before and after.",
    document=Relief,
    judge=judge,
    needs=("half-way",),
    repeats=True,
)
