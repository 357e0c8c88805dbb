"""Every fault of a posted document once, where it stands, and with as little looking as it takes."""

from __future__ import annotations

import json
from typing import Annotated, Any

import pytest
from pydantic import Field

from buildsheet.bench.document import Member
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.form import Read, read
from buildsheet.documents.kind import Kind
from buildsheet.documents.text import is_told, load, parse

LIST = Kind("a list", "data", DOCUMENT_CODES, most_members=4000)


class Entry(Member):
    name: Annotated[str, Field(min_length=1, max_length=8)]


class Listed(Member):
    entries: Annotated[tuple[Entry, ...], Field(min_length=1, max_length=5)]


def told(text: str) -> dict[str, str]:
    return {each.at: each.says for each in answer(text).findings}


def answer(text: str) -> Read[Listed]:
    return read(text.encode(), Listed, LIST)


def test_a_list_is_not_called_short_for_the_entries_that_are_at_fault():
    assert list(told('{"entries": [{"name": 1}]}')) == ["/entries/0/name"]
    assert list(told('{"entries": [NaN]}')) == ["/entries/0"]


@pytest.mark.parametrize(
    ("entries", "says", "need"),
    [
        ([], "The list has another length: at least 1 entry.", {"at_least": 1}),
        ([{"name": "a"}] * 6, "The list has another length: at most 5 entries.", {"at_most": 5}),
    ],
)
def test_a_list_of_another_length_is_told_the_limit(entries: Any, says: str, need: Any):
    (finding,) = answer(json.dumps({"entries": entries})).findings
    assert (finding.at, finding.says, finding.need) == ("/entries", says, need)


def test_what_follows_an_entry_that_cannot_be_read_is_said_where_it_stands():
    assert list(told('{"entries": [NaN, {"name": "b"}, {"name": 3}]}')) == [
        "/entries/0",
        "/entries/2/name",
    ]


def test_a_text_of_another_length_is_told_the_limit():
    assert told('{"entries": [{"name": ""}]}') == {
        "/entries/0/name": "'' has another length: at least 1 character."
    }


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("7", "Here stands a number; a list is an object."),
        ("NaN", "Here stands a number; a list is an object."),
        ("[]", "Here stands a list; a list is an object."),
        ("null", "Here stands null; a list is an object."),
    ],
)
def test_what_is_no_document_is_called_by_its_name(text: str, says: str):
    assert told(text) == {"": says}


def test_inside_what_is_told_of_nothing_more_is_said():
    text = '{"entries": [{"name": "a", "name": "b"}, {"name": NaN}, {"more": 1, "name": "c"}]}'
    assert list(told(text)) == ["/entries/0/name", "/entries/1/name", "/entries/2/more"]


class Counting(dict[str, object]):
    """What was told of; counts how often somebody looks."""

    looks = 0

    def __contains__(self, at: object) -> bool:
        self.looks += 1
        return super().__contains__(at)


def test_a_place_is_looked_up_once_for_each_of_its_levels_however_much_is_told_of():
    told_of = Counting({f"/m{place}": None for place in range(4000)})
    assert is_told("/m17/inside/deep", told_of)
    assert not is_told("/entries/0/name", told_of)
    assert told_of.looks == 3 + 3


def test_names_given_twice_are_looked_up_and_not_searched_for():
    text = "{" + '"k": 1,' * 3000 + ",".join(f'"m{place}": 1' for place in range(300)) + "}"
    loaded: Any = load(text.encode(), LIST)
    assert loaded.names == frozenset({"k"})
    assert told(text)["/k"] == "'k' stands twice; which one counts?"


def test_a_name_that_nobody_can_read_is_said_with_what_it_holds():
    assert told('{"entries": [{"name": "a"}], "\\u0007x": 1}') == {
        "": "The name '\\x07x' of a member holds the character U+0007. "
        "Leave the member out, or name it anew."
    }


@pytest.mark.parametrize("text", ["7", '{"a": NaN}', '{"a": 1, "a": 2}', '{"a": "\\ud800"}'])
def test_no_text_is_answered_with_a_crash(text: str):
    assert parse(text.encode(), LIST).faults
