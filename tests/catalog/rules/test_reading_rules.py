"""Rule files are read whole, or refused with every fault; examples are run at every reading."""

from __future__ import annotations

import json
from typing import Any

import pytest

from buildsheet.catalog.digest import digest
from buildsheet.catalog.reading import read_catalog
from buildsheet.findings import Change
from tests.catalog.demo_texts import demo_edition, demo_texts
from tests.catalog.rules.written import FILE, SOUND, edition_with, fault_of, faults_of, read, toml


def test_a_sound_rule_is_in_the_edition_by_its_id():
    edition = edition_with(toml(id="b-last"), toml(id="a-first", until=18))
    assert [*edition.rules] == ["a-first", "b-last"]
    first = edition.rules["a-first"]
    assert (first.code, first.scope, first.when, first.until) == (
        "rule.a-first",
        "wheel",
        None,
        18,
    )
    assert first.asked_in(18)
    assert not first.asked_in(19)


def test_rules_of_several_files_are_one_list():
    texts = {**demo_texts(), "rules/more.toml": toml(id="more-of-it")}
    edition, faults = read_catalog(texts)
    assert edition is not None, faults
    assert {"more-of-it", *demo_edition().rules} == set(edition.rules)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("needs", "rim.depth_mm <= 51.0"),
        ("severity", "approval"),
        ("says", "Too deep."),
        ("until", 20),
        ("accepts", [{"rim": "OR30G"}]),
    ],
)
def test_whatever_a_rule_says_is_in_the_digest(key: str, value: Any):
    assert edition_with(toml()).digest != edition_with(toml(**{key: value})).digest


def test_a_catalog_without_rules_has_the_digest_of_its_parts():
    edition, _ = read()
    assert edition is not None
    kinds = ("rims", "hubs", "spokes", "nipples", "washers", "drivers", "end_caps", "decals")
    tables = {kind: getattr(edition, kind) for kind in (*kinds, "programs")}
    assert edition.digest == digest({"house": edition.house, **tables})


@pytest.mark.parametrize("key", sorted({*SOUND} - {"id"}))
def test_a_key_that_is_left_out_is_told(key: str):
    fault = fault_of(**{key: None})
    assert (fault.code, fault.at) == ("data.missing-key", f"/{FILE}/tried/{key}")


def test_a_rule_without_an_id_is_told_by_its_row():
    faults = faults_of(toml(), toml(id=None))
    assert [(each.code, each.at) for each in faults] == [("data.missing-key", f"/{FILE}/rule/1/id")]


@pytest.mark.parametrize(
    ("keys", "code", "at"),
    [
        ({"id": "Not A Code"}, "data.wrong-form", f"/{FILE}/Not A Code/id"),
        ({"scope": "wheels"}, "data.unknown-word", f"/{FILE}/tried/scope"),
        ({"severity": "warning"}, "data.unknown-word", f"/{FILE}/tried/severity"),
        ({"reason": " "}, "data.wrong-form", f"/{FILE}/tried/reason"),
        ({"source": ""}, "data.wrong-form", f"/{FILE}/tried/source"),
        ({"owner": "two\nlines"}, "data.wrong-form", f"/{FILE}/tried/owner"),
        ({"needs": 5}, "data.wrong-type", f"/{FILE}/tried/needs"),
        ({"accepts": []}, "data.wrong-count", f"/{FILE}/tried/accepts"),
        ({"refuses": []}, "data.wrong-count", f"/{FILE}/tried/refuses"),
        ({"accepts": [{"rim": "OR33D"}] * 21}, "data.wrong-count", f"/{FILE}/tried/accepts"),
        ({"until": 0}, "data.out-of-range", f"/{FILE}/tried/until"),
        ({"priority": 5}, "data.unknown-key", f"/{FILE}/tried/priority"),
        ({"at": "rims"}, "data.unknown-word", f"/{FILE}/tried/at"),
        ({"at": "other.rim"}, "data.unknown-word", f"/{FILE}/tried/at"),
        ({"at": "use/rider_kg"}, "data.unknown-word", f"/{FILE}/tried/at"),
    ],
)
def test_a_key_out_of_form_is_told_at_its_place(keys: dict[str, Any], code: str, at: str):
    fault = fault_of(**keys)
    assert (fault.code, fault.at) == (code, at)


def test_a_place_that_was_meant_is_offered():
    assert fault_of(at="nipples").try_ == (Change(f"/{FILE}/tried/at", ("nipple",)),)


