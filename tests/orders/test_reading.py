"""The form of an order: every fault at once, each at its place, and the rest still read."""

from __future__ import annotations

import json
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from buildsheet.orders.document import Order
from buildsheet.orders.form import FORMS
from buildsheet.orders.reading import Reading, read, read_document, read_parsed
from buildsheet.orders.text import Parsed, parse
from tests.orders.workshop import ABSENT, Document, disc_set, front_only, put


def reading(document: Document) -> Reading:
    return read(json.dumps(document).encode())


def faults(document: Document) -> dict[str, str]:
    return {each.at: each.code for each in reading(document).findings}


def test_a_faultless_order_is_read_whole():
    read_order = reading(disc_set())
    assert read_order.findings == ()
    assert read_order.order is not None
    assert read_order.order.key == ("shop-a", "D-1001", 1)
    assert read_order.order.use.system_kg == 92
    assert read_order.draft == disc_set()


def test_an_order_of_one_wheel_has_that_wheel_only():
    read_order = reading(front_only())
    assert read_order.order is not None
    assert read_order.order.rear is None


@pytest.mark.parametrize(
    ("at", "value", "code"),
    [
        ("/source", "", "order.text"),
        ("/number", "D 1001", "order.text"),
        ("/number", "x" * 41, "order.text"),
        ("/number", "../../etc", "order.text"),
        ("/revision", 0, "order.out-of-range"),
        ("/revision", 1.5, "order.wrong-type"),
        ("/revision", True, "order.wrong-type"),
        ("/kind", "pair", "order.not-a-choice"),
        ("/market", "de", "order.text"),
        ("/wanted_by", "2031-13-01", "order.date"),
        ("/wanted_by", "20. Mai", "order.text"),
        ("/edition_seen", -1, "order.out-of-range"),
        ("/use", 5, "order.wrong-type"),
        ("/use/class", 7, "order.out-of-range"),
        ("/use/rider_kg", "78", "order.wrong-type"),
        ("/use/rider_kg", 7.8, "order.out-of-range"),
        ("/use/luggage_kg", -1, "order.out-of-range"),
        ("/use/cassette", [], "order.wrong-type"),
        ("/use/tyre_system", "tube", "order.not-a-choice"),
        ("/use/salt", "yes", "order.wrong-type"),
        ("/front/rim", "or33d", "order.text"),
        ("/front/rim", {}, "order.wrong-type"),
        ("/front/holes", 7, "order.out-of-range"),
        ("/front/crossings", 2, "order.wrong-type"),
        ("/front/crossings/left", 9, "order.out-of-range"),
        ("/front/spoke/left", None, "order.wrong-type"),
        ("/finish/decal_size", "XL", "order.not-a-choice"),
        ("/note", "x" * 501, "order.text"),
    ],
)
def test_a_value_that_does_not_fit_is_refused_at_its_place(at: str, value: object, code: str):
    assert faults(put(disc_set(), {at: value})) == {at: code}


@pytest.mark.parametrize(
    "at", ["/colour", "/use/speed", "/front/driver", "/front/spoke/both", "/finish/gloss"]
)
def test_members_that_the_form_does_not_have_are_refused(at: str):
    assert faults(put(disc_set(), {at: "B"})) == {at: "order.unknown-member"}


@pytest.mark.parametrize(
    "name", ["price", "Price", "unit_price", "price_eur", "total", "currency", "discount", "vat"]
)
def test_members_about_money_are_refused_in_words_of_their_own(name: str):
    document = put(disc_set(), {f"/{name}": 1490})
    assert faults(document) == {f"/{name}": "order.price-member"}
    assert "what it costs" in reading(document).findings[0].says


@pytest.mark.parametrize("name", ["priceless", "notes", "costume"])
def test_a_word_that_only_looks_like_money_is_an_unknown_member(name: str):
    assert faults(put(disc_set(), {f"/{name}": 1})) == {f"/{name}": "order.unknown-member"}


@pytest.mark.parametrize(
    "at", ["/source", "/number", "/revision", "/kind", "/market", "/use", "/finish", "/front/rim"]
)
def test_a_missing_member_is_named(at: str):
    assert faults(put(disc_set(), {at: ABSENT})) == {at: "order.missing-member"}


def test_missing_masses_are_asked_for_together():
    document = put(disc_set(), {"/use/rider_kg": ABSENT, "/use/luggage_kg": ABSENT})
    (fault,) = reading(document).findings
    assert (fault.code, fault.at, fault.also) == (
        "load.mass-missing",
        "/use/rider_kg",
        ("/use/luggage_kg",),
    )
    assert fault.have == {"missing": ["rider_kg", "luggage_kg"]}


@pytest.mark.parametrize("at", ["/wanted_by", "/edition_seen", "/note", "/front/washer"])
def test_what_may_be_absent_may_be_null_too(at: str):
    assert faults(put(disc_set(), {at: ABSENT})) == {}
    assert faults(put(disc_set(), {at: None})) == {}


