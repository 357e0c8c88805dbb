"""What is no honest JSON is said with its place, and never crashes."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.documents import text as posted_text
from buildsheet.orders.check import check
from buildsheet.orders.text import MOST_BYTES, MOST_LEVELS, MOST_MEMBERS, parse, sift
from tests.orders.workshop import codes, demo, disc_set


def said(raw: bytes) -> dict[str, str]:
    return {at: each.code for at, each in parse(raw).faults.items()}


@pytest.mark.parametrize("raw", [b"", b"order", b"{", b'{"a": 1,}', b"{'a': 1}", b'{"a": 01}'])
def test_what_is_no_json_is_refused_with_line_and_column(raw: bytes):
    parsed = parse(raw)
    assert parsed.document is None
    assert said(raw) == {"": "order.not-json"}
    assert {"line", "column"} <= set(parsed.faults[""].have)


@pytest.mark.parametrize("raw", [b"[]", b'"order"', b"17", b"null", b"true"])
def test_json_that_is_no_object_is_refused(raw: bytes):
    assert said(raw) == {"": "order.wrong-type"}


def test_a_byte_order_mark_is_refused_as_no_json():
    assert said(b'\xef\xbb\xbf{"a": 1}') == {"": "order.not-json"}


def test_text_that_is_not_utf8_names_the_byte():
    assert said(b'{"source": "\xe4"}') == {"": "order.not-utf8"}
    assert parse(b'{"source": "\xe4"}').faults[""].have == {"byte": 12}


def test_the_largest_document_is_read_and_one_byte_more_is_not():
    assert said(b'{"a": 1}'.ljust(MOST_BYTES)) == {}
    assert said(b'{"a": 1}'.ljust(MOST_BYTES + 1)) == {"": "order.too-large"}


def test_a_megabyte_of_text_is_refused_unread():
    assert said(b'{"note": "' + b"x" * 1_000_000 + b'"}') == {"": "order.too-large"}


def test_nesting_is_counted_outside_of_texts():
    deepest = b'{"a":' * MOST_LEVELS + b'"[[[[[[[[[[[[[[[["' + b"}" * MOST_LEVELS
    assert said(deepest) == {}
    assert said(b'{"a":' + deepest + b"}") == {"": "order.too-deep"}


@pytest.mark.parametrize("raw", [b"[" * 60_000, b'{"a":' * 12_000, b'{"a":[' * 9_000])
def test_deep_nesting_never_reaches_the_parser(raw: bytes):
    assert said(raw) == {"": "order.too-deep"}


def test_a_member_given_twice_is_refused_at_its_place_and_dropped():
    parsed = parse(b'{"front": {"holes": 24, "rim": "OR33D", "holes": 28}}')
    assert {at: each.code for at, each in parsed.faults.items()} == {
        "/front/holes": "order.duplicate-member"
    }
    assert parsed.document == {"front": {"rim": "OR33D"}}


@pytest.mark.parametrize("number", ["NaN", "Infinity", "-Infinity", "1e999", "-1e999"])
def test_numbers_that_are_not_finite_are_refused(number: str):
    assert said(f'{{"use": {{"rider_kg": {number}}}}}'.encode()) == {
        "/use/rider_kg": "order.not-a-number"
    }


@pytest.mark.parametrize("digits", [16, 400, 5000, 60_000])
def test_whole_numbers_that_no_double_holds_are_refused(digits: int):
    assert said(b'{"revision": ' + b"9" * digits + b"}") == {"/revision": "order.not-a-number"}


@pytest.mark.parametrize("character", ["\u0000", "\u0007", "\u001b", "\u007f", "\u202e", "\u2028"])
def test_characters_that_nobody_can_read_are_refused(character: str):
    assert said(json.dumps({"number": f"D{character}1"}).encode()) == {"/number": "order.text"}


def test_half_a_surrogate_pair_is_refused():
    assert said(b'{"note": "\\ud83d"}') == {"/note": "order.text"}


def test_line_breaks_and_tabs_belong_in_a_note_only():
    text = "Ring before delivery.\n\tTwice.\r\n"
    assert said(json.dumps({"note": text}).encode()) == {}
    assert said(json.dumps({"number": text}).encode()) == {"/number": "order.text"}


@pytest.mark.parametrize("text", ["Grüße", "Ξένια", "доставка", "急ぎ", "<b>bold</b>", "a 🚲 ride"])
def test_text_of_any_script_and_mark_up_are_text(text: str):
    assert said(json.dumps({"note": text}, ensure_ascii=False).encode()) == {}


def test_control_characters_in_a_members_name_are_refused_where_the_object_stands():
    assert said(b'{"use": {"a\\u0000b": 1}}') == {"/use": "order.text"}


def test_a_document_with_hundreds_of_members_is_refused_in_one_finding():
    many = json.dumps({f"m{number}": 1 for number in range(MOST_MEMBERS + 1)}).encode()
    assert said(many) == {"": "order.too-large"}


def test_a_pointer_escapes_slash_and_tilde():
    assert said(b'{"a/b~c": NaN}') == {"/a~1b~0c": "order.not-a-number"}


def test_values_that_json_does_not_have_are_refused_in_a_mapping_too():
    parsed = sift({"note": b"bytes", "use": {"rider_kg": float("nan"), 5: 1}})
    assert {at: each.code for at, each in parsed.faults.items()} == {
        "/note": "order.wrong-type",
        "/use/rider_kg": "order.not-a-number",
        "/use": "order.text",
    }


def test_a_good_order_passes_whole():
    assert parse(json.dumps(disc_set()).encode()).document == disc_set()


@pytest.mark.parametrize(
    "raw", [b"", b"[" * 10_000, b'{"use": [1, {"a": NaN}]}', b'{"front": {"front": {}}}', b"{}"]
)
def test_garbage_gets_an_answer_with_findings_and_no_plan(raw: bytes):
    checked = check(raw, demo())
    assert not checked.buildable
    assert codes(checked, "block")
    assert dict(checked.plans) == {}
    assert checked.order is None


_TEXTS = st.text(st.characters(codec=None), max_size=4) | st.sampled_from(["kg", "\u202e", "a\nb"])
_SCALARS = (
    _TEXTS
    | st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.just(b"bytes")
    | st.just({1})
)
_VALUES = st.recursive(
    _SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(_TEXTS | st.just(5), inner, max_size=3)
    ),
    max_leaves=12,
)


@given(st.dictionaries(_TEXTS, _VALUES, max_size=4))
def test_the_plain_look_at_a_document_lets_through_what_the_closer_look_leaves_as_it_is(
    document: dict[str, Any],
):
    plain = sift(document)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(posted_text, "_nothing_to_drop", lambda loaded, most: False)
        closer = sift(document)
    assert plain == closer


_NUMBERS = st.sampled_from(
    [
        *("0", "-0", "1e5", "1E-400", "1e999", "-1e999", "12.50", "NaN", "-Infinity"),
        *("9" * 15, "9" * 16, "9" * 5000, "0.1234567890123456789", "123456789012345.25"),
    ]
)
_NOTES = st.text(st.sampled_from("a \n\t\r\u200c\u200d\u202e\u00a0\x00ö"), max_size=5)


@given(_NUMBERS, _NOTES, _NOTES, st.booleans())
def test_the_quick_reading_of_a_text_finds_what_the_close_one_finds(
    number: str, note: str, other: str, twice: bool
):
    members = [
        f'"a":[{number}]',
        f'"note":{json.dumps(note)}',
        f'"b":{{"note":{json.dumps(other)}}}',
    ]
    raw = f"{{{','.join(members + members[: 2 * twice])}}}".encode()
    quickly = parse(raw)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(posted_text, "quickly", lambda text: None)
        patch.setattr(posted_text, "_nothing_to_drop", lambda loaded, of: False)
        closely = parse(raw)
    assert quickly == closely


@pytest.mark.parametrize("inside", ["{%s}", "[%s]"], ids=["an object", "a list"])
def test_faults_inside_a_member_whose_name_fills_the_document_are_not_said_at_its_length(
    inside: str,
):
    member = '"m%d":NaN' if inside[0] == "{" else "NaN"
    faults = ",".join(member.replace("%d", str(place)) for place in range(380))
    parsed = parse(f'{{"note":"x","{"n" * 50_000}":{inside % faults}}}'.encode())
    assert parsed.document == {"note": "x"}
    assert [(each.code, each.at) for each in parsed.faults.values()] == [("order.text", "")]
    assert len(parsed.faults[""].says) < 200
