"""The facts that a rule can read: dotted names with their types, by scope.

A part's facts follow its model: ``rim.depth_mm``, ``hub.left_flange.circle_mm``, ``hub.drivers``. What
is no single value and no plain list (tables of limits) is no fact.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType, UnionType
from typing import Annotated, Any, Final, Literal, Union, get_args, get_origin

from pydantic import BaseModel

from buildsheet.catalog.parts import Driver, Hub, Nipple, Part, Rim, Spoke, Washer
from buildsheet.catalog.rules.rule import Scope

FactType = Literal["bool", "int", "double", "string", "list(int)", "list(double)", "list(string)"]

KIND_OF: Final[Mapping[str, type[Part]]] = MappingProxyType(
    {
        "rim": Rim,
        "hub": Hub,
        "spoke": Spoke,
        "nipple": Nipple,
        "washer": Washer,
        "driver": Driver,
    }
)
"""The kinds that rules read, by the first word of their facts: one part of each in a wheel."""

FILE_STEM: Final[Mapping[str, str]] = MappingProxyType({root: f"{root}s" for root in KIND_OF})
"""First word of a fact -> the kind's file stem and attribute of an edition."""

SIDED: Final = ("left_spoke", "right_spoke")
"""The spokes of one side. ``spoke.*`` is asked of both sides where they are the same, else of each."""

OPTIONAL: Final = frozenset({"washer", "driver"})
"""Parts that a wheel may be without: a rule that reads one is asked of wheels that have it."""

_TEXT: Final[FactType] = "string"
WHEEL: Final[Mapping[str, FactType]] = MappingProxyType(
    {
        "wheel.position": _TEXT,
        "wheel.holes": "int",
        "wheel.left_count": "int",
        "wheel.right_count": "int",
        "wheel.left_crossings": "int",
        "wheel.right_crossings": "int",
        "wheel.radial": "bool",
        "wheel.straight_pull": "bool",
        "wheel.nipple_colour": _TEXT,
        "wheel.has_washer": "bool",
        "wheel.erd_mm": "double",
    }
)
"""Of the wheel itself. Crossings are absent where the hub dictates its pattern (straight-pull)."""

USE: Final[Mapping[str, FactType]] = MappingProxyType(
    {
        "use.class": "int",
        "use.rider_kg": "double",
        "use.bike_kg": "double",
        "use.luggage_kg": "double",
        "use.system_kg": "double",
        "use.brake": _TEXT,
        "use.rotor_mount": _TEXT,
        "use.front_axle": _TEXT,
        "use.rear_axle": _TEXT,
        "use.front_rotor_mm": "int",
        "use.rear_rotor_mm": "int",
        "use.cassette.spline": _TEXT,
        "use.cassette.smallest_sprocket": "int",
        "use.tyre_width_mm": "double",
        "use.tyre_system": _TEXT,
        "use.tyre_bead_seat_mm": "int",
        "use.bike": _TEXT,
        "use.salt": "bool",
    }
)
"""``use.bike`` is ``bicycle`` and ``use.salt`` false where the order says nothing."""

USE_OF_A_WHEEL: Final[Mapping[str, FactType]] = MappingProxyType(
    {"use.axle": _TEXT, "use.rotor_mm": "int"}
)
"""What the bicycle has at this wheel's end."""

PLAN: Final[Mapping[str, FactType]] = MappingProxyType(
    {
        **{
            f"plan.{side}_{figure}": "double"
            for side in ("left", "right")
            for figure in ("exact_mm", "target_mm", "stock_mm", "tension_n")
        },
        "plan.stop_n": "double",
        "plan.ratio": "double",
        "plan.mass_g": "double",
    }
)
"""Computed for the wheel; the stock length too is a double, so that it can be compared."""

FINISH: Final[Mapping[str, FactType]] = MappingProxyType(
    {"finish.decal_colour": _TEXT, "finish.decal_size": _TEXT}
)
"""In a wheel or set: of this wheel. In an order: as ordered."""

