"""The rules of an edition for reading, and which of them read a part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.rules.facts import FILE_STEM, OTHER, SIDED, declared
from buildsheet.catalog.rules.judge import reads
from buildsheet.catalog.rules.rule import Rule, Scope


@dataclass(frozen=True, slots=True)
class Reading:
    """A rule and the keys of a part kind that it reads."""

    rule: Rule
    keys: tuple[str, ...]


def rules_reading(edition: Edition, kind: str) -> tuple[Reading, ...]:
    """The rules that read a part of this kind, with the keys they need of it."""
    found = ((rule, _keys(rule, kind)) for rule in edition.rules.values())
    return tuple(Reading(rule, keys) for rule, keys in found if keys)


def needed_keys(edition: Edition, kind: str) -> Mapping[str, int]:
    """Key of a part kind -> how many rules read it."""
    return Counter(key for each in rules_reading(edition, kind) for key in each.keys)


def facts_of(scope: Scope) -> Mapping[str, str]:
    """Every fact that a rule of this scope may read, with its type."""
    return declared(scope)


def _keys(rule: Rule, kind: str) -> tuple[str, ...]:
    keys = set()
    for fact in reads(rule):
        root, _, key = fact.removeprefix(OTHER).partition(".")
        if key and FILE_STEM.get("spoke" if root in SIDED else root) == kind:
            keys.add(key)
    return tuple(sorted(keys))
