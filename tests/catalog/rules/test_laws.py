"""What holds for every condition that somebody may write: it answers, and it invents nothing."""

from __future__ import annotations

import operator
from collections.abc import Callable
from dataclasses import dataclass

from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.rules.judge import judge, reads
from buildsheet.catalog.rules.language import Condition, condition
from buildsheet.catalog.rules.mending import explained
from buildsheet.catalog.rules.rule import Fact
from tests.catalog.rules.written import rule

NUMBERS = ("rim.depth_mm", "hub.hole_mm", "use.rider_kg")
FLAGS = ("wheel.radial", "rim.tubeless")
COMPARED: dict[str, Callable[[float, float], bool]] = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
    "==": operator.eq,
    "!=": operator.ne,
}


@dataclass(frozen=True)
class Tree:
    """A condition with its meaning in Python: true, false, or None where that is not known."""

    text: str
    means: Callable[[dict[str, Fact]], bool | None]
    depth: int = 1


def compared(name: str, sign: str, number: float) -> Tree:
    def means(facts: dict[str, Fact]) -> bool | None:
        value = facts.get(name)
        return COMPARED[sign](value, number) if isinstance(value, float) else None

    return Tree(f"{name} {sign} {number!r}", means)


def flag(name: str) -> Tree:
    def means(facts: dict[str, Fact]) -> bool | None:
        value = facts.get(name)
        return value if isinstance(value, bool) else None

    return Tree(name, means)


def negated(inner: Tree) -> Tree:
    def means(facts: dict[str, Fact]) -> bool | None:
        value = inner.means(facts)
        return None if value is None else not value

    return Tree(f"!({inner.text})", means, inner.depth + 1)


def joined(sign: str, left: Tree, right: Tree) -> Tree:
    settles = sign == "||"

    def means(facts: dict[str, Fact]) -> bool | None:
        values = (left.means(facts), right.means(facts))
        if settles in values:
            return settles
        return None if None in values else not settles

    return Tree(f"({left.text}) {sign} ({right.text})", means, max(left.depth, right.depth) + 1)


def chosen(asked: Tree, one: Tree, other: Tree) -> Tree:
    def means(facts: dict[str, Fact]) -> bool | None:
        value = asked.means(facts)
        return None if value is None else (one if value else other).means(facts)

    depth = max(asked.depth, one.depth, other.depth) + 1
    return Tree(f"({asked.text}) ? ({one.text}) : ({other.text})", means, depth)


values = st.sampled_from([-1.0, 0.0, 0.5, 2.5, 33.0, 1e6])
leaves = st.one_of(
    st.builds(compared, st.sampled_from(NUMBERS), st.sampled_from([*COMPARED]), values),
    st.builds(flag, st.sampled_from(FLAGS)),
)
trees = st.recursive(
    leaves,
    lambda inner: st.one_of(
        st.builds(negated, inner),
        st.builds(joined, st.sampled_from(["&&", "||"]), inner, inner),
        st.builds(chosen, inner, inner, inner),
    ),
    max_leaves=6,
)
facts_known = st.fixed_dictionaries(
    {}, optional={**dict.fromkeys(NUMBERS, values), **dict.fromkeys(FLAGS, st.booleans())}
)


@settings(max_examples=300)
@given(tree=trees, facts=facts_known)
def test_a_condition_answers_as_logic_does_and_what_logic_cannot_settle_is_unknown(
    tree: Tree, facts: dict[str, Fact]
):
    found = condition(tree.text, "wheel")
    assert isinstance(found, Condition), tree.text
    assert found.ask(facts).holds is tree.means(facts)


@settings(max_examples=300)
@given(when=trees, needs=trees, facts=facts_known)
def test_a_rule_holds_only_where_nothing_that_is_missing_could_make_it_fail(
    when: Tree, needs: Tree, facts: dict[str, Fact]
):
    verdict = judge(rule(when=when.text, needs=needs.text), facts)
    asked, held = when.means(facts), needs.means(facts)
    if asked is False:
        assert verdict.outcome == "not-asked"
    elif held is True:
        assert verdict.outcome == "holds"
    elif asked is True and held is False:
        assert verdict.outcome == "fails"
    else:
        assert verdict.outcome == "unknown"
        assert verdict.missing
        assert not set(verdict.missing) & facts.keys()


@settings(max_examples=200)
@given(tree=trees, facts=facts_known, more=facts_known)
def test_only_what_a_rule_reads_can_change_its_verdict(
    tree: Tree, facts: dict[str, Fact], more: dict[str, Fact]
):
    asked = rule(needs=tree.text)
    outside = {name: value for name, value in more.items() if name not in reads(asked)}
    assert judge(asked, {**facts, **outside}) == judge(asked, facts)


SCRAPS = (
    *NUMBERS,
    *FLAGS,
    *"rim.holes hub.drivers rim.name rim hub h x 24 2.5 'a' true null && || ! == < <= + - * / % ? : "
    "( ) [ ] , . in .exists(h, .all(x, size( double( int( map( has( dyn( // \n \" ' \\ é".split(
        " "
    ),
)


@settings(max_examples=500)
@given(scraps=st.lists(st.sampled_from(SCRAPS), max_size=14), facts=facts_known)
def test_scraps_of_a_condition_are_refused_or_answered_but_never_crash(
    scraps: list[str], facts: dict[str, Fact]
):
    text = " ".join(scraps)
    found = condition(text, "wheel")
    if isinstance(found, Condition):
        outcome = found.ask(facts)
        assert (outcome.holds is None) == bool(outcome.why)
        return
    assert found
    for each in explained(text, "wheel", found):
        assert each.says
        assert "\n" not in each.says
        if each.mended is not None:
            assert each.mended != text


@settings(max_examples=200)
@given(text=st.text(max_size=80))
def test_any_text_at_all_is_refused_or_answered(text: str):
    found = condition(text, "wheel")
    if isinstance(found, Condition):
        found.ask({})
    else:
        assert all(each.says for each in explained(text, "wheel", found))