def test_one_id_in_two_files_is_told_with_the_first():
    texts = {**demo_texts(), "rules/a.toml": toml(), "rules/b.toml": toml()}
    edition, (fault,) = read_catalog(texts)
    assert edition is None
    assert (fault.code, fault.at) == ("data.duplicate", "/rules/b.toml/tried")
    assert fault.also == ("/rules/a.toml/tried",)


@pytest.mark.parametrize(
    ("text", "code", "at"),
    [
        ("rule = 5", "data.wrong-type", f"/{FILE}/rule"),
        ("rule = [1, 2]", "data.wrong-type", f"/{FILE}/rule"),
        ("[rules]\nid = 'x'", "data.unknown-key", f"/{FILE}/rules"),
        ("[[rule]", "data.syntax", f"/{FILE}"),
    ],
)
def test_a_file_of_another_form_is_refused(text: str, code: str, at: str):
    (fault,) = faults_of(text)
    assert (fault.code, fault.at) == (code, at)


PART = {"scope": "part", "at": "spoke", "says": "{spoke.code}", "accepts": [{"spoke": "SJ18"}]}


def test_a_part_rule_reads_one_kind_and_points_at_it():
    sound = {**PART, "needs": "spoke.thickness_mm > 1.5", "refuses": [{"spoke": "SJ15"}]}
    assert "tried" in edition_with(toml(**sound)).rules
    mixed = fault_of(**{**sound, "needs": "spoke.thickness_mm > hub.hole_mm"})
    assert mixed.says.endswith(
        "a rule of scope part reads one kind of part; this one reads hub and spoke together."
    )
    elsewhere = fault_of(**{**sound, "at": "hub"})
    assert (elsewhere.code, elsewhere.need) == ("data.unknown-word", {"enum": ["spoke"]})


EXAMPLES = [
    (
        {"accepts": [{"rim": "OR33D"}, {"rim": "OR58D"}]},
        "accepts/1",
        "accepts, row 2: the rule refuses this example: Rim OR58D is 58 mm deep.",
    ),
    (
        {"refuses": [{"rim": "OR33D"}]},
        "refuses/0",
        "refuses, row 1: the rule lets this example through: it holds for it.",
    ),
    (
        {"when": "use.class == 1", "refuses": [{"rim": "OR58D", "use.class": 2}]},
        "refuses/0",
        "refuses, row 1: the rule lets this example through: it is not asked of it.",
    ),
    (
        {"accepts": [{"hub": "KF2"}]},
        "accepts/0",
        "accepts, row 1: this example cannot be judged: rim.depth_mm is not known. "
        "Give what is missing in the example.",
    ),
    (
        {"needs": "1 / 0 == 1 || rim.depth_mm <= 50.0"},
        "refuses/0",
        "refuses, row 1: this example cannot be judged: divide by zero. "
        "Give what is missing in the example.",
    ),
    (
        {"accepts": [{"rim": "OR33"}]},
        "accepts/0/rim",
        'accepts, row 1, rim: the catalog has no rim "OR33". Try OR33D.',
    ),
    (
        {"accepts": [{"rim.depth_mm": "33"}]},
        "accepts/0/rim.depth_mm",
        'accepts, row 1, rim.depth_mm: found "33"; rim.depth_mm is a number.',
    ),
    (
        {"accepts": [{"rim": "OR33D", "rider": 80}]},
        "accepts/0/rider",
        "accepts, row 1, rider: neither a member of scope wheel nor one of its facts.",
    ),
    (
        {"accepts": [{"rim": "OR33D", "other.rim": "OR33D"}]},
        "accepts/0/other.rim",
        "accepts, row 1, other.rim: neither a member of scope wheel nor one of its facts.",
    ),
]


@pytest.mark.parametrize(("keys", "at", "says"), EXAMPLES, ids=[at for _, at, _ in EXAMPLES])
def test_an_example_that_comes_out_otherwise_is_told(keys: dict[str, Any], at: str, says: str):
    fault = fault_of(**keys)
    assert fault.at == f"/{FILE}/tried/{at}"
    assert fault.says.startswith(f"{FILE} [tried] {says}")


def test_an_example_names_parts_by_code_and_facts_by_value():
    sound = toml(
        needs="rim.depth_mm <= 50.0 || use.system_kg >= 60.0",
        accepts=[{"rim": "OR58D", "use": {"rider_kg": 55.0, "bike_kg": 8, "luggage_kg": 0.0}}],
        refuses=[{"rim.depth_mm": 51.0, "use.system_kg": 50.0}],
    )
    assert "tried" in edition_with(sound).rules


