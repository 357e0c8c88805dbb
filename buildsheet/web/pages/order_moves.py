"""Moves of an order on pages: what would be lost, the fields that stand for it, and the deed."""

from __future__ import annotations

import json
from typing import Any, Final

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.moves.answers import Moved
from buildsheet.actions.moves.cancel import cancel_order
from buildsheet.actions.moves.change import change_order
from buildsheet.actions.moves.move import Move, move_order
from buildsheet.actions.plan_record import compact
from buildsheet.actions.show_order import OrderView, show_order
from buildsheet.web.access.who import signed_in
from buildsheet.web.limits import FORM_BYTES
from buildsheet.web.pages.whole_number import number_or_text
from buildsheet.web.workshop_here import workshop_here

Answer = AnyResponse | str | tuple[str, int]

TITLES: Final = {
    "hold": "Hold",
    "approve": "Approve",
    "release": "Release",
    "close": "Close",
    "change": "Change",
    "cancel": "Cancel",
}
_MOVES: Final[dict[str, Move]] = {
    "hold": "hold",
    "approve": "approve",
    "release": "release",
    "close": "close",
}
_ASKING: Final = {"by": "-", "reason": "What would be lost?", "dry_run": True}
"""Asks for a wheel's state only: a dry run keeps nothing of it."""


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file: every move has its own address, so that each can have its own people."""
    for move in TITLES:
        path, given = f"/orders/<order_id>/{move}", {"move": move}
        blueprint.get(path, defaults=given)(move_form)
        blueprint.post(path, defaults=given)(move_posted)


def move_form(order_id: str, move: str) -> Answer:
    """The fields of a move; for a cancellation also what would be lost."""
    view = show_order(workshop_here(), order_id)
    if view is None:
        return render_template("find.html", typed=order_id, orders=()), 404
    asked = cancel_order(workshop_here(), order_id, _raw(_ASKING)) if move == "cancel" else None
    typed = {"order": _next_revision(view), "by": signed_in() or ""}
    return _page(view, move, typed, asked, asked_only=True)


def move_posted(order_id: str, move: str) -> Answer:
    """The move made, or everything that stands in its way."""
    request.max_content_length = FORM_BYTES
    view = show_order(workshop_here(), order_id)
    if view is None:
        return render_template("find.html", typed=order_id, orders=()), 404
    typed = {
        name: request.form.get(name, "").replace("\r\n", "\n")
        for name in ("by", "reason", "approved_by", "order", "old_revision")
    }
    moved = _asked(order_id, move, typed, dry_run=request.form.get("deed") == "ask")
    if moved.outcome in ("done", "replayed"):
        return redirect(url_for("pages.order_page", order_id=view.stored.id), 303)
    status = {"dry-run": 200, "conflict": 409}.get(moved.outcome, 422)
    return _page(view, move, typed, moved), status


def _asked(order_id: str, move: str, typed: dict[str, str], *, dry_run: bool) -> Moved:
    """The request that the form means; what is typed wrong is said by the one reader of requests."""
    document: dict[str, Any] = {
        "by": " ".join(typed["by"].split()),
        "reason": " ".join(typed["reason"].split()),
        "dry_run": dry_run,
    }
    workshop, name = workshop_here(), signed_in()
    number = typed["old_revision"].strip()
    revision = number_or_text(number) if number else None
    if move != "change":
        document["revision"] = revision
    if move in ("cancel", "change") and typed["approved_by"].strip():
        document["approved_by"] = " ".join(typed["approved_by"].split())
    if move == "cancel":
        return cancel_order(workshop, order_id, _raw(document), signed_in=name)
    if move == "change":
        document["old_revision"] = revision
        text = json.dumps(document)[:-1] + ', "order": ' + (typed["order"].strip() or "{}") + "}"
        raw = text.encode("utf-8", "surrogatepass")
        return change_order(workshop, order_id, raw, signed_in=name)
    return move_order(workshop, order_id, _MOVES[move], _raw(document), signed_in=name)


def _page(
    view: OrderView,
    move: str,
    typed: dict[str, str],
    moved: Moved | None,
    *,
    asked_only: bool = False,
) -> str:
    """The page of one move; ``moved`` is what was answered last, before anybody pressed a button where
    ``asked_only``."""
    answer: dict[str, Any] = json.loads(moved.answer) if moved and moved.answer else {}
    return render_template(
        "order_move.html",
        view=view,
        move=move,
        title=TITLES[move],
        typed=typed,
        told=answer,
        found=moved.findings if moved else (),
        asked_only=asked_only,
    )


def _next_revision(view: OrderView) -> str:
    """The order as it stands with the next revision's number, to be changed by hand."""
    document = json.loads(view.stored.document)
    document["revision"] = view.stored.revision + 1
    return json.dumps(document, indent=2, ensure_ascii=False)


def _raw(document: dict[str, Any]) -> bytes:
    return compact(document).encode("utf-8", "surrogatepass")
