"""All that one wheel's sheet says, from its request."""

from __future__ import annotations

from buildsheet.sheet.content.lacing import lacing_says
from buildsheet.sheet.content.record import record_says
from buildsheet.sheet.content.says import Banner, Release, SheetSays
from buildsheet.sheet.content.wheel import (
    check_says,
    limit_says,
    pick_says,
    side_says,
    stop_says,
)
from buildsheet.sheet.content.words import (
    CAUTIONS,
    GATE,
    STEPS_CROSSED,
    STEPS_RADIAL,
    STEPS_STRAIGHT,
)
from buildsheet.sheet.request import SheetRequest
from buildsheet.wheel.spec import Sides


def sheet_says(request: SheetRequest) -> SheetSays:
    """Every string of both sides."""
    plan, edition = request.plan, request.edition
    asked = tuple(each for each in request.findings if each.severity == "approval")
    signed = asked and request.released
    releases = () if signed else tuple(Release(each.says, each.reason) for each in asked)
    pick = pick_says(plan, edition, request.decals)
    return SheetSays(
        title=_title(request),
        banner=_banner(
            request,
            release=bool(releases),
            released=f"by {signed.by}, {signed.on}" if signed else "",
        ),
        sides=Sides(left=side_says(plan, edition, "left"), right=side_says(plan, edition, "right")),
        pick=pick,
        checks=check_says(plan, edition),
        lacing=lacing_says(plan),
        gate=GATE,
        stop=stop_says(plan),
        limits=limit_says(plan, edition),
        steps=_steps(request),
        cautions=CAUTIONS,
        warned=(
            *((f"Approved by {signed.by}: {signed.reason}",) if signed else ()),
            *(each.says for each in request.findings if each.severity == "caution"),
        ),
        releases=releases,
        note=request.note.strip(),
        record=record_says(request, pick),
    )


def _title(request: SheetRequest) -> str:
    return f"Build sheet {request.order_number} {request.serial} issue {request.issue}"


def _banner(request: SheetRequest, *, release: bool, released: str) -> Banner:
    plan, use = request.plan, request.use
    number, count = request.wheel_of
    return Banner(
        order=request.order_number,
        serial=request.serial,
        issue=request.issue,
        wanted_by=request.wanted_by or "no date",
        edition=str(request.edition.number),
        position=plan.position.upper(),
        of=f"wheel {number} of {count}" if count > 1 else "single wheel",
        use=(
            f"class {use.use_class} · {use.system_kg:g} kg in all · tyre {use.tyre_width_mm:g} mm"
            f" {use.tyre_system} · {use.brake} brake"
        ),
        origin=(
            f"{request.workshop} · from {request.source}, revision {request.revision}"
            f" · {plan.fingerprint.removeprefix('sha256:')[:16]}"
        ),
        note_cue="NOTE ON BACK" if request.note.strip() else "",
        bench_url=request.bench_url,
        release=release,
        released=released,
    )


def _steps(request: SheetRequest) -> tuple[str, ...]:
    if any(spoke.head == "none" for spoke in request.plan.lacing):
        return STEPS_STRAIGHT
    if all(spoke.run == "radial" for spoke in request.plan.lacing):
        return STEPS_RADIAL
    return STEPS_CROSSED
