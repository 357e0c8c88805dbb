"""A condition that cannot be understood is refused with the place, the nearest names and a way out."""

from __future__ import annotations

import pytest

from buildsheet.findings import Change
from tests.catalog.rules.written import FILE, fault_of, faults_of, toml

NEEDS = f"/{FILE}/tried/needs"


def told(expression: str, **keys: object) -> str:
    """What is said of a condition, with its caret below."""
    fault = fault_of(needs=expression, **keys)
    assert fault.code == "data.rule-expression"
    says = fault.says.removeprefix(f"{FILE} [tried] needs: ")
    return f"{says}\n{fault.have['caret']}" if "caret" in fault.have else says


def test_a_name_that_is_no_fact_is_told_with_the_nearest_ones():
    assert told("rim.hole == 24 || true") == (
        "line 1, column 1: no fact rim.hole in scope wheel. Try rim.holes or rim.code.\n"
        "rim.hole == 24 || true\n"
        "^"
    )


def test_a_name_in_a_later_line_is_told_with_its_line():
    assert told("rim.depth_mm > 3.0 &&\n  hub.slots_mm > 0.0") == (
        "line 2, column 3: no fact hub.slots_mm in scope wheel. Try hub.slot_mm.\n"
        "  hub.slots_mm > 0.0\n"
        "  ^"
    )


def test_a_fact_of_another_part_with_that_ending_is_among_the_nearest():
    assert told("rim.hole_mm > 2.0").splitlines()[0] == (
        "line 1, column 1: no fact rim.hole_mm in scope wheel. "
        "Try rim.holes or hub.hole_mm or rim.valve_hole_mm."
    )


def test_a_bare_name_is_looked_for_in_the_wheel_first():
    assert "Try wheel.holes" in told("holes == 24").replace("rim.holes or ", "")


def test_a_fact_of_another_scope_says_so():
    assert told("rim.brake == other.rim.brake") == (
        "line 1, column 14: other.rim.brake is a fact of scope set, not of scope wheel.\n"
        "rim.brake == other.rim.brake\n"
        "             ^"
    )


def test_a_whole_number_beside_a_number_is_told_with_the_mended_condition():
    fault = fault_of(needs="rim.depth_mm <= 50")
    assert fault.says == (
        f"{FILE} [tried] needs: line 1, column 14: <= stands between a number and a whole number, "
        "which CEL never mixes. Try rim.depth_mm <= 50.0"
    )
    assert fault.have["caret"] == "rim.depth_mm <= 50\n             ^"
    assert fault.at == NEEDS
    assert fault.try_ == (Change(NEEDS, ("rim.depth_mm <= 50.0",)),)


@pytest.mark.parametrize(
    ("written", "mended"),
    [
        ("rim.depth_mm > -3", "rim.depth_mm > -3.0"),
        ("wheel.holes * 2.5 > 60.0", "double(wheel.holes) * 2.5 > 60.0"),
        ("(wheel.holes + 4) * 2.5 > 60.0", "double(wheel.holes + 4) * 2.5 > 60.0"),
        ("rim.mass_g > 100 * wheel.holes", "rim.mass_g > 100.0 * double(wheel.holes)"),
        ("wheel.holes + 2 * 2.5 > 3", "double(wheel.holes) + 2.0 * 2.5 > 3.0"),
        ("2.5 * size(rim.holes) > 3.0", "2.5 * double(size(rim.holes)) > 3.0"),
        ("rim.holes[0] < 24.5", "double(rim.holes[0]) < 24.5"),
        ("rim.depth_mm in [33, 45.0] || true", None),
        ("rim.depth_mm in [33, 45]", "rim.depth_mm in [33.0, 45.0]"),
        ("use.system_kg < 90 && rim.depth_mm > 3", "use.system_kg < 90.0 && rim.depth_mm > 3.0"),
        ("rim.nothing > 2 && rim.depth_mm > 3", "rim.nothing > 2 && rim.depth_mm > 3.0"),
        ("use.class == 'a'", None),
    ],
)
def test_a_mended_condition_has_every_number_set_right(written: str, mended: str | None):
    faults = faults_of(toml(needs=written))
    offered = {each.try_[0].values[0] for each in faults if each.try_}
    assert offered == ({mended} if mended else set())


def test_text_beside_a_number_is_told_in_words():
    assert told('rim.depth_mm == "50"') == (
        "line 1, column 14: == does not go with a number and a text.\n"
        'rim.depth_mm == "50"\n'
        "             ^"
    )


def test_a_half_written_condition_ends_too_soon():
    assert told("rim.depth_mm <=") == (
        "line 1, column 16: not a CEL expression: it ends too soon.\n"
        "rim.depth_mm <=\n"
        "               ^"
    )


def test_a_sign_out_of_place_is_pointed_at():
    assert told("rim.depth_mm <= ) 5.0") == (
        "line 1, column 17: not a CEL expression: ) is out of place.\n"
        "rim.depth_mm <= ) 5.0\n"
        "                ^"
    )


def test_a_condition_that_is_a_number_is_none():
    assert told("rim.depth_mm") == "its answer is double; a rule's is true or false."


def test_an_unknown_function_is_told_with_the_known_ones():
    assert told("round(rim.depth_mm) == 3").splitlines()[0] == (
        "line 1, column 1: no function round; there are all, contains, double, endsWith, exists, "
        "exists_one, in, int, size, startsWith."
    )


def test_a_long_line_is_cut_around_its_caret():
    long = " && ".join(["rim.depth_mm > 3.0"] * 20)
    _, shown, caret = told(f"{long} && rim.dept > 3.0 && {long}").splitlines()
    assert len(shown) == 80
    assert shown[caret.index("^") :].startswith("rim.dept > 3.0")


def test_every_trouble_of_both_conditions_is_told_at_once():
    faults = faults_of(toml(when="rim.a == 1 || rim.b == 1", needs="hub.c", at="nowhere"))
    assert [each.at.rsplit("/", 1)[1] for each in faults] == ["needs", "when", "when"]


@pytest.mark.parametrize(
    ("says", "told_of_it"),
    [
        ("Rim {rim.cod}.", "no fact rim.cod in scope wheel. Try rim.code."),
        ("Rim {}.", "no fact {} in scope wheel."),
        ("{other.rim.code}.", "other.rim.code is a fact of scope set, not of scope wheel."),
        ("Rim {rim.code.", "a brace without its partner; braces hold a fact, like {rim.code}."),
        ("Rim }{rim.code}.", "a brace without its partner; braces hold a fact, like {rim.code}."),
    ],
)
def test_a_sentence_names_facts_of_its_scope(says: str, told_of_it: str):
    fault = fault_of(says=says)
    assert (fault.code, fault.at) == ("data.rule-expression", f"/{FILE}/tried/says")
    assert fault.says == f"{FILE} [tried] says: {told_of_it}"
