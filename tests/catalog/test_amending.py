"""An edit changes what it names, and every other character of the files stays."""

from __future__ import annotations

import tomllib
from difflib import ndiff
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildsheet.catalog.amending.amend import amended
from buildsheet.catalog.amending.edits import (
    DropPart,
    DropRule,
    Edit,
    PutHouse,
    PutPart,
    PutRule,
    as_document,
    read_edits,
)
from buildsheet.catalog.amending.tables import (
    tables_in,
    with_rule,
    with_table,
    without_rule,
    without_table,
)
from buildsheet.catalog.reading import read_catalog
from buildsheet.findings import Value
from tests.catalog.demo_texts import demo_texts

PARTS = """\
# head

[A]
x = 1.0  # about x
rows = [
    { a = 1 },  # a row
]

# about B
[B]
y = 2

# about C
[C]
z = 3
"""

RULES = """\
# about a
[[rule]]
id = "a"
# inside a
needs = "true"

# about b
[[rule]]
id = "b"
needs = "true"
"""


def changed_lines(before: str, after: str) -> list[str]:
    lines = ndiff(before.splitlines(), after.splitlines())
    return [line for line in lines if line[0] in "+-"]


def test_a_value_changes_and_its_comment_stays():
    after = with_table(PARTS, "A", {"x": 2, "rows": [{"a": 1}]})
    assert changed_lines(PARTS, after) == ["- x = 1.0  # about x", "+ x = 2.0  # about x"]


def test_a_new_key_stands_with_its_table_and_not_under_the_next_ones_comment():
    after = with_table(PARTS, "A", {"x": 1.0, "rows": [{"a": 1}], "new": "n"})
    assert changed_lines(PARTS, after) == ['+ new = "n"']
    assert after.index("new") < after.index("# about B")


def test_a_table_that_goes_leaves_the_next_ones_comment():
    after = without_table(PARTS, "B")
    assert "# about C\n[C]" in after
    assert list(tomllib.loads(after)) == ["A", "C"]


def test_a_new_table_comes_last_one_blank_line_apart():
    assert with_table(PARTS, "D", {"w": 4}) == PARTS + "\n[D]\nw = 4\n"
    assert with_table("", "D", {"w": 4}) == "[D]\nw = 4\n"


def test_a_part_written_in_one_line_stays_in_one_line():
    text = 'A-B = { name = "n", size = 1 }  # why\n'
    after = with_table(text, "A-B", {"name": "n", "size": 1, "state": "ended"})
    assert after == 'A-B = { name = "n", size = 1, state = "ended" }  # why\n'
    assert with_table(text, "C", {"q": True}) == text + "C = {q = true}\n"


def test_rules_keep_their_comments_when_one_is_written_or_goes():
    after = with_rule(RULES, "b", {"needs": "false"})
    assert changed_lines(RULES, after) == ['- needs = "true"', '+ needs = "false"']
    after = without_rule(RULES, "a")
    assert "# about b\n[[rule]]" in after
    assert [each["id"] for each in tomllib.loads(after)["rule"]] == ["b"]
    assert with_rule(without_rule(after, "b"), "c", {}).endswith('[[rule]]\nid = "c"\n')


PLAIN = (
    st.text(max_size=8)
    | st.booleans()
    | st.integers(-(2**60), 2**60)
    | st.floats(allow_nan=False, allow_infinity=False)
)
WORDS = st.text(min_size=1, max_size=6)
ANY = st.recursive(
    PLAIN,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=6,
)


@given(st.dictionaries(WORDS, ANY, max_size=4), st.sampled_from(["A", "B", "NEW", "N.1"]))
def test_whatever_json_holds_can_be_written_and_read_back(values: dict[str, Any], name: str):
    after = tables_in(with_table(PARTS, name, values))
    assert after[name] == values
    untouched = tables_in(PARTS)
    untouched.pop(name, None)
    assert {each: after[each] for each in untouched} == untouched


@given(st.dictionaries(WORDS.filter(lambda word: word != "id"), ANY, max_size=4))
def test_whatever_json_holds_can_be_a_rule(values: dict[str, Any]):
    rules = tomllib.loads(with_rule(RULES, "a", values))["rule"]
    assert rules[0] == {"id": "a", **values}
    assert rules[1] == tomllib.loads(RULES)["rule"][1]


def test_edits_are_made_all_or_none():
    texts = demo_texts()
    edits = (PutPart("OR33D", values={"spoke_limit_n": 1200.0}), DropPart("OR99"))
    after, findings = amended(texts, edits)
    assert after == texts
    assert [(each.code, each.at) for each in findings] == [("data.edit-nowhere", "/1/drop_part")]


