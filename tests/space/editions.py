"""The demo catalog, smaller or altered, for laws about whole editions."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.catalog.digest import digest
from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.catalog.rules.rule import Rule


@lru_cache(maxsize=1)
def demo() -> Edition:
    edition, findings = read_directory(demo_directory())
    assert edition is not None, findings
    return edition


def numbered(edition: Edition, number: int) -> Edition:
    """The same under another number, with the digest that belongs to what it says."""
    house = edition.house.model_copy(update={"edition": number})
    tables = {kind: getattr(edition, kind) for kind in KINDS}
    said = {"house": house, **tables, "rules": edition.rules}
    return replace(edition, number=number, house=house, digest=digest(said))


def with_rule(
    edition: Edition, name: str, *, scope: str, needs: str, at: str, **more: Any
) -> Edition:
    """A next edition with one more rule; its examples are not run."""
    rule = Rule.model_validate(
        {
            "id": name,
            "scope": scope,
            "needs": needs,
            "at": at,
            "severity": "block",
            "says": "Invented for a test.",
            "reason": "Invented for a test.",
            "source": "invented",
            "owner": "tests",
            "accepts": ({"position": "front"},),
            "refuses": ({"position": "rear"},),
            **more,
        }
    )
    rules = dict(sorted({**edition.rules, name: rule}.items()))
    return numbered(replace(edition, rules=rules), edition.number + 1)


def with_part(edition: Edition, kind: str, code: str, **values: Any) -> Edition:
    """A next edition in which a part has these values; a new code is a copy of ``like``."""
    parts = dict(getattr(edition, kind))
    like = parts[values.pop("like", code)]
    parts[code] = like.model_copy(update={"code": code, **values})
    return numbered(with_parts(edition, kind, parts), edition.number + 1)


def with_parts(edition: Edition, kind: str, parts: Mapping[str, Any]) -> Edition:
    """The same with these parts of one kind."""
    changed: Any = {kind: parts}
    return replace(edition, **changed)


def without_part(edition: Edition, kind: str, code: str) -> Edition:
    """A next edition that lacks a part."""
    parts = {each: part for each, part in getattr(edition, kind).items() if each != code}
    return numbered(with_parts(edition, kind, parts), edition.number + 1)


def small(
    edition: Edition,
    *,
    rims: Collection[str] = ("OR33D", "OR58D"),
    hubs: Collection[str] = ("KF2", "KF4", "KR4"),
    spokes: Collection[str] = ("SJB9", "SSB9", "SJB12"),
    nipples: Collection[str] = ("NA12", "NA14"),
) -> Edition:
    """The edition with few parts, so that a law can look at all of it."""
    wanted = {"rims": rims, "hubs": hubs, "spokes": spokes, "nipples": nipples}
    for kind, codes in wanted.items():
        parts = getattr(edition, kind)
        edition = with_parts(edition, kind, {code: parts[code] for code in parts if code in codes})
    programs = {code: each for code, each in edition.programs.items() if each.rim in rims}
    return numbered(with_parts(edition, "programs", programs), edition.number)
