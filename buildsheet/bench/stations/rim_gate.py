"""The rim gate: what the rim itself measures, before anything is drilled or laced."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import fmean
from typing import Annotated, Final, Literal

from pydantic import Field

from buildsheet.bench.codes import found
from buildsheet.bench.remeasure import FARTHEST_MM, Remeasured, remeasured
from buildsheet.bench.stations.station import Label, MassG, SizeMm, Stand, Station, StepDocument
from buildsheet.findings import Finding, Value

DIAMETERS: Final = 4
FAR: Final = 2.0
"""From the mean of all no diameter lies farther than so many times what the mean itself may be off [house
figure, proposal]."""

TRACK_PLACES: Final = 8

DiameterMm = Annotated[float, Field(ge=200.0, le=720.0)]
TrackMm = Annotated[float, Field(ge=10.0, le=60.0)]


class RimGate(StepDocument):
    """``diameter_of`` says what the four readings are: the nipple ``seat``, or the ``erd`` with the ordered
    nipples. Track widths only for rims with a brake track, at eight places."""

    rim_serial: Label
    batch: Label
    mass_g: MassG | None = None
    lateral_mm: SizeMm | None = None
    radial_mm: SizeMm | None = None
    diameter_of: Literal["seat", "erd"] | None = None
    diameters_mm: Annotated[tuple[DiameterMm, ...], Field(max_length=12)] = ()
    track_widths_mm: Annotated[tuple[TrackMm, ...], Field(max_length=24)] = ()


def measured_erd_mm(stand: Stand, step: RimGate) -> float | None:
    """The rim's effective diameter from the readings; None where too few were taken."""
    if step.diameter_of is None or len(step.diameters_mm) < DIAMETERS:
        return None
    mean_mm = fmean(step.diameters_mm)
    if step.diameter_of == "erd":
        return mean_mm
    return mean_mm + stand.plan.erd_mm - stand.rim.seat_diameter_mm


def recomputed(stand: Stand, step: RimGate) -> Remeasured | None:
    """The lengths that this very rim wants; None where it was not measured."""
    erd_mm = measured_erd_mm(stand, step)
    return None if erd_mm is None else remeasured(stand.plan, stand.task, erd_mm)


def judge(stand: Stand, step: RimGate) -> tuple[Finding, ...]:
    """Everything about this rim that does not let it go on."""
    return (
        *_missing(stand, step),
        *_mass(stand, step),
        *_run_out(stand, step),
        *_track(stand, step),
        *(_doubtful(stand, step) or _diameter(stand, step)),
    )


def _missing(stand: Stand, step: RimGate) -> Iterator[Finding]:
    wanted = {
        "mass_g": (step.mass_g is None, "the rim's mass"),
        "lateral_mm": (step.lateral_mm is None, "its bare lateral run-out"),
        "radial_mm": (step.radial_mm is None, "its bare radial run-out"),
        "diameter_of": (
            step.diameter_of is None,
            "whether the diameters are of the seat or the ERD",
        ),
        "diameters_mm": (
            len(step.diameters_mm) < DIAMETERS,
            f"{DIAMETERS} diameters, a quarter turn apart",
        ),
        "track_widths_mm": (
            stand.rim.brake == "rim" and len(step.track_widths_mm) < TRACK_PLACES,
            f"the brake track's width at {TRACK_PLACES} places",
        ),
    }
    for member, (absent, what) in wanted.items():
        if absent:
            says = f"Nothing says {what}. A rim that was not measured is not let through."
            yield found(
                "bench.reading-missing", "block", f"/{member}", says, have={"missing": member}
            )


def _mass(stand: Stand, step: RimGate) -> Iterator[Finding]:
    rim, mass_g = stand.rim, step.mass_g
    if mass_g is None or abs(mass_g - rim.mass_g) <= rim.mass_tolerance_g:
        return
    kilograms = abs(1000.0 * mass_g - rim.mass_g) <= rim.mass_tolerance_g
    what_now = "Look at the label; set it aside for rim quality control."
    yield found(
        "bench.rim-mass",
        "block",
        "/mass_g",
        f"The rim weighs {mass_g:.{3 if mass_g < 1 else 0}f} g; {rim.code} is {rim.mass_g:.0f} g, give or "
        f"take {rim.mass_tolerance_g:.0f}. {'Kilograms? Type it in grams.' if kilograms else what_now}",
        have={"mass_g": mass_g},
        need={"mass_g": rim.mass_g, "within_g": rim.mass_tolerance_g},
    )


def _run_out(stand: Stand, step: RimGate) -> Iterator[Finding]:
    bare = stand.house.stations
    for which, typed_mm, most_mm in (
        ("lateral", step.lateral_mm, bare.bare_lateral_mm),
        ("radial", step.radial_mm, bare.bare_radial_mm),
    ):
        if typed_mm is not None and typed_mm > most_mm + 1e-9:
            yield found(
                "bench.rim-run-out",
                "block",
                f"/{which}_mm",
                f"The bare rim runs out {typed_mm:.2f} mm ({which}, full reading); {most_mm:.2f} mm is let "
                "through. Spokes should not have to bend it straight: set it aside.",
                have={"full_mm": typed_mm},
                need={"full_mm": {"at_most": most_mm}},
            )


