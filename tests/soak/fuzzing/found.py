"""Every form that the service has: as its pages show it, and where none does, by its map of addresses."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from random import Random
from typing import Any, Final

from flask import Flask
from werkzeug.exceptions import HTTPException
from werkzeug.routing import Rule

from tests.soak.fuzzing.answers import judge_page
from tests.soak.fuzzing.fields import flat
from tests.soak.fuzzing.loop import Fault
from tests.soak.fuzzing.message import Message, Pairs, of_address
from tests.soak.fuzzing.pages import Form, walked
from tests.soak.fuzzing.posted import WHO, documents, orders
from tests.soak.fuzzing.workshop import PASSWORD, House
from tests.workshops import raw

SHORT: Final = 8
"""A form of so few fields asks for names, reasons and consent, and so may a form that no page shows."""

SYSTEMS: Final = ("/api/", "/static/", "/healthz", "/metrics")
"""Where no page is."""

COUNTS_ALL: Final = (
    *("/catalog/lengths", "/catalog/idle", "/catalog/draft/impact", "/catalog/draft/publish"),
    *("/catalog/editions/<int:number>/again", "/catalog/draft/approve"),
)
"""Pages about all that can be ordered: seconds, so each is looked at once."""

PLACES: Final[dict[str, tuple[str, ...]]] = {
    "kind": ("rims", "hubs"),
    "code": ("OR33D",),
    "name": ("few-spokes-heavy-rider",),
    "number": ("16",),
    "what": ("readings", "sign", "reissue", "newer", "gauge-check", "kit", "box"),
}
"""What stands at a place of an address, besides what the workshop says."""


class Found:
    """``known`` is field -> texts that may stand there; ``broken`` what was said of pages on the way."""

    def __init__(self, house: House) -> None:
        self._house = house
        self.known: dict[str, list[str]] = {}
        self.broken: list[str] = []
        for place, text in _known():
            for name in (place, place.rpartition(".")[2]):
                if text not in self.known.setdefault(name, []):
                    self.known[name].append(text)

    def messages(self) -> list[Message]:
        """Every form as a browser would send it; every address with a question."""
        app = self._house.app
        forms, asked = walked(self._page, self._starts(), self._page_route)
        for form in forms:
            for name, text in (*form.pairs, *form.buttons):
                self.known.setdefault(name, []).append(text)
            for name, texts in form.offered.items():
                self.known.setdefault(name, []).extend(texts)
        self.known = {name: [*dict.fromkeys(texts)] for name, texts in self.known.items()}
        found = [message for form in forms for message in self.sent(form)]
        found += [of_address(each) for each in asked]
        lacking = self.lacking(found)
        unseen = [
            rule for rule in app.url_map.iter_rules() if is_form(rule) and rule.rule in lacking
        ]
        return [*found, *(each for rule in unseen for each in self.unseen(rule, forms))]

    def lacking(self, messages: Sequence[Message]) -> list[str]:
        """Routes that take a form, and get none of these."""
        app = self._house.app
        there = {route_of(app, each.where) for each in messages if each.where.startswith("POST ")}
        return sorted(
            each.rule
            for each in app.url_map.iter_rules()
            if is_form(each) and each.rule not in there
        )

    def _page_route(self, address: str) -> str | None:
        """The route of a page; None for what is there for systems."""
        if address.startswith(SYSTEMS):
            return None
        route = route_of(self._house.app, address)
        return None if route in COUNTS_ALL and "?" in address else route

    def _page(self, address: str) -> str | None:
        answer = self._house.look(address)
        try:
            judge_page("GET", address, answer)
        except Fault as fault:
            self.broken.append(str(fault))
        return answer.text if answer.status == 200 and answer.kind == "text/html" else None

    def _starts(self) -> list[str]:
        rules = self._house.app.url_map.iter_rules()
        plain = [
            each.rule for each in rules if "GET" in (each.methods or ()) and not each.arguments
        ]
        return [*plain, *(f"/orders/{number}" for number in self._house.facts["orders"].values())]

    def sent(self, form: Form) -> Iterator[Message]:
        """As it stands, by each of its buttons."""
        path = form.action.partition("?")[0]
        where = f"{'POST' if form.method == 'post' else 'GET'} {path}"
        for pairs in form.sent():
            way = "parts" if form.files else "form"
            yield Message(where, pairs, way, files=tuple(form.files))

    def filled(self, pairs: Pairs, dice: Random | None = None) -> Pairs:
        """Empty fields filled with what may stand there; with dice some of them, with any of it."""
        if dice is None:
            return tuple((name, text or self._fill(name)) for name, text in pairs)
        share = dice.choice((0.0, 0.5, 0.9, 1.0))
        return tuple(
            (name, text or (self._any(name, dice) if dice.random() < share else ""))
            for name, text in pairs
        )

    def _fill(self, name: str) -> str:
        return next((each for each in self._texts(name) if each), "")

    def _any(self, name: str, dice: Random) -> str:
        return dice.choice(self._texts(name) or [""]) if dice.random() < 0.5 else self._fill(name)

    def _texts(self, name: str) -> Sequence[str]:
        """What may stand in a field of this name; the forms of the desk have their own spelling."""
        known = self.known
        return [each for each in known.get(name, ()) if each] or known.get(name.lstrip("_"), ())

    def unseen(self, rule: Rule, forms: Sequence[Form]) -> Iterator[Message]:
        """A form that no page shows right now: what short forms ask, at places that there are."""
        pairs: Pairs = tuple(
            {
                name: text
                for form in forms
                if len(form.pairs) <= SHORT and form.method == "post"
                for name, text in (*form.pairs, *((name, "yes") for name in form.offered))
            }.items()
        )
        for path in self._paths(rule):
            yield Message(f"POST {path}", pairs)

    def _paths(self, rule: Rule) -> list[str]:
        facts = self._house.facts
        places: dict[str, Sequence[str]] = {
            **PLACES,
            "order_id": [*facts["orders"].values()],
            "serial": facts["serials"],
        }
        if rule.rule.startswith("/w/"):
            places["code"] = [*facts["codes"].values()]
        found: list[dict[str, Any]] = [{}]
        for name in sorted(rule.arguments):
            found = [{**each, name: value} for each in found for value in places.get(name, ("x",))]
        return [_built(rule, each) for each in found]


def _built(rule: Rule, values: dict[str, Any]) -> str:
    path = rule.rule
    for name, value in values.items():
        for mark in (f"<{name}>", f"<int:{name}>"):
            path = path.replace(mark, str(value))
    return path


def is_form(rule: Rule) -> bool:
    """Whether people send something there."""
    return "POST" in (rule.methods or ()) and not rule.rule.startswith("/api/")


def route_of(app: Flask, where: str) -> str | None:
    """The route of an address, or of a method and an address, as the map of addresses names it."""
    method, _, path = where.rpartition(" ")
    try:
        found, _ = app.url_map.bind("localhost").match(
            path.partition("?")[0], method=method or "GET", return_rule=True
        )
    except HTTPException:
        return None
    return str(found.rule) if found.rule.startswith("/") else None


def _known() -> Iterator[tuple[str, str]]:
    """What examples of documents say, by the names that fields of a form have."""
    yield from WHO.items()
    for document in documents():
        yield from flat(document)
    for order in orders():
        yield "order", raw(order).decode()
    for name in ("password", "old"):
        yield name, PASSWORD
    for name in ("new", "again"):
        yield name, f"{PASSWORD} again"
    yield "file", "code,mass_g\nOR33D,390\n"
    yield "name", "A. Owner"
    yield "approver", "B. Second"
