"""Orders on pages: the list, one order, and the form where a person posts one."""

from __future__ import annotations

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.check_order import check_against_shelves
from buildsheet.actions.moves.open_moves import moves_from
from buildsheet.actions.show_order import PAGE, list_orders, show_order
from buildsheet.actions.stopped import stopped_wheels
from buildsheet.actions.take_order import take_order
from buildsheet.web.access.who import may_here
from buildsheet.web.limits import FORM_BYTES
from buildsheet.web.observing.counted import counted_here
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/orders")(orders_page)
    blueprint.get("/orders/new")(order_form)
    blueprint.post("/orders/new")(order_posted)
    blueprint.get("/orders/<order_id>")(order_page)


def orders_page() -> str:
    """The newest orders."""
    page = list_orders(workshop_here(), request.args.get("before"))
    following = page[-1].id if len(page) == PAGE else None
    return render_template("orders.html", orders=page, following=following)


def order_page(order_id: str) -> str | tuple[str, int]:
    """One order: what was posted, what was said, its wheels."""
    view = show_order(workshop_here(), order_id)
    if view is None:
        return render_template("find.html", typed=order_id, orders=()), 404
    return render_template(
        "order.html",
        view=view,
        stopped=stopped_wheels(workshop_here(), view.wheels),
        moves=[
            move
            for move in moves_from(view.stored.state)
            if may_here(f"GET /orders/<order_id>/{move}")
        ],
    )


def order_form() -> str:
    """An empty form."""
    return render_template("order_form.html", text="", checked=None, took=None)


def order_posted() -> AnyResponse | str | tuple[str, int]:
    """The order in the form checked, or taken, with every finding."""
    request.max_content_length = FORM_BYTES
    text = request.form.get("order", "")
    # Browsers send line ends as CR LF; a note with line breaks keeps the ones it was typed with.
    raw = text.replace("\r\n", "\n").encode("utf-8", "surrogatepass")
    if request.form.get("deed") != "take":
        checked = check_against_shelves(workshop_here(), raw)
        return render_template("order_form.html", text=text, checked=checked, took=None)
    took = take_order(workshop_here(), raw)
    counted_here().order(took.outcome)
    if took.answered is not None:
        return redirect(url_for("pages.order_page", order_id=took.answered.order_id), 303)
    page = render_template("order_form.html", text=text, checked=None, took=took)
    return page, 422 if took.outcome == "refused" else 409
