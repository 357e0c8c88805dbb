"""The HTML routes. Every one works without scripts, on a phone at the stand and on a desk."""

from __future__ import annotations

from flask import Blueprint

from buildsheet.web.pages import (
    bench,
    board,
    catalog,
    find,
    order_moves,
    order_pages,
    record_pages,
    sign_in,
    stock_page,
    words,
)

blueprint = Blueprint("pages", __name__)

board.add_routes(blueprint)
find.add_routes(blueprint)
record_pages.add_routes(blueprint)
order_pages.add_routes(blueprint)
order_moves.add_routes(blueprint)
stock_page.add_routes(blueprint)
bench.add_routes(blueprint)
catalog.add_routes(blueprint)
sign_in.add_routes(blueprint)
words.add_filters(blueprint)

__all__ = ["blueprint"]
