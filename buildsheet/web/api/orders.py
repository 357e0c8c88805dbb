"""Orders: checked, taken, shown."""

from __future__ import annotations

import re
from typing import Final

from flask import Blueprint, Response, abort, request

from buildsheet.actions.answers import API
from buildsheet.actions.check_order import check_against_shelves
from buildsheet.actions.intake.earlier import Took
from buildsheet.actions.plan_record import compact
from buildsheet.actions.show_order import PAGE, list_orders, order_line, show_order
from buildsheet.actions.take_order import take_order
from buildsheet.findings import Finding
from buildsheet.web.access.sources import own_source, refused_order
from buildsheet.web.api.bodies import idempotency_key, json_answer, order_body
from buildsheet.web.observing.counted import counted_here
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here

ORDER_NUMBER: Final = re.compile(r"A[0-9]{2}-[0-9]{5}-[A-Z]")
UNREADABLE: Final = {
    "order.not-json": "not-readable",
    "order.not-utf8": "not-readable",
    "order.too-deep": "not-readable",
    "order.too-large": "too-large",
}
"""Codes of bodies that are no document at all, and the problem that each is."""


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.post("/orders/check")(check_order)
    blueprint.post("/orders")(take_posted)
    blueprint.get("/orders")(list_of_orders)
    blueprint.get("/orders/<order_id>")(order)


def check_order() -> Response:
    """Every finding and the plans; stores nothing."""
    checked = check_against_shelves(workshop_here(), order_body())
    return unreadable(checked.findings) or json_answer(compact(checked.as_json()))


def take_posted() -> Response:
    """The order, taken or refused."""
    body, key = order_body(), idempotency_key()
    return refused_order(body) or took_answer(take_order(workshop_here(), body, key))


def took_answer(took: Took) -> Response:
    """What became of a posted order, as a response."""
    counted_here().order(took.outcome)
    if took.answered is not None:
        headers = {"Location": f"{API}/orders/{took.answered.order_id}"}
        if took.outcome == "replayed":
            headers["Idempotent-Replay"] = "true"
        return json_answer(took.answered.text, 201, headers)
    slug = {"conflict": "order-taken", "key-reused": "key-reused"}.get(took.outcome)
    if slug is not None:
        return problem(slug, took.findings[0].says, took.findings)
    if took.outcome == "short":
        return problem("stock-short", " ".join(each.says for each in took.findings), took.findings)
    blocks = sum(finding.blocks for finding in took.findings)
    detail = f"{blocks} {'finding stands' if blocks == 1 else 'findings stand'} in the way."
    return unreadable(took.findings) or problem("order-refused", detail, took.findings)


def list_of_orders() -> Response:
    """The newest orders, a page at a time."""
    before = request.args.get("before")
    if before is not None and not ORDER_NUMBER.fullmatch(before):
        abort(400)
    page = list_orders(workshop_here(), before, own_source())
    following = f"{API}/orders?before={page[-1].id}" if len(page) == PAGE else None
    return json_answer(compact({"orders": [order_line(each) for each in page], "next": following}))


def order(order_id: str) -> Response:
    """One order as it stands."""
    view = show_order(workshop_here(), order_id)
    if view is None or own_source() not in (None, view.stored.source):
        abort(404)
    return json_answer(compact(view.as_json(names=own_source() is None)))


def unreadable(findings: tuple[Finding, ...]) -> Response | None:
    """The refusal of a body that is no document at all; None for one that is."""
    for finding in findings:
        if finding.code in UNREADABLE:
            return problem(UNREADABLE[finding.code], finding.says, findings)
    return None
