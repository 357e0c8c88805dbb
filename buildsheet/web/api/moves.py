"""Moves of orders, batches of orders, and the list of what happened."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Final, Literal, get_args

from flask import Blueprint, Response, abort, request

from buildsheet.actions.moves.answers import Moved
from buildsheet.actions.moves.batch import MOST_BYTES, read_batch, take_from_batch
from buildsheet.actions.moves.cancel import cancel_order
from buildsheet.actions.moves.change import change_order
from buildsheet.actions.moves.happened import MOST, USUAL, event_document, happened_since
from buildsheet.actions.moves.move import Move, move_order
from buildsheet.actions.plan_record import compact
from buildsheet.findings import Finding
from buildsheet.web.access.sources import refused_document
from buildsheet.web.access.who import signed_in
from buildsheet.web.api.bodies import idempotency_key, json_answer, order_body
from buildsheet.web.api.large import large_answer
from buildsheet.web.api.orders import took_answer
from buildsheet.web.guards import request_id
from buildsheet.web.problems import problem
from buildsheet.web.workshop_here import workshop_here

UNREADABLE: Final = frozenset({"data.not-json", "data.not-utf8", "data.too-deep"})
_LAST: Final = 2**53
"""No number of an event is larger: JSON readers keep whole numbers exactly up to here."""

_Became = Literal["taken", "replayed", "refused"]
"""What the orders of a batch are counted by."""


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.post("/orders/batch")(batch)
    blueprint.post("/orders/<order_id>/hold")(hold)
    blueprint.post("/orders/<order_id>/approve")(approve)
    blueprint.post("/orders/<order_id>/release")(release)
    blueprint.post("/orders/<order_id>/close")(close)
    blueprint.post("/orders/<order_id>/cancel")(cancel)
    blueprint.post("/orders/<order_id>/change")(change)
    blueprint.get("/events")(list_of_events)


def hold(order_id: str) -> Response:
    """Nothing of the order is built until somebody approves."""
    return _moved("hold", order_id)


def approve(order_id: str) -> Response:
    """A name and a reason for what needed them."""
    return _moved("approve", order_id)


def release(order_id: str) -> Response:
    """The order goes to the bench."""
    return _moved("release", order_id)


def close(order_id: str) -> Response:
    """Nothing is left to do for the order."""
    return _moved("close", order_id)


def cancel(order_id: str) -> Response:
    """The order is not built any further."""
    body = order_body()
    key, name = idempotency_key(), signed_in()
    return answered(cancel_order(workshop_here(), order_id, body, key, signed_in=name))


def change(order_id: str) -> Response:
    """The order as it should be."""
    body = order_body()
    key, name = idempotency_key(), signed_in()
    return answered(change_order(workshop_here(), order_id, body, key, signed_in=name))


def batch() -> Response:
    """Every order of the batch with its place, its own status and its answer."""
    request.max_content_length = MOST_BYTES
    given = read_batch(order_body())
    if given.findings:
        return _refused(given.findings)
    counted, items = Counter[_Became](), list[str]()
    for place, posted in enumerate(given.orders):
        response, became = _answered(posted)
        counted[became] += 1
        items.append(_item(f"/orders/{place}", response, became))
    head = {each: counted[each] for each in get_args(_Became)}
    return large_answer(_in_turn(compact({"request": request_id(), **head}), items))


def _answered(posted: object) -> tuple[Response, _Became]:
    """The answer to one order of a batch, as it would have got it alone."""
    foreign = refused_document(posted)
    if foreign is not None:
        return foreign, "refused"
    took = take_from_batch(workshop_here(), posted)
    if took.outcome == "taken":
        return took_answer(took), "taken"
    return took_answer(took), "replayed" if took.outcome == "replayed" else "refused"


def _in_turn(head: str, items: list[str]) -> Iterator[str]:
    """The answer in pieces; ``items`` is empty afterwards."""
    yield f'{head[:-1]},"orders":['
    items.reverse()
    while items:
        item = items.pop()
        yield item + "," if items else item
    yield "]}"


def list_of_events() -> Response:
    """What happened after a number, in order."""
    after = _number("after", 0, _LAST)
    limit = _number("limit", USUAL, MOST)
    if limit < 1:
        abort(400)
    found = happened_since(workshop_here(), after, limit)
    answer = {
        "events": [event_document(each) for each in found],
        "next": found[-1].sequence if found else after,
    }
    return json_answer(compact(answer))


def answered(moved: Moved) -> Response:
    """What became of a move, as a response."""
    if moved.outcome == "unknown":
        abort(404)
    if moved.outcome == "refused":
        return _refused(moved.findings)
    slug = {
        "conflict": "move-refused",
        "unbuildable": "order-refused",
        "key-reused": "key-reused",
    }.get(moved.outcome)
    if slug is not None:
        return problem(slug, moved.findings[0].says, moved.findings)
    response = json_answer(moved.answer)
    if moved.outcome == "replayed":
        response.headers["Idempotent-Replay"] = "true"
    return response


def _moved(move: Move, order_id: str) -> Response:
    body = order_body()
    key, name = idempotency_key(), signed_in()
    return answered(move_order(workshop_here(), order_id, move, body, key, signed_in=name))


def _item(at: str, response: Response, became: _Became) -> str:
    """One order of a batch, as it would have been answered alone, as JSON text.

    An answer may be a hundred kilobytes of findings: it stays the text that it is.
    """
    head = {"at": at, "status": response.status_code, "replayed": became == "replayed"}
    # The number of the request stands once, before all orders. In no text could it be taken for the
    # member: quotes in a text are escaped.
    body = response.get_data(as_text=True).replace(f'"request":"{request_id()}",', "", 1)
    return f'{compact(head)[:-1]},"body":{body}}}'


def _number(name: str, usual: int, most: int) -> int:
    """A whole number out of the query; ends the request with 400 where it is none or too large."""
    given = request.args.get(name)
    if given is None:
        return usual
    if not (given.isascii() and given.isdecimal() and len(given) <= 16 and int(given) <= most):
        abort(400)
    return int(given)


def _refused(findings: tuple[Finding, ...]) -> Response:
    if {each.code for each in findings} & UNREADABLE:
        return problem("bad-request", findings[0].says, findings)
    return problem("document-refused", "", findings)