def test_figures_of_an_example_go_before_those_of_its_part():
    assert "tried" in edition_with(toml(refuses=[{"rim": "OR33D", "rim.depth_mm": 60.0}])).rules


def test_an_example_of_unequal_spokes_is_refused_where_one_side_is():
    sided = {
        "needs": "spoke.thickness_mm > 1.0",
        "at": "spoke",
        "says": "{spoke.code}",
        "accepts": [{"spoke": "SJ18"}],
        "refuses": [{"left_spoke": "SJ18", "right_spoke": "SJB9"}],
    }
    assert "tried" in edition_with(toml(**sided)).rules
    (fault,) = faults_of(toml(**{**sided, "accepts": sided["refuses"]}))
    assert fault.says.endswith("the rule refuses this example: SJB9")


def test_an_example_with_a_part_that_is_at_fault_itself_is_not_complained_about():
    rims = demo_texts()["parts/rims.toml"].replace("depth_mm = 58.0", "depth_mm = 580.0")
    edition, faults = read_catalog({**demo_texts(), "parts/rims.toml": rims, FILE: toml()})
    assert edition is None
    assert {each.at for each in faults} == {"/parts/rims.toml/OR58D/depth_mm"}


def test_an_example_speaks_of_both_wheels_of_a_set():
    keys = {
        "scope": "set",
        "needs": "rim.depth_mm <= other.rim.depth_mm && wheel.holes <= other.wheel.holes",
        "accepts": [{"rim": "OR33D", "holes": 24, "other.rim": "OR58D", "other.holes": 28}],
        "refuses": [{"rim": "OR33D", "holes": 28, "other": {"rim": "OR58D", "holes": 24}}],
    }
    assert "tried" in edition_with(toml(**keys)).rules


@pytest.mark.parametrize(
    "value", ["1979-05-27", "[[1]]", "99999999999999999999", "inf", "[nan]", "[1979-05-27]"]
)
def test_a_value_that_no_fact_can_have_is_one_fault(value: str):
    text = toml().replace('accepts = [{ "rim" = "OR33D" }]', f"accepts = [{{ rim = {value} }}]")
    (fault,) = faults_of(text)
    assert (fault.code, fault.at) == ("data.wrong-type", f"/{FILE}/tried/accepts/0/rim")
    assert "a number, a text, true or false, or a list of them" in fault.says


def test_the_demo_has_a_rule_of_every_scope():
    rules = demo_edition().rules.values()
    assert {each.scope for each in rules} == {"part", "wheel", "set", "order"}
    marks = ("read", "second-hand", "memory", "no source", "proposal")
    assert all(each.source.endswith(marks) for each in rules), "every source says how sure it is"


HOSTILE_KEYS = {
    "an example that goes deep": "accepts = [{ rim = { a = { b = { c = { d = { e = 1 } } } } } }]",
    "an example of tables": "accepts = [{ rim = [{ a = 1 }] }]",
    "an example without a name": 'accepts = [{ "" = 1 }]',
    "an example that is no table": "accepts = [1, 2]",
    "an empty example": "accepts = [{}]",
    "a long name of a fact": f'accepts = [{{ "{"k" * 5000}" = 1 }}]',
    "a list as a condition": 'needs = ["true"]',
    "a table as a sentence": "says = { rim = 1 }",
    "a sentence of braces": f'says = "{"{" * 200}"',
    "a sentence of odd characters": 'says = "\\u2028 {rim.code}"',
    "a key with a pointer in it": '"a/b~c" = 1',
    "a date": "until = 2031-01-01",
    "a number without end": "until = 1e400",
}


@pytest.mark.parametrize("line", HOSTILE_KEYS.values(), ids=HOSTILE_KEYS.keys())
def test_a_hostile_key_of_a_rule_is_refused_with_faults_that_can_be_shown(line: str):
    key = line.split(" = ", 1)[0]
    kept = [each for each in toml().splitlines() if not each.startswith(f"{key} =")]
    faults = faults_of("\n".join([*kept, line]))
    for fault in faults:
        assert fault.at.startswith(f"/{FILE}")
        assert json.dumps(fault.as_json(), allow_nan=False)
        assert len(fault.says) < 1000
        assert "\n" not in fault.says


def test_the_same_faults_come_in_the_same_order():
    texts = [toml(id=name, needs="rim.nothing == 1", at="nowhere") for name in ("b", "a", "c")]
    first, second = faults_of(*texts), faults_of(*texts)
    assert first == second
    assert [each.at for each in first] == sorted(each.at for each in first)
