"""The routes of the shelves, described."""

from __future__ import annotations

from typing import Final

from buildsheet.actions.stock.documents import MovementsDocument
from buildsheet.web.openapi import stock_shapes as shapes
from buildsheet.web.openapi.route import Route, in_query

ROUTES: Final[tuple[Route, ...]] = (
    Route(
        "get",
        "/stock",
        "showStock",
        "What lies on the shelves, what is held, what is free, what comes",
        {200: ("The shelves.", shapes.StockList)},
        {400: "`part` is no article."},
        parameters=(
            in_query(
                "part",
                "Only this part (SSB9) or article (SSB9/267).",
                {
                    "type": "string",
                    "pattern": "^[A-Z0-9][A-Z0-9.-]{0,23}(/[A-Za-z0-9][A-Za-z0-9 -]{0,23})?$",
                },
            ),
        ),
    ),
    Route(
        "post",
        "/stock/movements",
        "moveStock",
        "Goods in, corrections with a reason, deliveries announced: entered whole or refused",
        {201: ("Entered; or entered before, and answered as then.", shapes.MovementsAnswer)},
        {
            400: "The body cannot be read as JSON.",
            413: "The body is larger than 64 KiB.",
            415: "The body is not sent as application/json.",
            422: "The list breaks its form, or its key belongs to another list.",
            503: "No catalog edition is loaded, or the workshop file cannot be used.",
        },
        body=MovementsDocument,
        headers={201: {"Idempotent-Replay": "true for the first answer to the same key, again."}},
    ),
)
