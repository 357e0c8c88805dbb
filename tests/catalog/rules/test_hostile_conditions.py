"""No condition hangs or crashes: it is refused when written, or its answer is bounded."""

from __future__ import annotations

import pytest

from buildsheet.catalog.rules.judge import judge
from buildsheet.catalog.rules.language import Condition, condition
from buildsheet.catalog.rules.rule import LONGEST_EXPRESSION, Fact, Rule
from tests.catalog.rules.written import FILE, faults_of, rule, toml

FIFTY = "[" + ",".join(["1"] * 50) + "]"
TWENTY = "[" + ",".join(["1"] * 20) + "]"

REFUSED = {
    "a text that doubles at every step": "['aaaaaaaa']" + ".map(x,x+x)" * 60 + ".size()==1",
    "texts joined": "'a' + 'b' == 'ab'",
    "lists joined": "[1] + [2] == [1, 2]",
    "a list filtered": "rim.holes.filter(h, h > 20).size() == 1",
    "a regular expression": "rim.name.matches('(a*)*')",
    "a regular expression in a loop": f"{FIFTY}.all(a, rim.name.matches('(x?x?)*y'))",
    "three loops": f"{TWENTY}.all(a, {TWENTY}.all(b, {TWENTY}.all(c, a == b || b == c)))",
    "two loops over long lists": f"{FIFTY}.all(a, {FIFTY}.all(b, a == b))",
    "a long list": "wheel.holes in [" + ",".join(["1"] * 51) + "]",
    "brackets in brackets": "(" * 990 + "true" + ")" * 990,
    "lists in lists": "[" * 990 + "]" * 990 + " == []",
    "a chain of sums": "+".join(["1"] * 990) + " == 1",
    "a chain of keys": "rim" + ".a" * 900 + " == 1",
    "a chain of indexes": "rim.holes" + "[0]" * 600 + " == 1",
    "too long": "true || " * 300 + "true",
    "a null": "[null][0] == null",
    "a null answer": "true ? null : google.protobuf.BoolValue{value: true}",
    "a message": "google.protobuf.BoolValue{value: true}",
    "no type": "dyn(1) == 'a'",
    "a type": "type(wheel.holes) == int",
    "a moment": "timestamp('2031-01-01T00:00:00Z') < timestamp('2032-01-01T00:00:00Z')",
    "bytes": "b'a' == b'a'  && bytes('a') == b'a'",
    "a question whether a fact is there": "has(rim.holes)",
    "a lone surrogate": "rim.name == '\ud800'",
    "a control character": "rim.name == '\x00'",
    "a number of twenty digits": "wheel.holes == 99999999999999999999",
    "nothing": "",
    "blanks": "   ",
    "a remark": "// all is well",
    "an unfinished text": "rim.name == 'a",
    "another language": "import os; os.abort()",
    "a backtick": "`rim.name` == 'a'",
}
"""Never let in."""

BOUNDED = {
    "no answer: divided by nothing": ("1 / 0 == 1", "unknown"),
    "no answer: remainder of nothing": ("wheel.holes % (wheel.holes - 24) == 0", "unknown"),
    "no answer: a number too large": ("9223372036854775807 + wheel.holes > 1", "unknown"),
    "no answer: no such place": ("rim.holes[99] == 1", "unknown"),
    "no answer: no whole number": ("int(1.0e300) == 1", "unknown"),
    "two loops": (f"{TWENTY}.all(a, {TWENTY}.all(b, a == b))", "holds"),
    "one long loop": (f"{FIFTY}.all(a, a == 1)", "holds"),
    "minus a thousand times": ("-" * 1000 + "1 == 1", "holds"),
    "not a thousand times": ("!" * 1000 + "true", "holds"),
    "a hundred alternatives": (" || ".join(["wheel.holes == 20"] * 90), "fails"),
    "more than every number": ("1.0e999 > rim.depth_mm", "holds"),
    "a fact shadowed in a loop": ("[1, 2].all(rim, rim > 0) && rim.depth_mm > 0.0", "holds"),
    "a fact with blanks in it": ("rim . depth_mm > 0.0", "holds"),
    "a remark at the end": ("true // wheel.nothing", "holds"),
    "everything is well": ("true", "holds"),
}
FACTS: dict[str, Fact] = {
    "wheel.holes": 24,
    "rim.depth_mm": 33.0,
    "rim.holes": (20, 24),
    "rim.name": "x" * 60,
}


@pytest.mark.parametrize("text", REFUSED.values(), ids=REFUSED.keys())
def test_a_hostile_condition_is_refused_when_it_is_written(text: str):
    assert not isinstance(condition(text, "wheel"), Condition)


@pytest.mark.parametrize("text", REFUSED.values(), ids=REFUSED.keys())
def test_a_refused_condition_that_comes_in_all_the_same_is_never_passed(text: str):
    unsound = rule().model_copy(update={"needs": text})
    assert judge(unsound, FACTS).outcome == "unknown"


@pytest.mark.parametrize(("text", "outcome"), BOUNDED.values(), ids=BOUNDED.keys())
def test_what_is_let_in_has_an_answer(text: str, outcome: str):
    verdict = judge(rule(needs=text), FACTS)
    assert verdict.outcome == outcome
    assert bool(verdict.why) == (outcome == "unknown")


def test_a_fact_as_long_as_a_file_ends_the_loop_and_not_the_service():
    loop = "rim.holes.all(a, rim.holes.all(b, a == b))"
    verdict = judge(rule(needs=loop), {"rim.holes": (24,) * 2000})
    assert (verdict.outcome, verdict.why) == ("unknown", "it takes more than 10,000 steps")


def test_ten_thousand_answers_that_are_errors_leave_the_process_whole():
    broken = rule(needs="rim.holes[wheel.holes] == 1")
    outcomes = {judge(broken, {**FACTS, "wheel.holes": each}).outcome for each in range(2, 10_000)}
    assert outcomes == {"unknown"}


def test_a_condition_longer_than_allowed_is_told_its_length():
    (fault,) = faults_of(toml(needs="true || " * 300 + "true"))
    assert fault.at == f"/{FILE}/tried/needs"
    assert str(LONGEST_EXPRESSION) in fault.says


def test_five_hundred_rules_are_the_most():
    texts = [toml(id=f"rule-{each}") for each in range(501)]
    (fault,) = faults_of(*texts)
    assert (fault.code, fault.at) == ("data.wrong-count", f"/{FILE}/rule-500")


def test_a_rule_is_a_value_that_nothing_changes():
    assert isinstance(rule(), Rule)
    with pytest.raises(ValueError, match="frozen"):
        rule().needs = "true"  # type: ignore[misc]
