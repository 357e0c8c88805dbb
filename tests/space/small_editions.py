"""Editions so small that every wheel of theirs can be judged one by one; and that judging."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import product
from typing import Any

from hypothesis import strategies as st

from buildsheet.catalog.edition import Edition
from buildsheet.orders.judging import Judgement
from buildsheet.orders.text import sift
from tests.orders.workshop import demo
from tests.space.random_orders import ALTERATIONS, Document, altered

PAIRS = {
    "front": (("OR33D", "KF2"), ("OR45A", "KF3"), ("OR45D", "KF4"), ("OR38R", "KF1")),
    "rear": (("OR33D", "KR2"), ("OR45D", "KR4"), ("OR38R", "KR1"), ("OR30G", "KR5")),
}
"""Rims and hubs that meet, for a start."""

PATTERNS = tuple(product((0, 2, 3), repeat=2))
"""All that the demo's hubs are made for, however they are altered here, and some that they are not."""

SETS = (0, 0), (1, 0), (3, 2), (2, 1), (0, 3)
"""Of the pairs above, a front and a rear one that brake alike."""

KINDS = ("rims", "hubs", "spokes", "nipples", "washers", "drivers", "decals")


def cut(edition: Edition, **kept: tuple[str, ...]) -> Edition:
    """The edition with these parts of each kind alone; programs and end caps stay."""
    tables: dict[str, Any] = {
        kind: {code: getattr(edition, kind)[code] for code in codes} for kind, codes in kept.items()
    }
    digest = f"{edition.digest}|{sorted(kept.items())}"
    return replace(edition, digest=digest, **tables)


@lru_cache(maxsize=1)
def one_of_a_kind() -> Edition:
    """An edition for one set with one of everything, from which wheels can be built."""
    edition = cut(
        demo(),
        rims=("OR33D",),
        hubs=("KF2", "KR2"),
        spokes=("SJB9",),
        nipples=("NA12",),
        washers=("W05",),
        drivers=("B",),
        decals=tuple(code for code, each in demo().decals.items() if each.colour == "LAGOON"),
    )
    edition = altered(edition, "nipples", "NA12", "colours", ("black",))
    return altered(edition, "rims", "OR33D", "holes", (24,))


def every_alteration() -> Iterator[tuple[str, str, str, object]]:
    """Kind, code, attribute and value of every single alteration of that edition."""
    for kind, attributes in ALTERATIONS.items():
        codes = [*getattr(one_of_a_kind(), kind)]
        codes = [code for code in codes if kind != "programs" or "OR33D" in str(code)]
        for (attribute, values), code in product(attributes, codes):
            yield from ((kind, code, attribute, value) for value in values)


@st.composite
def small_editions(draw: st.DrawFn, *, both: bool = False) -> Edition:
    """One rim or two, one hub (a front and a rear one where ``both``), few small parts, one or two of
    them altered."""

    def some(codes: list[str], most: int) -> tuple[str, ...]:
        return tuple(draw(st.lists(st.sampled_from(codes), min_size=1, max_size=most, unique=True)))

    positions = ("front", "rear") if both else (draw(st.sampled_from(("front", "rear"))),)
    if both:
        chosen = draw(st.sampled_from(SETS))
        pairs = [PAIRS[each][which] for each, which in zip(positions, chosen, strict=True)]
    else:
        pairs = [draw(st.sampled_from(PAIRS[each])) for each in positions]
    edition = demo()
    heads = {"straight-pull" if edition.hubs[hub].left_seats else "j-bend" for _, hub in pairs}
    fitting = [code for code, each in sorted(edition.spokes.items()) if each.head in heads]
    colours = some(sorted({each.colour for each in edition.decals.values()}), 1 if both else 2)
    spokes = some(fitting, 2) if draw(st.integers(0, 3)) else some(sorted(edition.spokes), 2)
    edition = cut(
        edition,
        rims=tuple({rim: None for rim, _ in pairs}),
        hubs=tuple(hub for _, hub in pairs),
        spokes=spokes,
        nipples=some(sorted(edition.nipples), 1 if both or len(spokes) > 1 else 2),
        washers=some(sorted(edition.washers), 1) if draw(st.booleans()) else (),
        drivers=some(sorted(edition.drivers), 1 if both else 2),
        decals=tuple(code for code, each in edition.decals.items() if each.colour in colours),
    )
    for rim in edition.rims:
        holes = edition.rims[rim].holes
        edition = altered(edition, "rims", rim, "holes", holes[: 1 if both else 2])
    for _ in range(draw(st.integers(0, 2))):
        kind = draw(st.sampled_from([each for each in KINDS if getattr(edition, each)]))
        code = draw(st.sampled_from(sorted(getattr(edition, kind))))
        attribute, values = draw(st.sampled_from(ALTERATIONS[kind]))
        edition = altered(edition, kind, code, attribute, draw(st.sampled_from(values)))
    return edition


