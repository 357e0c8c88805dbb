"""The shelves as a page: what is free, what is held, what comes; goods in and corrections by hand."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import Any, Final

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.stock.load import fresh_key
from buildsheet.actions.stock.move import answered, take_movements
from buildsheet.actions.stock.shelf import history, show_shelf
from buildsheet.web.access.who import signed_in
from buildsheet.web.workshop_here import workshop_here

KINDS: Final = {
    "received": "came in",
    "counted": "counted on the shelf",
    "expected": "announced for a day",
    "called-off": "does not come after all",
}
"""What a person may enter; the rest happens by orders and kits."""

HAPPENED: Final = {
    **KINDS,
    "held": "set aside for an order",
    "released": "no longer set aside",
    "expired": "the hold ran out",
    "picked": "taken for a wheel",
    "expected": "announced",
}
"""What happened to an article, in the words of its list."""

_PIECES: Final = re.compile(r"[0-9]{1,7}")


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/stock")(stock_page)
    blueprint.post("/stock")(stock_moved)


def stock_page() -> str:
    """The shelves, or the articles of one part with what happened to them."""
    return _page({}, (), _said_of(request.args.get("entered", "")))


def _said_of(key: str) -> list[Any]:
    """What the record said to the list that was entered with this key, as findings are written."""
    answer = answered(workshop_here(), key) if key else ""
    said: list[Any] = json.loads(answer).get("findings", []) if answer else []
    return said


def stock_moved() -> AnyResponse | tuple[str, int]:
    """One movement from the form; back to the article where it was entered."""
    typed = {name: request.form.get(name, "").strip() for name in _FIELDS}
    moved = take_movements(workshop_here(), json.dumps(_document(typed)).encode())
    if moved.outcome in ("entered", "replayed"):
        where = url_for("pages.stock_page", part=typed["part"], entered=typed["key"])
        return redirect(where, 303)
    return _page(typed, moved.findings), 422


_FIELDS: Final = (
    "key",
    "kind",
    "part",
    "pieces",
    "bin",
    "due_on",
    "unannounced",
    "reason",
    "by",
)


def _document(typed: dict[str, str]) -> dict[str, Any]:
    line: dict[str, Any] = {"kind": typed["kind"], "part": typed["part"]}
    line["pieces"] = int(typed["pieces"]) if _PIECES.fullmatch(typed["pieces"]) else typed["pieces"]
    line |= {name: typed[name] for name in ("bin", "due_on") if typed[name]}
    if typed["unannounced"]:
        line["announced"] = False
    return {
        "key": typed["key"],
        "by": signed_in() or typed["by"],
        "reason": typed["reason"],
        "movements": [line],
    }


def _page(typed: dict[str, str], findings: tuple[Any, ...], entered: Sequence[Any] = ()) -> str:
    part = request.args.get("part", "").strip() or typed.get("part", "") or None
    shelf = show_shelf(workshop_here(), part)
    return render_template(
        "stock.html",
        shelf=shelf,
        part=part,
        moved=history(workshop_here(), part) if part and len(shelf.lines) == 1 else (),
        kinds=KINDS,
        happened=HAPPENED,
        today=workshop_here().clock().date().isoformat(),
        typed=typed,
        said=findings,
        entered=entered,
        key=fresh_key(workshop_here()),
    )
