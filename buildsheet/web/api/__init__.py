"""The JSON routes under ``/api/v1``."""

from __future__ import annotations

from flask import Blueprint

from buildsheet.actions.answers import API
from buildsheet.web.api import (
    bench,
    catalog,
    choices,
    impact,
    moves,
    orders,
    record,
    service,
    stock,
    wheels,
)

blueprint = Blueprint("api", __name__, url_prefix=API)

orders.add_routes(blueprint)
choices.add_routes(blueprint)
wheels.add_routes(blueprint)
catalog.add_routes(blueprint)
impact.add_routes(blueprint)
bench.add_routes(blueprint)
moves.add_routes(blueprint)
record.add_routes(blueprint)
stock.add_routes(blueprint)
service.add_routes(blueprint)

__all__ = ["blueprint"]
