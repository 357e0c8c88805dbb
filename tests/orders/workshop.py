"""The demo workshop for tests of orders: its edition, altered editions, orders that can be altered.

Invented data, like everything in the demo workshop.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from buildsheet.findings import Finding, Value
from buildsheet.orders.check import Checked, check, check_document

ROOT = Path(__file__).parents[2]
CATALOG, EXAMPLES = ROOT / "catalog", ROOT / "examples"

ABSENT = object()
"""Put at a place to take the member out."""

Document = dict[str, Any]


@lru_cache(maxsize=1)
def demo() -> Edition:
    """The edition that the catalog in the tree describes."""
    texts = {
        str(path.relative_to(CATALOG)): path.read_text("utf-8") for path in CATALOG.rglob("*.toml")
    }
    edition, faults = read_catalog(texts)
    assert edition is not None, faults
    return edition


def with_part(edition: Edition, kind: str, code: str, **figures: object) -> Edition:
    """The edition with some attributes of one part altered."""
    parts: dict[str, Any] = dict(getattr(edition, kind))
    parts[code] = parts[code].model_copy(update=figures)
    altered: dict[str, Any] = {kind: parts, "digest": f"{edition.digest}+{code}{figures}"}
    return replace(edition, **altered)


def with_house(edition: Edition, table: str, **figures: object) -> Edition:
    """The edition with some figures of one house table altered."""
    altered = getattr(edition.house, table).model_copy(update=figures)
    house = edition.house.model_copy(update={table: altered})
    return replace(edition, digest=f"{edition.digest}+{table}{figures}", house=house)


@lru_cache(maxsize=1)
def edition_17() -> Edition:
    """The next edition of the demo's story, as far as orders notice: Plum in size L has ended."""
    edition = demo()
    house = edition.house.model_copy(update={"edition": 17})
    for hand in ("L", "R"):
        edition = with_part(edition, "decals", f"PLUM-L-{hand}", state="ended")
    return replace(edition, number=17, house=house)


@lru_cache(maxsize=64)
def _example_text(name: str) -> str:
    return (EXAMPLES / f"{name}.json").read_text("utf-8")


def example(name: str) -> Document:
    """An order of the examples, to be altered."""
    document: Document = json.loads(_example_text(name))
    return document


def disc_set() -> Document:
    """A set for a disc bicycle that is accepted: OR33D, flange hubs, bladed spokes."""
    return example("D-1001")


def rim_brake_set() -> Document:
    """A set for a bicycle with rim brakes: a radial front wheel, a crossed rear one."""
    return put(
        example("D-1007"), {"/use/brake": "rim", "/use/rotor_mount": ABSENT, "/edition_seen": 16}
    )


def straight_pull_set() -> Document:
    """A set with straight-pull hubs, which dictate their pattern."""
    return example("D-1002")


def gravel_set() -> Document:
    """A set of asymmetric rims without hooks, for rough use."""
    return example("D-1009")


def front_only() -> Document:
    """The front wheel of the disc set alone."""
    return put(disc_set(), {"/kind": "front", "/rear": ABSENT})


def put(document: Document, changes: Mapping[str, object]) -> Document:
    """A copy with every value put at its JSON Pointer; `ABSENT` takes the member out."""
    altered = deepcopy(document)
    for at, value in changes.items():
        *way, last = (part.replace("~1", "/").replace("~0", "~") for part in at.split("/")[1:])
        inner = altered
        for name in way:
            inner = inner.setdefault(name, {})
            assert isinstance(inner, dict), at
        if value is ABSENT:
            inner.pop(last, None)
        else:
            inner[last] = value
    return altered


def put_values(document: Document, changes: Mapping[str, Value]) -> Document:
    """A copy with the changes of a finding made, as whoever posted the order would make them."""
    altered = deepcopy(document)
    for at, value in changes.items():
        *way, last = at.split("/")[1:]
        inner = altered
        for name in way:
            if not isinstance(inner.get(name), dict):
                inner[name] = {}
            inner = inner[name]
        inner[last] = value
    return altered


def sides(value: object) -> dict[str, object]:
    """The same on both sides."""
    return {"left": value, "right": value}


def answer(document: Document | bytes, edition: Edition | None = None) -> Checked:
    """The whole answer to an order, posted as text."""
    raw = document if isinstance(document, bytes) else json.dumps(document).encode()
    return check(raw, edition or demo())


def answer_to_mapping(document: Document, edition: Edition | None = None) -> Checked:
    """The whole answer to an order that somebody else parsed."""
    return check_document(document, edition or demo())


def codes(checked: Checked, *severities: str) -> list[str]:
    """The codes said, of these severities or of all."""
    return [each.code for each in checked.findings if not severities or each.severity in severities]


def keys(checked: Checked, *severities: str) -> set[tuple[str, str]]:
    """Code and place of everything said."""
    return {
        (each.code, each.at)
        for each in checked.findings
        if not severities or each.severity in severities
    }


def the(checked: Checked, code: str, at: str | None = None) -> Finding:
    """The one finding of this code (at this place)."""
    found = [
        each for each in checked.findings if each.code == code and (at is None or each.at == at)
    ]
    assert len(found) == 1, (code, at, [(each.code, each.at) for each in checked.findings])
    return found[0]
