"""Parts that no buildable wheel takes, and parts that are the only choice left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.parts import Position
from buildsheet.catalog.stock import variants
from buildsheet.space.builds import POSITIONS, WheelBuild, builds_of
from buildsheet.space.remembered import remembered
from buildsheet.space.standing.used import Used
from buildsheet.space.wheels import passing

CHOSEN: Final = ("hubs", "spokes", "nipples", "washers")
"""Kinds of which a wheel on a given rim takes one of several."""


@dataclass(frozen=True, slots=True, order=True)
class DeadPart:
    """A part on offer that is in no buildable wheel; ``variant`` '' is the whole part, else the drilling
    or the colour that nobody can have."""

    kind: str
    code: str
    variant: str


@dataclass(frozen=True, slots=True, order=True)
class OnlyChoice:
    """On this rim, drilled so for this position, every buildable wheel takes this one part of its kind,
    though the catalog offers more. A washer: no wheel goes without it."""

    position: Position
    rim: str
    holes: int
    kind: str
    code: str


def dead_parts(edition: Edition, used: Used) -> tuple[DeadPart, ...]:
    """Parts on offer that do nothing; programs of the rim drill are looked at elsewhere.

    Spoke lengths are the business of the plan of lengths, so a spoke is dead as a whole or not at all.
    """
    return tuple(_dead(edition, used))


def _dead(edition: Edition, used: Used) -> Iterator[DeadPart]:
    for kind in KINDS:
        if kind == "programs":
            continue
        for code, part in getattr(edition, kind).items():
            if part.state != "active":
                continue
            if not used.takes(code):
                yield DeadPart(kind, code, "")
            elif kind != "spokes":
                yield from (
                    DeadPart(kind, code, variant)
                    for variant in variants(part)
                    if variant and not used.takes(code, variant)
                )


@remembered
def only_choices(edition: Edition) -> tuple[OnlyChoice, ...]:
    """Every place where one part is left of several on offer, sorted."""
    builds = builds_of(edition)
    passes = passing(builds)
    found: dict[tuple[Position, str, int, str], set[str]] = {}
    for position in POSITIONS:
        for build, sound in zip(builds[position], passes[position], strict=True):
            if sound:
                for kind, code in _taken(build):
                    found.setdefault((position, build.rim, build.holes, kind), set()).add(code)
    offered = {kind: _offered(edition, kind) for kind in CHOSEN}
    return tuple(
        sorted(
            OnlyChoice(*place, next(iter(codes)))
            for place, codes in found.items()
            if len(codes) == 1 and "" not in codes and _several(place, offered, edition)
        )
    )


def _taken(build: WheelBuild) -> Iterator[tuple[str, str]]:
    yield "hubs", build.hub
    yield "spokes", build.spokes[0]
    yield "spokes", build.spokes[1]
    yield "nipples", build.nipple
    yield "washers", build.washer or ""


def _offered(edition: Edition, kind: str) -> tuple[str, ...]:
    return tuple(code for code, part in getattr(edition, kind).items() if part.state == "active")


def _several(
    place: tuple[Position, str, int, str], offered: dict[str, tuple[str, ...]], edition: Edition
) -> bool:
    """Whether the catalog offers another part of the kind for this position; going without a washer is
    another choice."""
    position, _, _, kind = place
    if kind == "hubs":
        return sum(edition.hubs[code].position == position for code in offered[kind]) > 1
    return kind == "washers" or len(offered[kind]) > 1