@pytest.mark.parametrize(
    ("changes", "at"),
    [
        ({"/rear": ABSENT}, "/rear"),
        ({"/rear": None}, "/rear"),
        ({"/kind": "front"}, "/rear"),
        ({"/kind": "rear"}, "/front"),
        ({"/kind": "rear", "/front": ABSENT, "/rear": ABSENT}, "/rear"),
    ],
)
def test_kind_and_wheels_must_agree(changes: dict[str, object], at: str):
    assert faults(put(disc_set(), changes)) == {at: "pair.kind"}


def test_a_wheel_that_is_no_object_is_one_fault_and_not_two():
    assert faults(put(disc_set(), {"/rear": 5})) == {"/rear": "order.wrong-type"}


def test_twenty_four_point_nought_is_a_whole_number():
    assert faults(put(disc_set(), {"/front/holes": 24.0})) == {}


def test_all_faults_come_at_once_and_the_rest_is_kept():
    document = put(
        disc_set(),
        {
            "/price": 3,
            "/kind": "pair",
            "/use/rider_kg": "heavy",
            "/front/holes": 24.5,
            "/rear/tyre": 30,
            "/finish/decal_colour": ABSENT,
        },
    )
    read_order = reading(document)
    assert {each.at: each.code for each in read_order.findings} == {
        "/price": "order.price-member",
        "/kind": "order.not-a-choice",
        "/use/rider_kg": "order.wrong-type",
        "/front/holes": "order.wrong-type",
        "/rear/tyre": "order.unknown-member",
        "/finish/decal_colour": "order.missing-member",
    }
    assert read_order.order is None
    kept = put(
        document,
        dict.fromkeys(["/price", "/kind", "/use/rider_kg", "/front/holes", "/rear/tyre"], ABSENT),
    )
    assert read_order.draft == kept


def test_reading_leaves_the_posted_document_as_it_was():
    document = put(disc_set(), {"/use/class": "1", "/price": 2})
    before = json.dumps(document)
    read_document(document)
    assert json.dumps(document) == before


def test_a_value_from_outside_is_shown_short_and_harmless():
    (fault,) = reading(put(disc_set(), {"/front/rim": "<script>" * 50})).findings
    assert len(fault.says) < 200


def test_the_model_alone_refuses_an_order_whose_wheels_do_not_suit_its_kind():
    with pytest.raises(ValidationError, match="other wheels"):
        Order.model_validate(put(disc_set(), {"/rear": ABSENT}))


def test_an_order_cannot_be_altered():
    order = reading(disc_set()).order
    assert order is not None
    with pytest.raises(ValidationError):
        order.revision = 2  # type: ignore[misc]


_PLACES = [
    "/source",
    "/number",
    "/revision",
    "/kind",
    "/wanted_by",
    "/edition_seen",
    "/use/class",
    "/use/rider_kg",
    "/use/brake",
    "/use/cassette",
    "/use/salt",
    "/front/holes",
    "/front/crossings",
    "/rear/spoke",
    "/note",
    "/nowhere",
]
_VALUES = (
    st.none()
    | st.booleans()
    | st.integers(-(10**15), 10**15)
    | st.integers(0, 60)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.integers(0, 120).map(float)
    | st.text(max_size=8)
    | st.sampled_from(
        ["set", "disc", "2031-05-01", "shop-a", "KS20", [], {}, [24], {"left": 2, "right": 2}]
    )
)


@given(st.dictionaries(st.sampled_from(_PLACES), _VALUES, max_size=3))
def test_an_order_is_the_same_read_from_its_text_and_from_its_members(
    changes: dict[str, object],
):
    parsed = parse(json.dumps(put(disc_set(), changes)).encode())
    members = read_parsed(Parsed(parsed.document, parsed.faults))
    assert read_parsed(parsed) == members


@pytest.mark.parametrize(
    ("at", "value", "wanted"),
    [
        (
            "/source",
            "Vélo-Café",
            "1 to 40 letters A to Z or a to z, digits, dots, dashes, underscores",
        ),
        ("/use/front_axle", "12\N{MULTIPLICATION SIGN}100", "written like 12x100"),
        ("/use/cassette/spline", "B/10", "a spline's name in up to 60 letters A to Z or a to z"),
        ("/front/nipple_colour", "doré", "a colour in up to 24 letters a to z"),
        ("/market", "D", "two capital letters of the country"),
    ],
)
def test_text_of_another_form_is_told_the_form(at: str, value: str, wanted: str):
    (said,) = reading(put(disc_set(), {at: value})).findings
    assert (said.code, said.at) == ("order.text", at)
    assert wanted in said.says


def test_every_form_of_the_order_has_words():
    """The document's own description is walked: a pattern without words would be told as nothing."""
    patterns = set(_patterns(Order.model_json_schema()))
    assert len(patterns) > 5
    assert patterns <= set(FORMS)


def _patterns(schema: object) -> Iterator[str]:
    if isinstance(schema, dict):
        if isinstance(schema.get("pattern"), str):
            yield schema["pattern"]
        for each in schema.values():
            yield from _patterns(each)
    elif isinstance(schema, list):
        for each in schema:
            yield from _patterns(each)