def _track(stand: Stand, step: RimGate) -> Iterator[Finding]:
    widths = step.track_widths_mm
    if stand.rim.brake != "rim" or len(widths) < TRACK_PLACES:
        return
    change_mm, most_mm = max(widths) - min(widths), stand.house.stations.track_change_mm
    if change_mm > most_mm + 1e-9:
        yield found(
            "bench.track",
            "block",
            "/track_widths_mm",
            f"The brake track's width changes by {change_mm:.2f} mm round the rim; {most_mm:.2f} mm is let "
            "through. The brake would grab once a turn: set it aside.",
            have={"change_mm": round(change_mm, 3)},
            need={"change_mm": {"at_most": most_mm}},
        )
    opening_mm = stand.house.fit.brake_opening_mm
    if max(widths) > opening_mm:
        yield found(
            "bench.track",
            "block",
            "/track_widths_mm",
            f"The rim is {max(widths):.1f} mm wide at the track; brakes open to {opening_mm:g} mm.",
            have={"width_mm": max(widths)},
            need={"width_mm": {"at_most": opening_mm}},
        )


def _doubtful(stand: Stand, step: RimGate) -> tuple[Finding, ...]:
    """What makes the diameters no measurement: the seat called the ERD or the reverse, or one that lies far
    from the others. No length may be computed from it: the first alone would be out by a nipple's head."""
    if step.diameter_of is None or len(step.diameters_mm) < DIAMETERS:
        return ()
    mean_mm, allowed_mm = fmean(step.diameters_mm), stand.house.sheet.erd_tolerance_mm
    of_mm = {"seat": stand.rim.seat_diameter_mm, "erd": stand.plan.erd_mm}
    other: Literal["seat", "erd"] = "erd" if step.diameter_of == "seat" else "seat"
    far = tuple(_far_from(step.diameters_mm, mean_mm, FAR * allowed_mm))
    if far or abs(mean_mm - of_mm[other]) > allowed_mm + 1e-9:
        return far
    words = {"seat": "of the nipple seat", "erd": "of the spoke ends, the ERD"}
    says = (
        f"The diameters are said to be {words[step.diameter_of]}, {of_mm[step.diameter_of]:.1f} mm; with a "
        f"mean of {mean_mm:.1f} mm they fit the diameter {words[other]}, {of_mm[other]:.1f} mm. Look how "
        "they were read, and say it again."
    )
    have: dict[str, Value] = {"diameter_of": step.diameter_of, "mean_mm": round(mean_mm, 2)}
    return (
        found(
            "bench.erd-off", "block", "/diameter_of", says, have=have, need={"diameter_of": other}
        ),
    )


def _far_from(readings_mm: tuple[float, ...], mean_mm: float, most_mm: float) -> Iterator[Finding]:
    """Every reading that lies farther from the mean of all than a round rim's can."""
    for place, read_mm in enumerate(readings_mm):
        if abs(read_mm - mean_mm) > most_mm + 1e-9:
            yield found(
                "bench.erd-off",
                "block",
                f"/diameters_mm/{place}",
                f"Diameter {place + 1} reads {read_mm:.1f} mm, {read_mm - mean_mm:+.1f} off the mean of "
                f"{mean_mm:.1f}; {most_mm:g} is allowed. A slip, or the rim is not round: measure again.",
                have={"read_mm": read_mm, "mean_mm": round(mean_mm, 2)},
                need={"within_mm": most_mm},
            )


def _diameter(stand: Stand, step: RimGate) -> Iterator[Finding]:
    again = recomputed(stand, step)
    allowed_mm = stand.house.sheet.erd_tolerance_mm
    if again is None or abs(again.off_mm) <= allowed_mm + 1e-9:
        return
    if abs(again.off_mm) > FARTHEST_MM:
        yield found(
            "bench.erd-off",
            "block",
            "/diameters_mm",
            f"The rim measures {again.erd_mm:.1f} mm, {again.off_mm:+.1f} against the sheet's "
            f"{stand.plan.erd_mm:.1f}: no rim is so far off. Look at its label, and whether the seat was "
            "read or the ERD; then measure again.",
            have={"erd_mm": round(again.erd_mm, 2), "off_mm": round(again.off_mm, 2)},
            need={"erd_mm": stand.plan.erd_mm, "within_mm": allowed_mm},
        )
        return
    left, right = again.targets_mm.left, again.targets_mm.right
    yield found(
        "bench.erd-off",
        "block",
        "/diameters_mm",
        f"The rim measures {again.erd_mm:.1f} mm, {again.off_mm:+.1f} against the sheet's "
        f"{stand.plan.erd_mm:.1f}; {allowed_mm:g} is allowed. This rim wants spokes of {left:.1f} left and "
        f"{right:.1f} right instead of {stand.plan.spokes.left.target_mm:.1f} and "
        f"{stand.plan.spokes.right.target_mm:.1f}. Have the sheet issued again, or take another rim.",
        have={"erd_mm": round(again.erd_mm, 2), "off_mm": round(again.off_mm, 2)},
        need={
            "erd_mm": stand.plan.erd_mm,
            "within_mm": allowed_mm,
            "left_mm": round(left, 2),
            "right_mm": round(right, 2),
        },
    )


STATION: Final = Station(
    name="rim-gate",
    says="Weigh and measure the bare rim.",
    document=RimGate,
    judge=judge,
)
