"""Finding: a wheel or an order by its number, wheels by whatever else is in the hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.bench.find_wheels import WAYS, Found, find_page
from buildsheet.actions.show_order import find_number, show_order
from buildsheet.actions.show_wheel import show_wheel
from buildsheet.actions.workshop import Workshop
from buildsheet.web.workshop_here import workshop_here

WAY_WORDS: Final = {
    "serial": "wheel's serial",
    "order": "order",
    "rim-batch": "rim batch",
    "rim-serial": "rim serial",
    "hub-serial": "hub serial",
    "part-batch": "part and batch",
    "gauge": "gauge",
    "builder": "person",
    "edition": "edition",
}
"""The ways to find wheels, as people say them."""


@dataclass(frozen=True, slots=True)
class Group:
    """Wheels that were found in one way; ``following`` is the serial that the next page begins before,
    None where these are all, ``first`` whether the newest are among them."""

    way: str
    wheels: tuple[Found, ...]
    following: str | None
    first: bool


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/find")(find)
    blueprint.add_app_template_global(WAY_WORDS.items, "ways_to_find")


def find() -> AnyResponse | str | tuple[str, int]:
    """What goes by the words typed. ``by`` asks one way only; without it a number that names one wheel or
    one order opens it, and anything else is looked for in every way."""
    typed, by = (
        (request.args.get("q") or request.args.get("what", "")).strip()[:80],
        request.args.get("by", ""),
    )
    workshop = workshop_here()
    if by in WAYS:
        return _page(typed, by, _groups(workshop, typed, (by,)))
    wheel = show_wheel(workshop, typed)
    if wheel is not None:
        return redirect(url_for("pages.bench_page", code=wheel.stored.sheet.code))
    order = show_order(workshop, typed)
    if order is not None:
        return redirect(url_for("pages.order_page", order_id=order.stored.id))
    named = find_number(workshop, typed)
    if len(named) == 1:
        return redirect(url_for("pages.order_page", order_id=named[0].id))
    if named:
        return render_template("find.html", typed=typed, orders=named)
    rest = tuple(way for way in WAYS if way not in {"serial", "order"})
    return _page(typed, "", _groups(workshop, typed, rest))


def _groups(workshop: Workshop, typed: str, ways: tuple[str, ...]) -> tuple[Group, ...]:
    if not typed:
        return ()
    before = request.args.get("before") or None
    looked = (Group(way, *find_page(workshop, way, typed, before), before is None) for way in ways)
    return tuple(each for each in looked if each.wheels)


def _page(typed: str, by: str, groups: tuple[Group, ...]) -> tuple[str, int]:
    page = render_template("find.html", typed=typed, by=by, orders=(), groups=groups)
    return page, 200 if groups or not typed else 404