# ---- judging one by one ---------------------------------------------------------


def wheels(edition: Edition, position: str) -> Iterator[Document]:
    """Every wheel, of the patterns above, that can be written down with the edition's codes."""
    patterns = [None, *({"left": left, "right": right} for left, right in PATTERNS)]
    colours = sorted({colour for each in edition.nipples.values() for colour in each.colours})
    drivers = [*edition.drivers] if position == "rear" else [None]
    for rim, hub in product(edition.rims.values(), edition.hubs.values()):
        for holes, pattern, left, right, nipple, colour, washer, driver in product(
            rim.holes,
            patterns,
            edition.spokes,
            edition.spokes,
            edition.nipples,
            colours,
            [None, *edition.washers],
            drivers,
        ):
            wheel: Document = {
                "rim": rim.code,
                "holes": holes,
                "hub": hub.code,
                "crossings": pattern,
                "spoke": {"left": left, "right": right},
                "nipple": nipple,
                "nipple_colour": colour,
                "washer": washer,
                "driver": driver,
            }
            yield {name: value for name, value in wheel.items() if value is not None}


def decals(edition: Edition) -> list[str]:
    return sorted({each.colour for each in edition.decals.values()})


@lru_cache(maxsize=64)
def _widths_mm(of: tuple[tuple[float | None, float | None, float], ...]) -> list[float]:
    ends = {end for low, high, _ in of for end in (low, high) if end is not None}
    return sorted({15.0, 120.0, 30.0, 30.25, 34.0, *ends, *(inner + 5.0 for _, _, inner in of)})


def uses(edition: Edition) -> list[Document]:
    """A grid of uses with everything that the small edition's parts may ask for."""
    tyres = tuple(
        (each.tyre_min_mm, each.tyre_max_mm, each.inner_width_mm) for each in edition.rims.values()
    )
    hubs = edition.hubs.values()
    axles = {
        position: sorted({axle for hub in hubs if hub.position == position for axle in hub.axles})
        for position in ("front", "rear")
    }
    brakes = sorted({*(hub.brake for hub in hubs), *(rim.brake for rim in edition.rims.values())})
    mounts = sorted({hub.rotor_mount for hub in hubs})
    splines = sorted({each.spline for each in edition.drivers.values()})
    return [
        {
            "class": use_class,
            "rider_kg": 20,
            "bike_kg": 3,
            "luggage_kg": 0,
            "brake": brake,
            "rotor_mount": mount,
            "front_axle": front,
            "rear_axle": rear,
            "tyre_width_mm": width_mm,
            "tyre_system": system,
            "cassette": {"spline": spline, "smallest_sprocket": 16},
        }
        for use_class, brake, mount, front, rear, width_mm, system, spline in product(
            (1, 2, 3),
            brakes,
            mounts,
            axles["front"] or ["12x100"],
            axles["rear"] or ["12x142"],
            _widths_mm(tyres),
            ("tubeless", "tubular", "clincher"),
            splines,
        )
    ]


def order(kind: str, use: Document, colour: str, **wheels_of: Document) -> Document:
    """A whole order."""
    return {
        "source": "space",
        "number": "N-1",
        "revision": 1,
        "kind": kind,
        "market": "DE",
        "use": use,
        "finish": {"decal_colour": colour},
        **wheels_of,
    }


def is_buildable(document: Document, edition: Edition) -> bool:
    """As `check_document` says, without the search for ways out."""
    judged = Judgement(sift(document), edition)
    return not any(raised.finding.blocks for raised, _ in judged.everything())


def some_use_builds(
    edition: Edition, grid: list[Document], kind: str, colour: str, **wheels_of: Document
) -> bool:
    """Whether the wheels are buildable under one of the uses, asked one after another. A block that
    names no member of the use will not go away under another one, but for a part that says nothing for
    this very tyre."""
    for use in grid:
        judged = Judgement(sift(order(kind, use, colour, **wheels_of)), edition)
        blocks = [raised for raised, _ in judged.everything() if raised.finding.blocks]
        if not blocks:
            return True
        clear = (each for each in blocks if each.finding.code != "data.fact-missing")
        places = ((each.finding.at, *each.finding.also, *each.ways) for each in clear)
        if any(not any(at.startswith("/use") for at in named) for named in places):
            return False
    return False
