"""Moves of orders, batches and events, described."""

from __future__ import annotations

from typing import Final

from pydantic import BaseModel

from buildsheet.actions.moves.batch import MOST_BYTES, BatchDocument
from buildsheet.actions.moves.documents import (
    ApproveDocument,
    CancelDocument,
    ChangeDocument,
    CloseDocument,
    HoldDocument,
    ReleaseDocument,
)
from buildsheet.actions.moves.happened import MOST, USUAL
from buildsheet.web.openapi import move_shapes as shapes
from buildsheet.web.openapi.route import Route, in_path, in_query

_ORDER = in_path("order_id", "The workshop's number, such as A26-00012-A.")
_KEY = {
    "name": "Idempotency-Key",
    "in": "header",
    "required": False,
    "description": "A repeated key gets the first answer; with another request it is refused.",
    "schema": {"type": "string", "pattern": "^[!#-~]{1,200}$"},
}
_PROBLEMS: Final = {
    400: "The body cannot be read as JSON.",
    404: "There is no such order.",
    409: "The order cannot be moved so as it stands: every reason, and what approval is needed.",
    413: "The body is larger than 64 KiB.",
    415: "The body is not sent as application/json.",
    422: "The document breaks its form, or the Idempotency-Key belongs to another request.",
}


def _move(name: str, operation: str, summary: str, body: type[BaseModel]) -> Route:
    return Route(
        "post",
        f"/orders/{{order_id}}/{name}",
        operation,
        summary,
        {200: ("Done; or, with `dry_run`, what it would come to.", shapes.MoveAnswer)},
        _PROBLEMS,
        body=body,
        parameters=(_ORDER, _KEY),
        headers={200: {"Idempotent-Replay": "true for a first answer again."}},
    )


ROUTES: Final[tuple[Route, ...]] = (
    _move("hold", "holdOrder", "Keep the order back: nothing is built", HoldDocument),
    _move(
        "approve",
        "approveOrder",
        "Put a name and a reason to an order on hold; both are printed on its sheets",
        ApproveDocument,
    ),
    _move("release", "releaseOrder", "Give the order to the bench", ReleaseDocument),
    _move(
        "close", "closeOrder", "Nothing is left to do for an order that was shipped", CloseDocument
    ),
    _move(
        "cancel",
        "cancelOrder",
        "Build the order no further; what is lost is said, and stood for by name where needed",
        CancelDocument,
    ),
    _move(
        "change",
        "changeOrder",
        "The order as it should be, as a new revision; the old revision is quoted",
        ChangeDocument,
    ),
    Route(
        "post",
        "/orders/batch",
        "takeBatch",
        "Up to 500 orders, each taken whole or not at all, in their order",
        {
            200: (
                "Every order with its own status and answer; what is no order is refused in its place, "
                "and so is, for a key of one sender, an order of another one (403). "
                "A large answer is sent compressed where `Accept-Encoding` takes `gzip`: what is said of "
                "500 orders full of nonsense are some 60 MB.",
                shapes.BatchAnswer,
            )
        },
        {
            400: "The body cannot be read as JSON.",
            413: f"The body is larger than {MOST_BYTES} bytes.",
            415: "The body is not sent as application/json.",
            422: "The document holds no list of 1 to 500 orders; nothing was taken.",
            503: "No catalog edition is loaded, or the workshop file cannot be used.",
        },
        body=BatchDocument,
    ),
    Route(
        "get",
        "/events",
        "listEvents",
        "What happened after a number, in order and without gaps; at least once, nobody's name",
        {200: ("Events, oldest first.", shapes.EventList)},
        {400: "`after` or `limit` is no number, or too large."},
        parameters=(
            in_query(
                "after",
                "The last number that is known; 0 for all.",
                {"type": "integer", "minimum": 0, "maximum": 2**53, "default": 0},
            ),
            in_query(
                "limit",
                "How many at most.",
                {"type": "integer", "minimum": 1, "maximum": MOST, "default": USUAL},
            ),
        ),
    ),
)