ORDER: Final[Mapping[str, FactType]] = MappingProxyType(
    {"order.kind": _TEXT, "order.market": _TEXT}
)

OTHER_ROOTS: Final = ("rim", "hub", "left_spoke", "right_spoke", "nipple", "washer", "driver")
OTHER: Final = "other."
"""The other wheel of a set."""

WHEEL_MEMBERS: Final = (
    "rim",
    "holes",
    "hub",
    "crossings",
    "crossings/left",
    "crossings/right",
    "spoke",
    "spoke/left",
    "spoke/right",
    "nipple",
    "nipple_colour",
    "washer",
    "driver",
)
"""Members of a wheel that a finding can point at."""

ORDER_MEMBERS: Final = (
    "kind",
    "market",
    *(
        name.replace(".", "/")
        for name in (*USE, "finish.decal_colour", "finish.rear_decal_colour", "finish.decal_size")
        if name != "use.system_kg"
    ),
)
"""Members of the order that a finding can point at."""


@cache
def declared(scope: Scope) -> Mapping[str, FactType]:
    """Every fact that a rule of this scope can read, by name."""
    if scope == "order":
        return MappingProxyType({**ORDER, **USE, **FINISH})
    if scope == "part":
        return MappingProxyType({name: kind for root in KIND_OF for name, kind in of_root(root)})
    facts = {name: kind for root in (*KIND_OF, *SIDED) for name, kind in of_root(root)}
    facts.update({**WHEEL, **USE, **USE_OF_A_WHEEL, **PLAN, **FINISH, **ORDER})
    if scope == "set":
        for root in OTHER_ROOTS:
            facts.update((OTHER + name, kind) for name, kind in of_root(root))
        facts.update((OTHER + name, kind) for name, kind in WHEEL.items())
    return MappingProxyType(facts)


@cache
def of_root(root: str) -> tuple[tuple[str, FactType], ...]:
    """The facts of one part, named from ``root``; ``left_spoke`` has those of a spoke."""
    model = KIND_OF["spoke" if root in SIDED else root]
    return tuple(_of_model(model, f"{root}."))


def _of_model(model: type[BaseModel], prefix: str) -> Iterator[tuple[str, FactType]]:
    for name, field in model.model_fields.items():
        kind = _kind(field.annotation)
        if isinstance(kind, str):
            yield prefix + name, kind
        elif kind is not None:
            yield from _of_model(kind, f"{prefix}{name}.")


_PLAIN: Final[Mapping[object, FactType]] = {
    bool: "bool",
    int: "int",
    float: "double",
    str: "string",
}
_LISTS: Final[Mapping[FactType, FactType]] = {
    "int": "list(int)",
    "double": "list(double)",
    "string": "list(string)",
}


def _kind(annotation: Any) -> FactType | type[BaseModel] | None:
    """What a field holds, or the model of its table, or None where it is no fact."""
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _kind(inner[0])
    if origin in (Union, UnionType):
        kinds = {_kind(each) for each in inner if each is not type(None)}
        return kinds.pop() if len(kinds) == 1 else None
    if origin is Literal:
        return "string" if all(isinstance(each, str) for each in inner) else None
    if origin is tuple:
        entry = _kind(inner[0]) if len(inner) == 2 and inner[1] is Ellipsis else None
        return _LISTS.get(entry) if isinstance(entry, str) else None
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return _PLAIN.get(annotation)


def root_of(name: str) -> str:
    """The part or table that a fact belongs to.

    >>> root_of("hub.left_flange.circle_mm"), root_of("other.rim.brake")
    ('hub', 'other.rim')
    """
    if name.startswith(OTHER):
        return OTHER + name.removeprefix(OTHER).split(".", 1)[0]
    return name.split(".", 1)[0]


def scopes_of(name: str) -> tuple[Scope, ...]:
    """The scopes in which a name is a fact.

    >>> scopes_of("other.rim.brake")
    ('set',)
    """
    scopes: tuple[Scope, ...] = ("part", "wheel", "set", "order")
    return tuple(scope for scope in scopes if name in declared(scope))
