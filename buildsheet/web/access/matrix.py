"""Role x route, as data: who may ask what of this service. A route that is not here is open to nobody.

What the roles are here for:

- intake: posts orders, asks what can be built, looks at orders (a key: of its own source only);
- builder: everything at the stand, and reads orders, catalog and stock;
- manager: moves orders, keeps catalog, rules and stock, and does what the others do;
- owner: everything;
- watch: the figures of the service, by a key, and nothing else.

The code on a sheet gives no right of its own: it opens one wheel's page, for whoever may be at the stand.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from buildsheet.actions.people.roles import PEOPLE, Role

Allowed = frozenset[Role]

ANYONE: Final[Allowed | None] = None
"""Also who is not signed in: signing in itself, health, and files that are the same for all the world."""

ALL: Final = PEOPLE
ORDERING: Final = frozenset({Role.INTAKE, Role.MANAGER, Role.OWNER})
STAND: Final = frozenset({Role.BUILDER, Role.MANAGER, Role.OWNER})
DESK: Final = frozenset({Role.MANAGER, Role.OWNER})
OWNER: Final = frozenset({Role.OWNER})
WATCH: Final = frozenset({Role.OWNER, Role.WATCH})

_SERVICE: Final[Mapping[str, Allowed | None]] = {
    "GET /static/<path:filename>": ANYONE,
    "GET /favicon.ico": ANYONE,
    "GET /healthz": ANYONE,
    "GET /api/v1/healthz": ANYONE,
    "GET /metrics": WATCH,
    "GET /sign-in": ANYONE,
    "POST /sign-in": ANYONE,
    "POST /sign-out": ANYONE,
    "GET /account": ALL,
    "POST /account": ALL,
    "GET /people": OWNER,
    "GET /problems": ALL,
    "GET /api/v1/openapi.json": ALL,
    "GET /api/v1/finding-codes": ALL,
    "GET /api/v1/events": DESK,
}
"""The service itself, and who is here."""

_ORDERS: Final[Mapping[str, Allowed | None]] = {
    "POST /api/v1/orders/check": ORDERING,
    "POST /api/v1/orders": ORDERING,
    "POST /api/v1/orders/batch": ORDERING,
    "POST /api/v1/choices": ORDERING,
    "GET /api/v1/orders": ALL,
    "GET /api/v1/orders/<order_id>": ALL,
    "POST /api/v1/orders/<order_id>/hold": DESK,
    "POST /api/v1/orders/<order_id>/approve": DESK,
    "POST /api/v1/orders/<order_id>/release": DESK,
    "POST /api/v1/orders/<order_id>/close": DESK,
    "POST /api/v1/orders/<order_id>/cancel": DESK,
    "POST /api/v1/orders/<order_id>/change": DESK,
    "GET /orders": ALL,
    "GET /orders/<order_id>": ALL,
    "GET /orders/<order_id>/hold": DESK,
    "POST /orders/<order_id>/hold": DESK,
    "GET /orders/<order_id>/approve": DESK,
    "POST /orders/<order_id>/approve": DESK,
    "GET /orders/<order_id>/release": DESK,
    "POST /orders/<order_id>/release": DESK,
    "GET /orders/<order_id>/close": DESK,
    "POST /orders/<order_id>/close": DESK,
    "GET /orders/<order_id>/change": DESK,
    "POST /orders/<order_id>/change": DESK,
    "GET /orders/<order_id>/cancel": DESK,
    "POST /orders/<order_id>/cancel": DESK,
    "GET /orders/new": ORDERING,
    "POST /orders/new": ORDERING,
}
"""Orders: posted, looked at, moved."""

_STAND: Final[Mapping[str, Allowed | None]] = {
    "GET /": STAND,
    "GET /find": STAND,
    "GET /w/<code>": STAND,
    "GET /w/<code>/state": STAND,
    "POST /w/<code>/<what>": STAND,
    "GET /wheels/<serial>/record": STAND,
    "GET /bench/pictures": STAND,
    "GET /api/v1/wheels": STAND,
    "GET /api/v1/wheels/<serial>": STAND,
    "GET /api/v1/wheels/<serial>/bench": STAND,
    "GET /api/v1/wheels/<serial>/lacing.svg": STAND,
    "GET /api/v1/wheels/<serial>/plan": STAND,
    "GET /api/v1/wheels/<serial>/record": STAND,
    "GET /api/v1/wheels/<serial>/record.pdf": STAND,
    "GET /api/v1/wheels/<serial>/sheet.pdf": STAND,
    "GET /api/v1/wheels/<serial>/sheet.svg": STAND,
    "GET /api/v1/wheels/<serial>/truing": STAND,
    "POST /api/v1/wheels/<serial>/steps": STAND,
    "POST /api/v1/wheels/<serial>/readings": STAND,
    "POST /api/v1/wheels/<serial>/sign": STAND,
    "POST /api/v1/wheels/<serial>/reissue": STAND,
    "GET /api/v1/gauges": STAND,
    "POST /api/v1/gauges": DESK,
    "POST /api/v1/gauges/check": STAND,
    "GET /stock": STAND,
    "GET /api/v1/stock": STAND,
    "POST /stock": DESK,
    "POST /api/v1/stock/movements": DESK,
}
"""Wheels, gauges and shelves."""

_CATALOG: Final[Mapping[str, Allowed | None]] = {
    "GET /api/v1/catalog/draft": DESK,
    "POST /api/v1/catalog/draft": DESK,
    "DELETE /api/v1/catalog/draft": DESK,
    "POST /api/v1/catalog/draft/carry-over": DESK,
    "POST /api/v1/catalog/draft/changes": DESK,
    "PUT /api/v1/catalog/draft/house/<key>": DESK,
    "GET /api/v1/catalog/draft/impact": DESK,
    "PUT /api/v1/catalog/draft/parts/<code>": DESK,
    "DELETE /api/v1/catalog/draft/parts/<code>": DESK,
    "POST /api/v1/catalog/draft/publish": DESK,
    "POST /api/v1/catalog/draft/approve": DESK,
    "PUT /api/v1/catalog/draft/rules/<rule_id>": DESK,
    "DELETE /api/v1/catalog/draft/rules/<rule_id>": DESK,
    "GET /api/v1/catalog/editions": STAND,
    "GET /api/v1/catalog/editions/<number>": STAND,
    "POST /api/v1/catalog/editions/<number>/roll-back": DESK,
    "POST /api/v1/catalog/editions/<number>/approve": DESK,
    "GET /api/v1/catalog/lengths": STAND,
    "GET /api/v1/catalog/lengths/<spoke>.svg": STAND,
    "GET /api/v1/catalog/programs": STAND,
    "GET /catalog": STAND,
    "GET /catalog/choose": STAND,
    "GET /catalog/draft": DESK,
    "POST /catalog/draft/begin": DESK,
    "POST /catalog/draft/carry-over": DESK,
    "POST /catalog/draft/discard": DESK,
    "GET /catalog/draft/house": DESK,
    "POST /catalog/draft/house": DESK,
    "GET /catalog/draft/impact": DESK,
    "GET /catalog/draft/import": DESK,
    "POST /catalog/draft/import": DESK,
    "GET /catalog/draft/parts": DESK,
    "GET /catalog/draft/parts/<kind>/<code>": DESK,
    "POST /catalog/draft/parts/<kind>/<code>": DESK,
    "GET /catalog/draft/parts/<kind>/<code>/drop": DESK,
    "POST /catalog/draft/parts/<kind>/<code>/drop": DESK,
    "GET /catalog/draft/parts/<kind>/new": DESK,
    "POST /catalog/draft/parts/<kind>/new": DESK,
    "GET /catalog/draft/publish": DESK,
    "POST /catalog/draft/publish": DESK,
    "POST /catalog/draft/approve": DESK,
    "GET /catalog/draft/rules": DESK,
    "GET /catalog/draft/rules/<name>": DESK,
    "POST /catalog/draft/rules/<name>": DESK,
    "GET /catalog/draft/rules/<name>/drop": DESK,
    "POST /catalog/draft/rules/<name>/drop": DESK,
    "GET /catalog/draft/rules/_new": DESK,
    "POST /catalog/draft/rules/_new": DESK,
    "GET /catalog/drawing.svg": STAND,
    "GET /catalog/editions": STAND,
    "GET /catalog/editions/<int:number>": STAND,
    "GET /catalog/editions/<int:number>/again": DESK,
    "POST /catalog/editions/<int:number>/again": DESK,
    "POST /catalog/editions/<int:number>/approve": DESK,
    "GET /catalog/facts": STAND,
    "GET /catalog/house": STAND,
    "GET /catalog/idle": STAND,
    "GET /catalog/lengths": STAND,
    "GET /catalog/parts": STAND,
    "GET /catalog/parts.xlsx": STAND,
    "GET /catalog/parts/<kind>/<code>": STAND,
    "GET /catalog/rules": STAND,
    "GET /catalog/rules/<name>": STAND,
}
"""The catalog: read at the stand, kept at the desk."""

MATRIX: Final[Mapping[str, Allowed | None]] = {**_SERVICE, **_ORDERS, **_STAND, **_CATALOG}
"""Method and route -> the roles that may, or ANYONE."""


def may(role: Role | None, route: str) -> bool:
    """Whether this role (None: nobody in particular) may ask for this route.

    >>> may(Role.INTAKE, "POST /api/v1/orders"), may(Role.INTAKE, "GET /"), may(None, "GET /healthz")
    (True, False, True)
    >>> may(Role.OWNER, "GET /a-route-without-an-entry")
    False
    """
    allowed = MATRIX.get(route, frozenset())
    return allowed is None or role in allowed
