"""Which members of an order a rule depends on: the places that can change its answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final, Literal

from buildsheet.catalog.rules.facts import OTHER, OTHER_ROOTS, root_of
from buildsheet.catalog.rules.judge import reads
from buildsheet.catalog.rules.rule import Rule, Scope
from buildsheet.catalog.rules.saying import facts_in

OTHER_WHEEL: Final = "other:"
"""Before a member of the set's other wheel: ``other:rim``."""

BOTH_SIDES: Final = ("spoke/left", "spoke/right")
CROSSINGS: Final = ("crossings/left", "crossings/right")
WHOLE_WHEEL: Final = ("rim", "holes", "hub", *CROSSINGS, *BOTH_SIDES, "nipple", "washer")
"""What a wheel's plan is computed from."""

_OF_A_WHEEL: Final[Mapping[str, tuple[str, ...]]] = {
    "wheel.position": (),
    "wheel.holes": ("holes",),
    "wheel.left_count": ("rim", "holes"),
    "wheel.right_count": ("rim", "holes"),
    "wheel.left_crossings": ("hub", *CROSSINGS),
    "wheel.right_crossings": ("hub", *CROSSINGS),
    "wheel.radial": ("hub", *CROSSINGS),
    "wheel.straight_pull": ("hub",),
    "wheel.nipple_colour": ("nipple_colour",),
    "wheel.has_washer": ("washer",),
    "wheel.erd_mm": ("rim", "nipple", "washer"),
}
_OF_THE_ORDER: Final[Mapping[str, tuple[str, ...]]] = {
    "use.system_kg": ("use/rider_kg", "use/bike_kg", "use/luggage_kg"),
    "use.axle": ("use/front_axle", "use/rear_axle"),
    "use.rotor_mm": ("use/front_rotor_mm", "use/rear_rotor_mm"),
    "finish.decal_colour": ("finish/decal_colour", "finish/rear_decal_colour"),
    "finish.decal_size": ("finish/decal_size", "rim"),
    "order.kind": ("kind",),
    "order.market": ("market",),
}
_OF_A_PART: Final[Mapping[str, tuple[str, ...]]] = {
    "spoke": BOTH_SIDES,
    "left_spoke": ("spoke/left",),
    "right_spoke": ("spoke/right",),
}


def members_read(rule: Rule) -> frozenset[str]:
    """The members that the rule's verdict depends on.

    Members of the wheel (``rim``, ``holes``, ``spoke/left``), of the order (``use/rider_kg``,
    ``kind``), and of the set's other wheel (``other:rim``). A rule of scope set depends on ``kind``
    too, for it is asked of a pair only.
    """
    own = frozenset({"kind"}) if rule.scope == "set" else frozenset[str]()
    return own | _members(reads(rule), rule.scope == "order")


def members_told(rule: Rule) -> frozenset[str]:
    """The members that its finding depends on: those read, and those that its sentence names."""
    return members_read(rule) | _members(facts_in(rule.says), rule.scope == "order")


def members_of(names: frozenset[str], scope: Scope) -> frozenset[str]:
    """The members that these facts of a rule follow from; of scope set without ``kind``."""
    return _members(names, scope == "order")


@lru_cache(maxsize=4096)
def _members(names: frozenset[str], of_order: bool) -> frozenset[str]:
    members = frozenset(member for name in names for member in _of_fact(name))
    # the size of an order's decals is as ordered, whatever its rims
    return members - {"rim"} if of_order else members


def _of_fact(name: str) -> Iterator[str]:
    """The members that one fact follows from."""
    if name.startswith(OTHER):
        yield from (f"{OTHER_WHEEL}{each}" for each in _of_fact(name.removeprefix(OTHER)))
        return
    root = root_of(name)
    if name in _OF_A_WHEEL:
        yield from _OF_A_WHEEL[name]
    elif name in _OF_THE_ORDER:
        yield from _OF_THE_ORDER[name]
    elif root == "plan":
        yield from WHOLE_WHEEL
    elif root in _OF_A_PART:
        yield from _OF_A_PART[root]
    elif root in OTHER_ROOTS:
        yield root
    else:
        yield name.replace(".", "/")


Side = Literal["left", "right"]


def place_of(at: str, side: Side | None) -> str:
    """The member that a finding points at: one side's spokes where only those were asked.

    >>> place_of("spoke", "left"), place_of("spoke", None)
    ('spoke/left', 'spoke')
    """
    return f"{at}/{side}" if at == "spoke" and side is not None else at


def ways_of(members: frozenset[str], side: Side | None) -> tuple[str, ...]:
    """The members where a change may clear a finding, parts before people.

    Both sides of a pattern or of the spokes are changed as one; ``side`` is the side that was asked.
    """
    found: dict[str, None] = {}
    for member in sorted(members, key=_likeliest):
        if member == "kind":
            continue
        if member in BOTH_SIDES and side is not None and set(BOTH_SIDES) <= members:
            found[f"spoke/{side}"] = None
        elif member in (*BOTH_SIDES, *CROSSINGS):
            found[member.split("/", 1)[0]] = None
        else:
            found[member] = None
    return tuple(found)


def _likeliest(member: str) -> tuple[int, str]:
    of_order = member.split("/", 1)[0] in ("use", "finish", "market")
    return (2 if of_order else 1 if member.startswith(OTHER_WHEEL) else 0, member)
