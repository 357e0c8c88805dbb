"""The facts of one wheel, looked up when a rule reads them: parts by their attributes, the rest by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Final

from pydantic import BaseModel

from buildsheet.catalog.parts import Hub, Nipple, Part, Rim, Washer
from buildsheet.catalog.rules.facts import (
    OTHER,
    OTHER_ROOTS,
    PLAN,
    WHEEL,
    declared,
    of_root,
    root_of,
)
from buildsheet.catalog.rules.rule import Fact

Crossings = tuple[int | None, int | None]
"""Left and right; None where the order does not say or the hub dictates."""

_ROOTS: Final = frozenset(
    {
        *(root_of(name) for name in declared("part")),
        "left_spoke",
        "right_spoke",
        *(OTHER + root for root in OTHER_ROOTS),
    }
)


class Facts(Mapping[str, Fact]):
    """Facts by dotted name: ``parts`` by root (``rim``, ``left_spoke``, ``other.hub``), ``plain`` by
    whole name. A part that is None, and what a part does not say, is absent."""

    __slots__ = ("parts", "plain")

    def __init__(
        self, parts: Mapping[str, Part | None], plain: Mapping[str, Fact] = MappingProxyType({})
    ) -> None:
        self.parts = parts
        self.plain = plain

    def __getitem__(self, name: str) -> Fact:
        value = self.plain.get(name)
        if value is None:
            value = self._of_part(name)
        if value is None:
            raise KeyError(name)
        return value

    def _of_part(self, name: str) -> Fact | None:
        root, keys = _path(name)
        value: object = self.parts.get(root)
        for key in keys:
            value = getattr(value, key, None)
        return value if isinstance(value, (bool, int, float, str, tuple)) else None

    def __iter__(self) -> Iterator[str]:
        yield from self.plain
        for root, part in self.parts.items():
            if part is not None:
                prefix = OTHER if root.startswith(OTHER) else ""
                for name, _ in of_root(root.removeprefix(OTHER)):
                    if prefix + name in self and prefix + name not in self.plain:
                        yield prefix + name

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and (name in self.plain or self._of_part(name) is not None)

    def with_plain(self, more: Mapping[str, Fact]) -> Facts:
        """These and more facts by name."""
        return Facts(self.parts, {**self.plain, **more})

    def with_spoke(self, root: str) -> Facts:
        """``spoke.*`` as the spokes of one side, ``left_spoke`` or ``right_spoke``."""
        own = {
            f"spoke{name.removeprefix(root)}": value
            for name, value in self.plain.items()
            if name.startswith(f"{root}.")
        }
        plain = {**self.plain, **own} if own else self.plain
        return Facts({**self.parts, "spoke": self.parts.get(root)}, plain)

    def knows_part(self, name: str) -> bool:
        """Whether the part that a fact belongs to is there, so that only the part can be silent."""
        return self.parts.get(root_of(name)) is not None


@cache
def _path(name: str) -> tuple[str, tuple[str, ...]]:
    root = root_of(name)
    if root not in _ROOTS:
        return root, ("absent",)
    return root, tuple(name.removeprefix(root + ".").split("."))


def of_part(root: str, part: BaseModel) -> Mapping[str, Fact]:
    """Everything that a part says, by dotted name from ``root`` (``rim``, ``other.hub``)."""
    facts = Facts({root: part if isinstance(part, Part) else None})
    return dict(facts)


def wheel_facts(
    *,
    position: str | None,
    holes: int | None,
    parts: Mapping[str, Part | None],
    counts: tuple[int, int] | None = None,
    crossings: Crossings = (None, None),
    nipple_colour: str | None = None,
    has_washer: bool | None = None,
) -> dict[str, Fact]:
    """The ``wheel.*`` facts that follow from these parts (by root) and figures.

    ``has_washer`` None: as the parts say. What is not known is absent.
    """
    hub, rim = parts.get("hub"), parts.get("rim")
    straight_pull = hub.left_seats is not None if isinstance(hub, Hub) else None
    left, right = (None, None) if straight_pull else crossings
    known = left is not None and right is not None
    facts: dict[str, Fact | None] = {
        "wheel.position": position,
        "wheel.holes": holes,
        "wheel.left_count": counts[0] if counts else None,
        "wheel.right_count": counts[1] if counts else None,
        "wheel.left_crossings": left,
        "wheel.right_crossings": right,
        "wheel.straight_pull": straight_pull,
        "wheel.radial": False if straight_pull else left == right == 0 if known else None,
        "wheel.nipple_colour": nipple_colour,
        "wheel.has_washer": parts.get("washer") is not None if has_washer is None else has_washer,
        "wheel.erd_mm": _erd_mm(rim, parts.get("nipple"), parts.get("washer")),
    }
    return {name: value for name, value in facts.items() if value is not None}


def _erd_mm(rim: Part | None, nipple: Part | None, washer: Part | None) -> float | None:
    if not isinstance(rim, Rim) or not isinstance(nipple, Nipple):
        return None
    washer_mm = washer.thickness_mm if isinstance(washer, Washer) else 0.0
    return rim.seat_diameter_mm + 2.0 * (nipple.head_height_mm + washer_mm)


def as_other(facts: Mapping[str, Fact]) -> dict[str, Fact]:
    """A wheel's own facts as those of the other wheel of a set."""
    return {OTHER + name: value for name, value in facts.items() if name in WHEEL}


def is_planned(name: str) -> bool:
    """Whether a fact is computed for the wheel, and not looked up."""
    return name in PLAN