def test_one_edit_of_the_demo_catalog_changes_one_line():
    texts = demo_texts()
    after, findings = amended(texts, (PutPart("OR33D", values={"spoke_limit_n": 1200}),))
    assert not findings
    assert [name for name in texts if texts[name] != after[name]] == ["parts/rims.toml"]
    lines = changed_lines(texts["parts/rims.toml"], after["parts/rims.toml"])
    assert lines == ["- spoke_limit_n = 1250.0", "+ spoke_limit_n = 1200.0"]


def test_a_dotted_key_reaches_into_a_table_and_null_takes_a_key_out():
    edits = (
        PutPart(
            "OR33D", values={"section.radius_mm": 303.0, "track_mm": None, "valve_hole_mm": None}
        ),
        PutHouse("tension.gauge_error", 0.04),
    )
    edition, findings = read_catalog(amended(demo_texts(), edits)[0])
    assert edition is not None, findings
    rim = edition.rims["OR33D"]
    assert rim.section is not None
    assert (rim.section.radius_mm, rim.valve_hole_mm) == (303.0, None)
    assert rim.section.torsion_nm2 == 120.0
    assert edition.house.tension.gauge_error == 0.04


def test_a_copy_leaves_the_proof_of_the_original_behind():
    edits = (PutPart("OR50D", clone_of="OR45D", values={"name": "Ondrel 50 D"}),)
    edition, findings = read_catalog(amended(demo_texts(), edits)[0])
    assert edition is not None, findings
    copy, original = edition.rims["OR50D"], edition.rims["OR45D"]
    assert (copy.state, copy.evidence, copy.seat_measured_mm) == ("draft", None, None)
    assert original.evidence is not None
    assert copy.spoke_limit_n == original.spoke_limit_n


@pytest.mark.parametrize(
    ("edit", "code", "at", "says"),
    [
        (DropPart("OR3D"), "data.edit-nowhere", "/0/drop_part", "Try OR33D"),
        (PutPart("NEW", values={"name": "x"}), "data.edit-nowhere", "/0/part", "needs its kind"),
        (PutPart("NEW", "rimz"), "data.edit-form", "/0/kind", "Try rims"),
        (PutPart("a b", "rims"), "data.edit-form", "/0/part", "no code"),
        (PutPart("X", "rims", clone_of="OR1"), "data.edit-nowhere", "/0/clone_of", "no OR1"),
        (PutPart("OR45D", clone_of="OR33D"), "data.edit-form", "/0/part", "there already"),
        (DropRule("none-such"), "data.edit-nowhere", "/0/drop_rule", "no rule none-such"),
        (PutRule("a", subject="../x"), "data.edit-form", "/0/subject", "names no file"),
        (PutHouse("tensoin.gauge_error", 1), "data.edit-nowhere", "/0/house", "no table tensoin"),
        (PutPart("OR33D", values={"name": "\ud800"}), "data.edit-form", "/0", "UTF-8"),
    ],
)
def test_an_edit_that_cannot_be_made_says_where_and_what_to_try(
    edit: Edit, code: str, at: str, says: str
):
    (finding,) = amended(demo_texts(), (edit,))[1]
    assert (finding.code, finding.at) == (code, at)
    assert says in finding.says


def test_an_edit_of_a_file_that_is_no_toml_says_so():
    texts = {**demo_texts(), "parts/rims.toml": "[OR33D\n"}
    (finding,) = amended(texts, (PutPart("OR33D", "rims", {"name": "x"}),))[1]
    assert finding.code == "data.edit-nowhere"
    assert "no TOML" in finding.says


@pytest.mark.parametrize(
    "edit",
    [
        PutPart("OR33D", values={"a": 1}),
        PutPart("OR33D", "rims", {"a": [1]}, whole=True),
        PutPart("OR50D", "rims", {"a": None}, clone_of="OR45D"),
        DropPart("OR33D"),
        DropPart("OR33D", "rims"),
        PutRule("a", {"says": "b"}, subject="hubs"),
        PutRule("a", {"says": "b"}, whole=True),
        DropRule("a"),
        PutHouse("tension.gauge_error", None),
    ],
)
def test_an_edit_is_read_back_as_it_is_written(edit: Edit):
    assert read_edits([as_document(edit)]) == ((edit,), ())


