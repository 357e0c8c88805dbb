"""Forms are found on pages and in the map of addresses; what a form may never do is named."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any, Final

import pytest
from flask import Flask, Response, redirect, request
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.actions.workshop import Workshop
from tests.soak.fuzzing.fields import ODD, shortened
from tests.soak.fuzzing.forms import Forms
from tests.soak.fuzzing.found import Found, is_form
from tests.soak.fuzzing.loop import Fault, Input
from tests.soak.fuzzing.message import BOUNDARY, WAYS, Message, message_of, written
from tests.soak.fuzzing.pages import Page
from tests.soak.fuzzing.workshop import House, made

FORM: Final = """
<a href="/orders/new?kind=set#top">New</a>
<form method="post" action="/stock">
  <input name="part" value="A&amp;B"><input type="hidden" name="key" value="k">
  <input type="checkbox" name="sure" value="yes"><input type="radio" name="side" value="left" checked>
  <select name="kind"><option value="received">came in</option><option>counted</option></select>
  <textarea name="reason">
because</textarea>
  <button name="deed" value="ask">Ask</button><button name="deed" value="do">Do</button>
</form>
<form enctype="multipart/form-data" method="post"><input type="file" name="file"></form>
"""


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    path = tmp_path_factory.mktemp("forms") / "template.db"
    return path, made(path)


def broken() -> str:
    raise RuntimeError("planted")


def leading_to(place: str) -> Deed:
    return lambda _: Response("", 303, {"Location": place})


Deed = Callable[[Workshop], Any]
Sending = Callable[[Deed], Forms]


@pytest.fixture
def sending(template: tuple[Path, dict[str, Any]], tmp_path: Path) -> Iterator[Sending]:
    """The forms of an application with one page, whose form does what a test says."""
    houses: list[House] = []

    def forms(deed: Deed) -> Forms:
        def application(workshop: Workshop) -> Flask:
            app = Flask("planted")
            app.get("/stock")(lambda: FORM)
            app.get("/broken", endpoint="broken")(broken)
            app.post("/stock", endpoint="moved")(lambda: deed(workshop))
            return app

        houses.append(House(*template, tmp_path, application))
        return Forms(houses[-1])

    yield forms
    for each in houses:
        each.close()


def fault_of(forms: Forms, message: Message | None = None) -> str:
    with pytest.raises(Fault) as told:
        forms.ask((message or Message("POST /stock", (("part", "A"),))).input())
    return str(told.value)


def test_a_page_is_read_for_links_and_for_what_a_browser_would_send():
    page = Page(FORM, "/stock")
    assert page.links == ["/orders/new?kind=set#top"]
    first, second = page.forms
    pairs = (
        *(("part", "A&B"), ("key", "k"), ("side", "left"), ("kind", "received")),
        ("reason", "because"),
    )
    assert first.sent() == [(*pairs, ("deed", "ask")), (*pairs, ("deed", "do"))]
    assert first.offered == {"sure": ["yes"], "side": ["left"], "kind": ["received", "counted"]}
    assert (second.action, second.files) == ("/stock", ["file"])


def test_a_sound_form_has_no_fault(sending: Sending):
    forms = sending(lambda _: redirect("/stock", 303))
    told = forms.ask(Message("POST /stock", (("part", "A"),)).input())
    assert told.accepted


def test_a_form_that_breaks_is_named(sending: Sending):
    assert fault_of(sending(lambda _: broken())).startswith("500 for POST /stock")


def test_a_form_that_stores_and_says_it_did_not_is_named(sending: Sending):
    def half(workshop: Workshop) -> tuple[str, int]:
        with workshop.database.writing() as section:
            section.run("update stock_levels set bin = bin || 'x'")
        return "<p>Not understood", 422

    assert fault_of(sending(half)) == "422 for POST /stock and the file has changed"


def test_a_page_that_shows_what_was_typed_as_code_is_named(sending: Sending):
    forms = sending(lambda _: f"<p>No part {request.form['part']}")
    typed = next(each for each in ODD if each.startswith("<script"))
    said = fault_of(forms, Message("POST /stock", (("part", typed),)))
    assert said == "what was typed is code in the page of POST /stock"


def test_a_form_that_leads_elsewhere_is_named(sending: Sending):
    for place in ("https://elsewhere.example/", "//elsewhere.example", "http://localhost.example/"):
        assert "leads to another site" in fault_of(sending(leading_to(place)))


def test_what_was_stored_and_cannot_be_shown_is_named(sending: Sending):
    forms = sending(lambda _: redirect("/broken", 303))
    assert fault_of(forms).startswith("500 for GET /broken")


def test_a_page_that_is_broken_before_anything_is_sent_is_named(sending: Sending):
    with pytest.raises(Fault, match="500 for GET /broken"):
        sending(lambda _: "").rest()


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site", "Origin": "http://localhost"},
        {"Origin": "https://localhost"},
        {"Origin": "null"},
    ],
)
def test_a_form_that_another_sites_page_can_send_is_named(
    sending: Sending, headers: dict[str, str]
):
    forms = sending(lambda _: redirect("/stock", 303))
    message = Message("POST /stock", headers=headers)
    assert fault_of(forms, message) == "another site's page is answered 303 by POST /stock"


@pytest.mark.parametrize("visitor", ["nobody", "stranger", "builder", "intake"])
def test_a_form_that_somebody_may_not_send_and_can_is_named(sending: Sending, visitor: str):
    forms = sending(lambda _: redirect("/stock", 303))
    who = "nobody" if visitor == "stranger" else visitor
    said = fault_of(forms, Message("POST /stock", visitor=visitor))
    assert said == f"{who} is answered 303 by POST /stock"


def test_who_is_sent_to_sign_in_is_turned_away(sending: Sending):
    forms = sending(lambda _: redirect("/sign-in?next=/stock", 303))
    forms.ask(Message("POST /stock", visitor="nobody").input())


def test_a_form_that_no_page_shows_is_sent_all_the_same(
    template: tuple[Path, dict[str, Any]], tmp_path: Path
):
    def application(workshop: Workshop) -> Flask:
        app = Flask("planted")
        app.get("/stock")(lambda: FORM)
        app.post("/stock", endpoint="moved")(lambda: "")
        app.post("/orders/<order_id>/new-deed", endpoint="deed")(lambda order_id: "")
        app.post("/of/<uuid:nobody>", endpoint="none")(lambda nobody: "")
        return app

    house = House(*template, tmp_path, application)
    forms = Forms(house)
    wheres = {each.where for each in forms.seeds()}
    numbers = house.facts["orders"].values()
    assert {f"POST /orders/{number}/new-deed" for number in numbers} <= wheres
    sent = {forms.next(Random(n), forms.seeds()).where for n in range(300)}
    assert any(each.endswith("/new-deed") for each in sent)
    with pytest.raises(Fault, match="nobody sends the form of /of/<uuid:nobody>"):
        forms.rest()
    house.close()


def test_every_form_of_the_service_can_be_sent(
    template: tuple[Path, dict[str, Any]], tmp_path: Path
):
    """Also where no page shows it: what stands at the places of its address is known."""
    house = House(*template, tmp_path)
    found = Found(house)
    rules = [each for each in house.app.url_map.iter_rules() if is_form(each)]
    sent = [message for rule in rules for message in found.unseen(rule, ())]
    assert found.lacking(sent) == []
    assert {"/stock", "/orders/new", "/w/<code>/<what>"} <= {each.rule for each in rules}
    house.close()


@given(
    pairs=st.lists(st.tuples(st.text(), st.text())).map(tuple),
    way=st.sampled_from(sorted(WAYS)),
    damage=st.none() | st.integers(0, 10**6),
    visitor=st.sampled_from(["owner", "nobody"]),
)
def test_a_message_that_is_kept_is_sent_again_as_it_was(
    pairs: tuple[tuple[str, str], ...], way: str, damage: int | None, visitor: str
):
    message = Message("POST /stock", pairs, way, None, damage, {"Origin": "null"}, {}, visitor)
    kept = message.input()
    again = message_of(Input(kept.where, kept.body))
    assert again == message
    assert again.body() == message.body()


@given(pairs=st.lists(st.tuples(st.text(), st.text())).map(tuple), most=st.integers(0, 500))
def test_what_is_shortened_fits(pairs: tuple[tuple[str, str], ...], most: int):
    kept = shortened(pairs, most)
    assert pairs[: len(kept)] == kept
    if all(each.isascii() for pair in pairs for each in pair):
        assert len(written(kept)) <= most


def test_files_and_fields_are_packed_in_parts():
    data, kind = Message("POST /x", (("a", "1"), ("f", "2")), "parts", files=("f",)).body()
    assert kind.endswith(BOUNDARY)
    assert data.count(b"filename=") == 1


def test_an_empty_field_is_filled_by_its_name_however_the_desk_spells_it(sending: Sending):
    found = sending(lambda _: "")._found
    filled = dict(found.filled((("_reason", ""), ("reason", "mine"), ("nobody-knows", ""))))
    assert filled["_reason"] != ""
    assert (filled["reason"], filled["nobody-knows"]) == ("mine", "")
