"""One entry for each route: what it takes, what it answers, which refusals it knows."""

from __future__ import annotations

from buildsheet.orders.document import Order
from buildsheet.web.openapi import (
    bench_routes,
    catalog_routes,
    choices_routes,
    impact_routes,
    move_routes,
    record_routes,
    shapes,
    stock_routes,
)
from buildsheet.web.openapi.route import Route, in_path, in_query

_SERIAL = in_path("serial", "A wheel's serial, such as W26-00017-F.")
_BODY_PROBLEMS = {
    400: "The body cannot be read as JSON.",
    413: "The body is larger than 64 KiB.",
    415: "The body is not sent as application/json.",
    503: "No catalog edition is loaded, or the workshop file cannot be used.",
}
_UNKNOWN = {404: "There is nothing with this number."}
_NO_SHEET = {**_UNKNOWN, 400: "The paper or page is not known.", 409: "It waits for an approval."}
_KEY = {
    "name": "Idempotency-Key",
    "in": "header",
    "required": False,
    "description": "A repeated key gets the first answer; with another document it is refused.",
    "schema": {"type": "string", "pattern": "^[!#-~]{1,200}$"},
}

ROUTES: tuple[Route, ...] = (
    Route(
        "post",
        "/orders/check",
        "checkOrder",
        "Every finding about an order and the plans of its wheels; stores nothing",
        {
            200: (
                "The order, judged. An order that cannot be built is an answer too.",
                shapes.CheckAnswer,
            )
        },
        _BODY_PROBLEMS,
        body=Order,
    ),
    Route(
        "post",
        "/orders",
        "takeOrder",
        "Take an order: checked, numbered, stored, or refused with every finding",
        {201: ("Taken; or taken before, and answered as then.", shapes.OrderAnswer)},
        {
            **_BODY_PROBLEMS,
            409: "Parts are short; or the same source, number and revision is taken with other content.",
            422: "The order cannot be built, or the Idempotency-Key belongs to another document.",
        },
        body=Order,
        parameters=(_KEY,),
        headers={
            201: {"Location": "The order.", "Idempotent-Replay": "true for a first answer again."}
        },
    ),
    Route(
        "get",
        "/orders",
        "listOrders",
        "The newest orders, a hundred at a time",
        {200: ("A page of orders.", shapes.OrderList)},
        {400: "`before` is no number of an order."},
        parameters=(
            in_query(
                "before",
                "Only orders with a smaller number.",
                {"type": "string", "pattern": "^A[0-9]{2}-[0-9]{5}-[A-Z]$"},
            ),
        ),
    ),
    Route(
        "get",
        "/orders/{order_id}",
        "showOrder",
        "One order as it stands, with the document as posted",
        {200: ("The order.", shapes.OrderStanding)},
        _UNKNOWN,
        parameters=(in_path("order_id", "The workshop's number, such as A26-00012-A."),),
    ),
    Route(
        "get",
        "/wheels/{serial}",
        "showWheel",
        "One wheel as it stands",
        {200: ("The wheel.", shapes.WheelAnswer)},
        _UNKNOWN,
        parameters=(_SERIAL,),
    ),
    Route(
        "get",
        "/wheels/{serial}/plan",
        "showPlan",
        "The plan that the wheel's sheet prints, as it was answered",
        {200: ("The plan.", shapes.PlanShape)},
        _UNKNOWN,
        parameters=(_SERIAL,),
    ),
    Route(
        "get",
        "/wheels/{serial}/sheet.pdf",
        "printSheet",
        "The build sheet that is in force, as PDF",
        {200: ("Two pages: building side and record side.", "application/pdf")},
        _NO_SHEET,
        parameters=(
            _SERIAL,
            in_query(
                "paper", "The paper.", {"type": "string", "enum": ["a4", "letter"], "default": "a4"}
            ),
        ),
        headers={200: {"ETag": "Changes when anything on the sheet changes."}},
    ),
    Route(
        "get",
        "/wheels/{serial}/sheet.svg",
        "showSheet",
        "One page of the build sheet as a picture",
        {200: ("The page.", "image/svg+xml")},
        _NO_SHEET,
        parameters=(
            _SERIAL,
            in_query(
                "page",
                "1: building side, 2: record side.",
                {"type": "string", "enum": ["1", "2"], "default": "1"},
            ),
        ),
    ),
    Route(
        "get",
        "/wheels/{serial}/lacing.svg",
        "showLacing",
        "The lacing of the wheel as a picture",
        {200: ("The picture.", "image/svg+xml")},
        _UNKNOWN,
        parameters=(_SERIAL,),
    ),
    Route(
        "get",
        "/finding-codes",
        "listFindingCodes",
        "Every code that a finding can carry",
        {200: ("The codes.", shapes.CodeList)},
    ),
    Route(
        "get",
        "/healthz",
        "health",
        "Up, database writable, edition",
        {
            200: ("It can work.", shapes.HealthAnswer),
            503: ("It cannot: the database cannot be written.", shapes.HealthAnswer),
        },
    ),
    *choices_routes.ROUTES,
    *catalog_routes.ROUTES,
    *impact_routes.ROUTES,
    *bench_routes.ROUTES,
    *move_routes.ROUTES,
    *stock_routes.ROUTES,
    *record_routes.ROUTES,
)
