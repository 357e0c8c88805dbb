"""What may still be chosen, picked step by step; it ends in a filled order form."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, render_template, request

from buildsheet.actions.choices import choices_for
from buildsheet.actions.editions import running_edition
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, Value
from buildsheet.space.choices import Choices
from buildsheet.web.pages.catalog.picks import (
    MASSES,
    PLACES,
    Picks,
    as_pick,
    as_query,
    document_of,
    picks_of,
)
from buildsheet.web.pages.words import shown
from buildsheet.web.workshop_here import workshop_here

_PARTS: Final = {
    "rim": "rims",
    "hub": "hubs",
    "spoke": "spokes",
    "nipple": "nipples",
    "washer": "washers",
    "driver": "drivers",
}
_LEFT_OUT: Final = {
    "crossings": "as the hub has it",
    "decal_size": "as the rim wants it",
    "rear_decal_colour": "as on the front wheel",
}
"""What leaving a member out stands for, by its last word."""

_KINDS: Final = {"set": "a set of two", "front": "a front wheel", "rear": "a rear wheel"}
_PERCENT: Final = 100


@dataclass(frozen=True, slots=True)
class Offer:
    """One value that leads on: what is sent when it is picked, what it is called, how many ways."""

    sent: str
    words: str
    ways: int
    percent: float


@dataclass(frozen=True, slots=True)
class Shut:
    """One value that leads nowhere, and the finding that closes it."""

    words: str
    finding: Finding


@dataclass(frozen=True, slots=True)
class Step:
    """One place that is open."""

    at: str
    label: str
    offers: tuple[Offer, ...]
    shut: tuple[Shut, ...]


@dataclass(frozen=True, slots=True)
class Picked:
    """One place that is decided; ``query`` is what remains when it is taken back."""

    label: str
    words: str
    query: Mapping[str, str]


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/choose")(choose_page)


def choose_page() -> str:
    """Every open place with what may still be picked there."""
    workshop = workshop_here()
    edition = running_edition(workshop)
    picks = picks_of(request.args.items())
    found = choices_for(workshop, json.dumps(document_of(picks)).encode())
    steps = _steps(found, picks, edition)
    return render_template(
        "catalog/choose.html",
        edition=edition,
        found=found,
        picks=as_query(picks),
        picked=[
            Picked(PLACES[at], words(at, value, edition), as_query(picks, without=at))
            for at, value in picks.items()
        ],
        forced=[
            (PLACES[at], words(at, value, edition))
            for at, value in found.forced.items()
            if at in PLACES and at not in picks
        ],
        assumed=[(PLACES[at], shown(value)) for at, value in found.assumed.items() if at in PLACES],
        steps=steps,
        masses=[(at, PLACES[at], picks.get(at)) for at in MASSES],
        order=None if steps or not found.ways else _order(found, picks),
    )


def _steps(found: Choices, picks: Picks, edition: Edition) -> tuple[Step, ...]:
    """The open places where there is something to decide, in the order of asking."""
    return tuple(
        _step(at, found, edition)
        for at in PLACES
        if at in found.open and at not in picks and at not in found.forced
    )


def _step(at: str, found: Choices, edition: Edition) -> Step:
    most = max((each.ways for each in found.open[at]), default=1)
    offers = tuple(
        Offer(
            as_pick(each.value),
            words(at, each.value, edition),
            each.ways,
            _PERCENT * each.ways / most,
        )
        for each in found.open[at]
    )
    shut = tuple(
        Shut(words(at, each.value, edition), each.finding) for each in found.closed.get(at, ())
    )
    return Step(at, PLACES[at], offers, shut)


def _order(found: Choices, picks: Picks) -> str:
    """The order form's text. A mass that nobody typed is left out: the order's check asks for it."""
    forced = {at: value for at, value in found.forced.items() if at in PLACES}
    chosen = document_of({**forced, **picks})
    order: dict[str, Any] = {
        "source": "desk",
        "number": "",
        "revision": 1,
        **{key: chosen[key] for key in ("kind", "market") if key in chosen},
        "edition_seen": found.edition,
        **{key: chosen[key] for key in ("use", "front", "rear", "finish") if key in chosen},
    }
    return json.dumps(order, indent=2)


def words(at: str, value: Value, edition: Edition) -> str:
    """A value as a person reads it, a code with its name."""
    if value is None:
        return _LEFT_OUT.get(at.rsplit("/", 1)[-1], "none")
    if isinstance(value, dict):
        left, right = value.get("left"), value.get("right")
        return f"{shown(left)} on both sides" if left == right else f"{left} left, {right} right"
    if at == "/kind":
        return _KINDS.get(str(value), str(value))
    kind = next((_PARTS[each] for each in at.split("/") if each in _PARTS), "")
    part = getattr(edition, kind).get(value) if kind else None
    return f"{value}, {part.name}" if part else shown(value)