@pytest.mark.parametrize(
    ("document", "at", "says"),
    [
        ({}, "", "a list of edits"),
        ([], "", "a list of edits"),
        ([1], "/0", "a table is wanted"),
        ([{}], "/0", "exactly one"),
        ([{"part": "A", "rule": "b", "set": {}}], "/0", "has part, rule"),
        ([{"part": "A"}], "/0", "changes nothing"),
        ([{"part": "A", "sett": {}}], "/0/sett", "Try set."),
        (
            [{"part": "A", "subject": "rims", "set": {}}],
            "/0/subject",
            "Try kind: the stem of a part",
        ),
        ([{"drop_part": "A", "subject": "rims"}], "/0/subject", "Try kind:"),
        ([{"rule": "a", "kind": "desk", "set": {}}], "/0/kind", "Try subject:"),
        ([{"house": "a.b", "set": 1}], "/0/set", "Try value:"),
        ([{"part": "A", "value": 1}], "/0/value", "Try set:"),
        ([{"part": 1, "set": {}}], "/0/part", "a word is wanted"),
        ([{"part": "A", "set": []}], "/0/set", "a table of keys"),
        ([{"part": "A", "set": {}, "values": {}}], "/0", "set and values"),
        ([{"part": "A", "clone_of": "B", "values": {}}], "/0", "clone_of and values"),
        ([{"house": "a.b"}], "/0", "has no value"),
        ([{"drop_rule": "a"}] * 501, "", "at most 500"),
    ],
)
def test_a_list_of_edits_that_is_none_says_what_is_wanted(document: object, at: str, says: str):
    edits, findings = read_edits(document)
    assert edits == ()
    assert (findings[0].code, findings[0].at) == ("data.edit-form", at)
    assert says in findings[0].says


def test_no_word_is_offered_that_the_edit_has_already():
    edit = {"part": "A", "kind": "rims", "subject": "rims", "sett": {}, "set": {}}
    _, findings = read_edits([edit])
    assert [each.at for each in findings] == ["/0/subject", "/0/sett"]
    assert not any("Try" in each.says for each in findings)


def test_many_whole_parts_at_once_come_out_as_one_after_the_other():
    texts = {"parts/washers.toml": PARTS, "parts/drivers.toml": ""}
    edits: list[Edit] = [
        PutPart("A", "washers", {"x": 2.0}, whole=True),
        PutPart("D", "washers", {"x": 3.0, "s.t": 1}, whole=True),
        PutPart("E", "washers", {"x": 4.0}, whole=True),
        PutPart("E", "drivers", {"x": 5.0}, whole=True),
        PutPart("A", "washers", {"x": 6.0}, whole=True),
        PutPart("B", "washers", {"y": 7}),
    ]
    together, trouble = amended(texts, edits)
    assert trouble == ()
    one_by_one = texts
    for edit in edits:
        one_by_one, trouble = amended(one_by_one, [edit])
        assert trouble == ()
    assert together == one_by_one
    assert tables_in(together["parts/washers.toml"])["D"] == {"x": 3.0, "s": {"t": 1}}


def test_of_many_parts_each_code_that_is_none_is_told_at_its_place():
    codes = ("A", "b c", "D", "", "E")
    edits = [PutPart(code, "washers", {"x": 1}, whole=True) for code in codes]
    texts, trouble = amended({"parts/washers.toml": ""}, edits)
    assert [each.at for each in trouble] == ["/1/part", "/3/part"]
    assert texts == {"parts/washers.toml": ""}


def test_a_list_that_holds_null_is_told_at_its_edit_and_nothing_is_made():
    texts = {"parts/washers.toml": PARTS, "rules/desk.toml": RULES, "house.toml": ""}
    edits: list[Edit] = [
        PutPart("D", "washers", {"x": [1.0]}, whole=True),
        PutPart("E", "washers", {"x": [1.0, None]}, whole=True),
        PutPart("A", values={"s.t": [[None]]}),
        PutRule("a", {"refuses": [{"u": [None]}]}),
        PutHouse("y", {"z": [None]}),
        PutPart("B", values={"x": None}),
    ]
    after, trouble = amended(texts, edits)
    assert [(each.code, each.at) for each in trouble] == [
        ("data.edit-form", f"/{place}") for place in (1, 2, 3, 4)
    ]
    assert after == texts


@pytest.mark.parametrize("number", [float("inf"), float("-inf"), float("nan")])
def test_a_number_beyond_any_figure_is_told_at_its_edit_and_nothing_is_made(number: float):
    texts = demo_texts()
    edits: list[Edit] = [
        PutHouse("tension.gauge_error", 0.03),
        PutPart("OR33D", values={"evidence": [{"x": number}]}),
    ]
    done, found = amended(texts, edits)
    assert done == texts
    assert [(each.code, each.at) for each in found] == [("data.edit-form", "/1")]
    assert "larger than any figure" in found[0].says


def test_a_list_of_thousands_is_written_in_one_go_and_read_back():
    numbers: list[Value] = [0.5, *range(3000)]
    text = with_table(
        "", "OR33D", {"a": numbers, "b": [], "c": [[1], ["x", '\u00fc"'], [{"d": 1.0}]]}
    )
    table = tables_in(text)["OR33D"]
    assert table["a"] == numbers
    assert (table["b"], table["c"]) == ([], [[1], ["x", '\u00fc"'], [{"d": 1.0}]])
