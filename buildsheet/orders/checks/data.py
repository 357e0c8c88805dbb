"""Parts that the edition knows and offers, and wheels that can be computed at all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from buildsheet.catalog.parts import Part
from buildsheet.errors import CannotCompute, CannotLace
from buildsheet.findings import Value
from buildsheet.orders.part_states import STATE_WORDS
from buildsheet.orders.posted import PostedWheel
from buildsheet.orders.raised import Raised
from buildsheet.plan.tension import UnknownLimit


def parts_known(wheel: PostedWheel) -> Iterator[Raised]:
    """Every code of the wheel is in the edition, and open for new orders."""
    for at, code, parts, part in _named_parts(wheel):
        if part is None:
            yield _unknown(wheel, at, code, parts)
        elif part.state != "active":
            yield wheel.found(
                "data.part-state",
                "block",
                at,
                f"{code} {STATE_WORDS[part.state]} in edition {wheel.edition.number}. "
                "Take another part.",
                have={"part": code, "state": part.state},
                need={"state": "active"},
                ways=(at,),
            )


def _named_parts(
    wheel: PostedWheel,
) -> Iterator[tuple[str, str, Mapping[str, Part], Part | None]]:
    edition, members = wheel.edition, wheel.members
    places: tuple[tuple[str, Mapping[str, Part], Part | None], ...] = (
        ("rim", edition.rims, wheel.rim),
        ("hub", edition.hubs, wheel.hub),
        ("nipple", edition.nipples, wheel.nipple),
        ("washer", edition.washers, wheel.washer),
        ("driver", edition.drivers, wheel.driver),
    )
    for at, parts, part in places:
        code = members.word(at)
        if code is not None:
            yield at, code, parts, part
    spoke = members.inner("spoke")
    left, right = spoke.word("left"), spoke.word("right")
    if left is not None and left == right:
        yield "spoke", left, edition.spokes, wheel.spokes.left
        return
    if left is not None:
        yield "spoke/left", left, edition.spokes, wheel.spokes.left
    if right is not None:
        yield "spoke/right", right, edition.spokes, wheel.spokes.right


def _unknown(wheel: PostedWheel, at: str, code: str, parts: Mapping[str, Part]) -> Raised:
    released = [known for known, part in parts.items() if part.state != "draft"]
    near = get_close_matches(code, released, n=3, cutoff=0.5)
    hint = f" Meant {' or '.join(near)}?" if near else " Look it up in the catalog."
    known: list[Value] = [*released]
    return wheel.found(
        "data.unknown-part",
        "block",
        at,
        f"Edition {wheel.edition.number} has no {_kind(at)} {code}.{hint}",
        have={"part": code},
        need={"one_of": known[:40]},
        ways=(at,),
    )


def _kind(at: str) -> str:
    return at.split("/", 1)[0]


def computable(wheel: PostedWheel) -> Iterator[Raised]:
    """Hub and rim that no pattern joins, and figures that no formula holds for."""
    outcome = wheel.outcome
    if isinstance(outcome, UnknownLimit):
        at, part = _owner(wheel, outcome.part)
        if part is not None:
            yield wheel.unknown(at, part, outcome.attribute, "the tension to build with")
    elif isinstance(outcome, CannotLace):
        if outcome.slug != "past-tangent":
            yield wheel.found(
                "lacing.cannot-lace",
                "block",
                "hub",
                f"Hub and rim cannot be joined: {outcome}.",
                also=("rim",),
                ways=("hub", "rim", "crossings"),
            )
    elif isinstance(outcome, CannotCompute):
        yield wheel.found(
            "data.cannot-compute",
            "block",
            "hub",
            f"This wheel cannot be computed: {outcome}.",
            also=("rim",),
            ways=("hub", "rim"),
        )
    if wheel.rim and wheel.hub and wheel.rim.spacing == wheel.hub.spacing == "paired":
        yield wheel.unknown("rim", wheel.rim, "pair distance", "where the paired holes stand")


def _owner(wheel: PostedWheel, code: str) -> tuple[str, Part | None]:
    for at, part in (("rim", wheel.rim), ("hub", wheel.hub)):
        if part is not None and part.code == code:
            return at, part
    for place, spoke, _ in wheel.spoke_types():
        if spoke.code == code:
            return place, spoke
    return "rim", None


CHECKS = (parts_known,)
COMPUTED_CHECKS = (computable,)
