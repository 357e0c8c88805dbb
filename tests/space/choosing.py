"""Choosing by walking: every complete order that a part can become, judged one by one; small catalogs."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product
from random import Random
from typing import Any

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.rules.rule import Rule
from buildsheet.findings import Value
from buildsheet.orders.judging import Judgement
from buildsheet.orders.text import sift
from buildsheet.space.builds import builds_of
from buildsheet.space.choices import choices
from buildsheet.space.choices.places import values_of
from tests.orders.workshop import Document, demo, put

Places = dict[str, Value]

IDENTITY: Places = {"/source": "walk", "/number": "W-1", "/revision": 1}
LIGHTEST: Places = {"/use/rider_kg": 20, "/use/bike_kg": 3, "/use/luggage_kg": 0}

BUILD = ("rim", "holes", "hub", "crossings", "spoke/left", "spoke/right", "nipple", "washer")


def places_for(kind: str, brake: str) -> list[str]:
    """Every place with a list in an order of this kind, in any order."""
    wheels = ["front", "rear"] if kind == "set" else [kind]
    places = ["/market", "/use/class", "/use/tyre_width_mm", "/use/tyre_system"]
    places += ["/finish/decal_colour", "/finish/decal_size"]
    places += ["/use/rotor_mount"] * (brake == "disc")
    places += ["/finish/rear_decal_colour"] * (kind == "set")
    for wheel in wheels:
        places += [f"/{wheel}/{member}" for member in (*BUILD, "nipple_colour")]
        places.append(f"/use/{wheel}_axle")
    if "rear" in wheels:
        places += ["/rear/driver", "/use/cassette/spline", "/use/cassette/smallest_sprocket"]
    return places


def document_of(places: Mapping[str, Value]) -> Document:
    """An order, or a part of one, with these members."""
    return put({}, dict(places))


def walk(given: Places, edition: Edition) -> Iterator[Places]:
    """Every complete order that says what is given, and else only what it is asked."""
    kinds = [given["/kind"]] if "/kind" in given else ["set", "front", "rear"]
    brakes = [given["/use/brake"]] if "/use/brake" in given else ["disc", "rim"]
    for kind, brake in product(kinds, brakes):
        assert isinstance(kind, str)
        assert isinstance(brake, str)
        if any(_wheel(at) and kind not in ("set", _wheel(at)) for at in given):
            continue
        open_places = [at for at in places_for(kind, brake) if at not in given]
        lists = [values_of(at, edition) for at in open_places]
        for values in product(*lists):
            chosen = dict(zip(open_places, values, strict=True))
            yield {**given, **chosen, "/kind": kind, "/use/brake": brake}


def walk_length(given: Places, edition: Edition) -> int:
    """How many orders a walk would meet."""
    kinds = [given["/kind"]] if "/kind" in given else ["set", "front", "rear"]
    brakes = [given["/use/brake"]] if "/use/brake" in given else ["disc", "rim"]
    total = 0
    for kind, brake in product(kinds, brakes):
        orders = 1
        for at in places_for(str(kind), str(brake)):
            orders *= 1 if at in given else len(values_of(at, edition))
        total += orders
    return total


def _wheel(at: str) -> str:
    name = at.split("/")[1]
    return name if name in ("front", "rear") else ""


def complete(places: Places) -> Document:
    """The order that can be checked: with numbers, and with the lightest rider where none is named."""
    return document_of({**IDENTITY, **LIGHTEST, **places})


def judged(places: Places, edition: Edition) -> Judgement:
    """The complete order, judged."""
    return Judgement(sift(complete(places)), edition)


def buildable(places: Places, edition: Edition) -> bool:
    """Whether no finding of any check blocks it; what `check` answers, without plans and ways out."""
    return not any(raised.finding.blocks for raised, _ in judged(places, edition).everything())


def blocking_codes(places: Places, edition: Edition) -> set[str]:
    """The codes of all findings that block it."""
    every = judged(places, edition).everything()
    return {raised.finding.code for raised, _ in every if raised.finding.blocks}


# ---- small catalogs ---------------------------------------------------------------


def small_edition(chance: Random) -> Edition:
    """A few parts of the invented workshop, some of them altered so that other checks speak; mostly
    such that both wheels can be built."""
    edition = _any_edition(chance)
    for _ in range(7):
        if all(builds_of(edition).values()):
            break
        edition = _any_edition(chance)
    return edition


def _any_edition(chance: Random) -> Edition:
    whole = demo()
    disc = chance.random() < 0.7
    hubs = [each for each in whole.hubs.values() if (each.brake == "disc") or not disc]
    front = [each.code for each in hubs if each.position == "front"]
    rear = [each.code for each in hubs if each.position == "rear"]
    rims = [code for code, rim in whole.rims.items() if (rim.brake == "disc") or not disc]
    few = [*_some(chance, front, 2), *_some(chance, rear, 2)]
    parts: dict[str, Any] = {
        "rims": _altered(chance, whole.rims, _some(chance, rims, 2), _RIM),
        "hubs": _altered(chance, whole.hubs, few, _HUB),
        "spokes": _altered(chance, whole.spokes, _some(chance, [*whole.spokes], 3), _SPOKE),
        "nipples": _altered(chance, whole.nipples, _some(chance, [*whole.nipples], 2), _NIPPLE),
        "washers": dict(whole.washers) if chance.random() < 0.5 else {},
        "drivers": {code: whole.drivers[code] for code in _some(chance, [*whole.drivers], 2)},
        "decals": {
            code: decal
            for code, decal in whole.decals.items()
            if decal.colour in ("LAGOON", "SAND") and (decal.colour, decal.hand) != ("SAND", "left")
        },
    }
    house = whole.house.model_copy(update={"markets": {"DE": whole.house.markets["DE"]}})
    parts["rules"] = _strict(chance, whole.rules)
    text = repr(sorted(parts.items(), key=lambda each: each[0]))
    digest = "sha256:" + hashlib.sha256(text.encode()).hexdigest()
    return replace(whole, **parts, house=house, digest=digest)


def _strict(chance: Random, rules: Mapping[str, Rule]) -> dict[str, Rule]:
    """The workshop's rules, some of which block; a wheel that is heavy for the road is a light one."""
    lighter = {"needs": f"plan.mass_g <= {chance.choice((640, 700, 760))}.0"}
    strict = {}
    for name, rule in rules.items():
        changes = lighter if name == "heavy-wheel-for-the-road" else {}
        severity = "block" if chance.random() < 0.4 else rule.severity
        strict[name] = rule.model_copy(update={**changes, "severity": severity})
    return strict


