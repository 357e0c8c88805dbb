"""What one edition says differently from another: part by part, figure by figure, rule by rule.

The number and the start of an edition are no difference: two editions that differ in nothing else say
the same. Keys of nested tables are joined by dots (``section.radius_mm``); lists are compared whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final, Literal

from buildsheet.catalog.digest import canonical
from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.findings import Value

What = Literal["added", "dropped", "changed"]

OWN: Final = frozenset({"edition", "starts"})
"""Keys of the house file that every edition has to itself."""

NAMES: Final = frozenset({"code", "id"})
"""What a part or a rule is called by stands in front of its fields and is none."""


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One key; None stands for a key that is left out."""

    key: str
    old: Value
    new: Value

    def as_json(self) -> dict[str, Value]:
        """Members in a fixed order."""
        return {"key": self.key, "old": self.old, "new": self.new}


@dataclass(frozen=True, slots=True)
class PartChange:
    """One part; one that was added or dropped lists every field it has."""

    kind: str
    code: str
    what: What
    fields: tuple[FieldChange, ...]

    def as_json(self) -> dict[str, Value]:
        """Members in a fixed order."""
        fields: list[Value] = [dict(each.as_json()) for each in self.fields]
        return {"kind": self.kind, "code": self.code, "what": self.what, "fields": fields}


@dataclass(frozen=True, slots=True)
class RuleChange:
    """One rule; one that was added or dropped lists every field it has. ``severities``: what it was
    and what it is, also where that did not change."""

    id: str
    what: What
    fields: tuple[FieldChange, ...]
    severities: tuple[Value, ...]

    def as_json(self) -> dict[str, Value]:
        """Members in a fixed order."""
        fields: list[Value] = [dict(each.as_json()) for each in self.fields]
        return {"id": self.id, "what": self.what, "fields": fields}


@dataclass(frozen=True, slots=True)
class Differences:
    """Everything that differs, parts by kind and code, house figures by key, rules by id."""

    parts: tuple[PartChange, ...]
    house: tuple[FieldChange, ...]
    rules: tuple[RuleChange, ...]

    def __bool__(self) -> bool:
        """False where both say the same."""
        return bool(self.parts or self.house or self.rules)

    def as_json(self) -> dict[str, Value]:
        """The document that other systems are shown."""
        return {
            "parts": [each.as_json() for each in self.parts],
            "house": [each.as_json() for each in self.house],
            "rules": [each.as_json() for each in self.rules],
        }


@dataclass(frozen=True, slots=True)
class Tables:
    """What is compared: models or plain tables, parts by kind and code, rules by id."""

    parts: Mapping[str, Mapping[str, object]]
    house: object
    rules: Mapping[str, object]


def differences(old: Edition, new: Edition) -> Differences:
    """What ``new`` says differently from ``old``, in a stable order."""
    return differing(_tables_of(old), _tables_of(new))


def differing(old: Tables, new: Tables) -> Differences:
    """What the tables of ``new`` say differently from those of ``old``, in a stable order."""
    house = _fields(flat(old.house), flat(new.house))
    return Differences(
        parts=tuple(_parts(old, new)),
        house=tuple(each for each in house if each.key.partition(".")[0] not in OWN),
        rules=tuple(_rules(old.rules, new.rules)),
    )


def flat(table: object, above: str = "") -> dict[str, Value]:
    """Dotted key -> value of a model or table; lists whole, names left out.

    >>> flat({"code": "OR33D", "section": {"radius_mm": 302.0}, "holes": (20, 24)})
    {'section.radius_mm': 302.0, 'holes': [20, 24]}
    """
    return dict(_leaves(canonical(table), above))


def _leaves(value: Value, above: str) -> Iterator[tuple[str, Value]]:
    if not isinstance(value, dict):
        yield above, value
        return
    for key, each in value.items():
        if above or key not in NAMES:
            yield from _leaves(each, f"{above}.{key}" if above else key)


def _tables_of(edition: Edition) -> Tables:
    return Tables({kind: getattr(edition, kind) for kind in KINDS}, edition.house, edition.rules)


def _parts(old: Tables, new: Tables) -> Iterator[PartChange]:
    for kind in KINDS:
        for code, what, fields in _changes(old.parts[kind], new.parts[kind]):
            yield PartChange(kind, code, what, fields)


def _rules(old: Mapping[str, object], new: Mapping[str, object]) -> Iterator[RuleChange]:
    for name, what, fields in _changes(old, new):
        both = [flat(each[name]).get("severity") for each in (old, new) if name in each]
        yield RuleChange(name, what, fields, tuple(both))


def _changes(
    old: Mapping[str, object], new: Mapping[str, object]
) -> Iterator[tuple[str, What, tuple[FieldChange, ...]]]:
    for name in sorted({*old, *new}):
        fields = _fields(flat(old.get(name, {})), flat(new.get(name, {})))
        if name not in old:
            yield name, "added", fields
        elif name not in new:
            yield name, "dropped", fields
        elif fields:
            yield name, "changed", fields


def _fields(old: Mapping[str, Value], new: Mapping[str, Value]) -> tuple[FieldChange, ...]:
    """Keys in the order of the old table, then those that only the new one has."""
    keys = [*old, *(key for key in new if key not in old)]
    return tuple(
        FieldChange(key, old.get(key), new.get(key)) for key in keys if old.get(key) != new.get(key)
    )
