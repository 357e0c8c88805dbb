"""Every code that can be said is listed, speaks for some order, and is never said two ways."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from buildsheet.orders.codes import CODES, found
from tests.orders.speaking import OTHER_SEVERITIES, SPEAKING, Speaking
from tests.orders.workshop import answer

ORDERS = Path(__file__).parents[2] / "buildsheet" / "orders"

FAMILIES = {"fit", "lacing", "length", "tension", "load", "tyre", "finish", "pair", "order", "data"}

SPOKEN_ELSEWHERE = {"lacing.valve-gap"}
"""A proof of the lacing map itself, which lacing never fails: `test_limits` makes such a map by hand."""


@pytest.mark.parametrize("code", sorted(SPEAKING))
def test_an_order_makes_the_code_speak(code: str):
    assert _says(SPEAKING[code], code)


@pytest.mark.parametrize(("code", "severity"), sorted(OTHER_SEVERITIES))
def test_an_order_makes_the_code_speak_with_its_other_severity(code: str, severity: str):
    speaking = OTHER_SEVERITIES[code, severity]
    assert speaking.severity == severity
    assert _says(speaking, code)


def _says(speaking: Speaking, code: str) -> bool:
    checked = answer(speaking.order(), speaking.edition())
    said = [(each.code, each.severity, each.at) for each in checked.findings]
    assert (code, speaking.severity, speaking.at) in said, said
    return True


def test_every_listed_code_and_severity_is_made_to_speak():
    spoken = {(code, each.severity) for code, each in SPEAKING.items()} | set(OTHER_SEVERITIES)
    listed = {(code, severity) for code, each in CODES.items() for severity in each.severities}
    assert {pair for pair in listed - spoken if pair[0] not in SPOKEN_ELSEWHERE} == set()
    assert spoken - listed == set()


def slugs_of_documents() -> set[str]:
    """What the reading of any document can complain of; orders put their family before it."""
    tree = ast.parse((ORDERS.parent / "documents" / "text.py").read_text("utf-8"))
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    first = [node.args[0] for node in calls if getattr(node.func, "attr", "") == "fault"]
    first += [node.args[1] for node in calls if getattr(node.func, "id", "") == "_unreadable"]
    return {
        node.value
        for node in first
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def test_every_code_in_the_program_is_listed():
    written = {
        argument.value
        for path in ORDERS.rglob("*.py")
        if path.parent.name != "codes"
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call)
        for argument in node.args[:1]
        if isinstance(argument, ast.Constant)
        and isinstance(argument.value, str)
        and argument.value.partition(".")[0] in FAMILIES
        and "." in argument.value
    }
    written |= {f"order.{slug}" for slug in slugs_of_documents()}
    assert written - set(CODES) == set()
    assert set(CODES) - written <= {"load.use-class", "load.spoke-class"}, "these two share a line"


def test_codes_are_words_of_the_ten_families():
    assert {code.partition(".")[0] for code in CODES} == FAMILIES
    assert all(code == each.code for code, each in CODES.items())


def test_every_code_has_a_sentence_a_reason_and_a_source():
    for each in CODES.values():
        assert each.says.endswith(".")
        assert each.reason.endswith(".")
        assert each.source
        assert each.severities


def test_a_severity_that_is_not_listed_is_a_mistake_of_the_program():
    with pytest.raises(ValueError, match="listed as"):
        found("fit.hole-count", "note", "/front/hub", "no", edition=1)