def _some(chance: Random, codes: list[str], most: int) -> list[str]:
    return chance.sample(codes, k=min(len(codes), chance.randint(1, most)))


_RIM: dict[str, list[Any]] = {
    "use_classes": [(1,), (2, 4), None],
    "holes": [(24,), (24, 28)],
    "spoke_limit_n": [700.0, None],
    "needs_washer": [True],
    "tyre_min_mm": [31.0],
    "decal_size": ["M", None],
    "system_limits": [None],
    "state": ["ended", "draft"],
}
_HUB: dict[str, list[Any]] = {
    "use_classes": [(1,), (1, 2, 4)],
    "axles": [("12x100", "9x100"), ("12x142",)],
    "drivers": [("A",), ("A", "B", "C")],
    "crossings": [(1, 2), (3,)],
    "system_limit_kg": [22.0, None],
    "state": ["no-new-orders"],
}
_SPOKE: dict[str, list[Any]] = {
    "use_classes": [(1,), None],
    "system_limit_kg": [80.0],
    "shortest_mm": [275],
    "state": ["ended"],
}
_NIPPLE: dict[str, list[Any]] = {
    "colours": [("red",), ("black", "blue")],
    "use_classes": [(1,)],
    "bed_max_mm": [2.7, None],
    "state": ["service-only"],
}


def _altered(
    chance: Random, parts: Mapping[str, Any], codes: list[str], figures: dict[str, list[Any]]
) -> dict[str, Any]:
    """These parts, one in four of them with one figure that is not the workshop's."""
    altered = {}
    for code in codes:
        altered[code] = parts[code]
        if chance.random() < 0.25:
            name = chance.choice(sorted(figures))
            altered[code] = parts[code].model_copy(update={name: chance.choice(figures[name])})
    return altered


def part_of_an_order(chance: Random, edition: Edition, most: int) -> Places:
    """Members of an order of which at most ``most`` complete ones can be made; mostly sensible ones."""
    places = _whole_order(chance, edition)
    if chance.random() < 0.3:
        at = chance.choice(sorted(places))
        other = {**places, at: chance.choice(values_of(at, edition) or (None,))}
        places = other if walk_length(other, edition) <= most else places
    for at in chance.sample(sorted(places), k=len(places)):
        fewer = {each: value for each, value in places.items() if each != at}
        if walk_length(fewer, edition) <= most:
            places = fewer
    return places


def _whole_order(chance: Random, edition: Edition) -> Places:
    """A complete order, arrived at by following what is offered; at random where nothing is."""
    places: Places = {}
    for at in ("/kind", "/use/brake"):
        places[at] = _offered(chance, edition, places, at)
    asked = places_for(str(places["/kind"]), str(places["/use/brake"]))
    for at in chance.sample(asked, k=len(asked)):
        places[at] = _offered(chance, edition, places, at)
    return places


def _offered(chance: Random, edition: Edition, places: Places, at: str) -> Value:
    offered = choices(document_of(places), edition).open.get(at)
    return (
        chance.choice(offered).value
        if offered
        else chance.choice(values_of(at, edition) or (None,))
    )
