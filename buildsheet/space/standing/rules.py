"""Rules that never speak or always speak: each asked of everything that it can be asked of.

A rule is asked of every wheel that the checks let pass, front and rear, in every colour and use. Numbers
of a use that no list spells out (masses) are tried at both ends of what an order may say and round every
number that the rule names; a rule that changes its mind in between and back is not seen to.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import Final, Literal, TypeVar

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.rules.asking import ask
from buildsheet.catalog.rules.facts import root_of
from buildsheet.catalog.rules.judge import reads
from buildsheet.catalog.rules.rule import Fact, Rule
from buildsheet.catalog.rules.wheel_facts import Facts
from buildsheet.findings import Value
from buildsheet.orders.changes import changed
from buildsheet.orders.checks.rules import beside
from buildsheet.orders.posted import Posted
from buildsheet.space.builds import POSITIONS, builds_of
from buildsheet.space.builds.planned import plans_at
from buildsheet.space.builds.seen import seen_at
from buildsheet.space.count.lists import decal_colours, use_lists, wheel_lists
from buildsheet.space.finishes import DECALS, FINISHES
from buildsheet.space.questions import BUILD, RuleAsking
from buildsheet.space.questions.rules import rule_askings
from buildsheet.space.remembered import parts_digest

Entry = TypeVar("Entry")

Said = tuple[int, dict[str, Value], Mapping[str, Fact]]
"""Members of an order by place, with their number among those that may be said instead, and facts of the
plan that go with them."""

Standing = Literal["never-asked", "never-fails", "always-fails", "never-judged"]

WORDS: Final[Mapping[Standing, str]] = {
    "never-asked": "is asked of no wheel that can be built: its condition never comes true",
    "never-fails": "holds for every wheel that can be built: it refuses nothing",
    "always-fails": "fails wherever it is asked",
    "never-judged": "can be judged nowhere: the parts do not say what it reads",
}

HEAVIEST: Final = {"/use/rider_kg": 250.0, "/use/bike_kg": 100.0, "/use/luggage_kg": 150.0}
LIGHTEST: Final = {"/use/rider_kg": 20.0, "/use/bike_kg": 3.0, "/use/luggage_kg": 0.0}
"""What an order's form allows."""

_NUMBER: Final = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True, order=True)
class RuleStanding:
    """A rule that does nothing, or too much."""

    id: str
    standing: Standing

    @property
    def says(self) -> str:
        """In words."""
        return WORDS[self.standing]


def idle_rules(edition: Edition) -> tuple[RuleStanding, ...]:
    """The rules of the edition that do nothing or too much, by id.

    Each rule is asked once for what it says and for the parts: a changed rule alone is asked again.
    """
    by_rule: dict[str, list[RuleAsking]] = {}
    for asking in rule_askings(edition):
        by_rule.setdefault(asking.rule.id, []).append(asking)
    found = {name: _of_rule(_Asked(edition, tuple(each))) for name, each in by_rule.items()}
    return tuple(RuleStanding(name, each) for name, each in sorted(found.items()) if each)


class _Asked:
    """A rule over an edition's parts, whatever the other rules and the edition's number are."""

    def __init__(self, edition: Edition, askings: tuple[RuleAsking, ...]) -> None:
        self.edition, self.askings = edition, askings
        rule = askings[0].rule
        self._key = (parts_digest(edition), rule.when, rule.needs, rule.scope)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Asked) and self._key == other._key

    def __hash__(self) -> int:
        return hash(self._key)


@lru_cache(maxsize=2048)
def _of_rule(asked: _Asked) -> Standing | None:
    seen: set[str] = set()
    for asking in asked.askings:
        for outcome in _outcomes(asking, asked.edition):
            seen.add(outcome)
            if {"fails", "holds"} <= seen:
                return None
    return _standing(frozenset(seen))


def _standing(outcomes: frozenset[str]) -> Standing | None:
    if "fails" in outcomes:
        return None if "holds" in outcomes else "always-fails"
    if "holds" in outcomes:
        return "never-fails"
    return "never-judged" if "unknown" in outcomes else "never-asked"


def _outcomes(asking: RuleAsking, edition: Edition) -> Iterator[str]:
    """The rule's verdicts on everything that it can be asked of, as they come."""
    # thousands of plans may go with a few orders, whose own facts are then looked up once
    known: dict[tuple[int, ...], tuple[Facts, ...]] = {}
    for chosen in _everything(asking, edition):
        numbers = tuple(number for number, _, _ in chosen)
        own = known.get(numbers)
        if own is None:
            own = tuple(_facts(asking, Posted(_document(asking, chosen), edition)))
            if asking.planned:
                known[numbers] = own
        planned = {name: fact for _, _, facts in chosen for name, fact in facts.items()}
        for facts in own:
            for asked in ask(asking.rule, facts.with_plain(planned) if planned else facts):
                yield asked.verdict.outcome


def _document(asking: RuleAsking, chosen: Iterable[Said]) -> dict[str, Value]:
    """The order that says this; a null member reads as absent."""
    wheels: dict[str, Value] = {position: {"rim": None} for position in _positions(asking)}
    return changed(wheels, ((at, value) for _, said, _ in chosen for at, value in said.items()))


def _facts(asking: RuleAsking, posted: Posted) -> Iterator[Facts]:
    """All that the rule may read of an order, but what is planned."""
    rule = asking.rule
    if rule.scope == "order":
        yield Facts({}, posted.facts)
        return
    wheel = posted.wheel(asking.whose or "")
    if wheel is None:
        return
    if rule.scope == "part":
        root = next((root_of(name) for name in reads(rule)), "")
        parts = (
            [each for each in (wheel.spokes.left, wheel.spokes.right) if each is not None]
            if root == "spoke"
            else [wheel.facts.parts.get(root)]
        )
        yield from (Facts({root: part}) for part in parts if part is not None)
        return
    other = posted.wheel(wheel.other)
    if rule.scope == "wheel":
        yield wheel.facts
    elif other is not None:
        yield beside(wheel.facts, other.facts)


def _everything(asking: RuleAsking, edition: Edition) -> Iterator[tuple[Said, ...]]:
    """Every different order that the rule can tell apart, with the plan's facts that it reads."""
    builds = builds_of(edition)
    lists = _lists(edition, asking.rule)
    axes: list[list[Said]] = []
    for position in POSITIONS:
        own = tuple(at for at in asking.beside if at in {f"/{position}/{each}" for each in BUILD})
        if position == asking.whose and asking.planned:
            plans = plans_at(builds[position], own, asking.planned)
            axes.append(
                [
                    (at, dict(plans.seen.different[at]), facts)
                    for at, facts in zip(plans.of_seen, plans.facts, strict=True)
                ]
            )
        elif own:
            axes.append(_numbered(seen_at(builds[position], own).different))
    axes += [_numbered({at: each} for each in lists[at]) for at in asking.beside if at in lists]
    yield from product(*map(_ends_first, axes))


def _numbered(different: Iterable[Mapping[str, Value]]) -> list[Said]:
    return [(number, dict(each), {}) for number, each in enumerate(different)]


def _ends_first(axis: Sequence[Entry]) -> list[Entry]:
    """The same from both ends inwards: where a rule changes its mind is found sooner.

    >>> _ends_first([1, 2, 3, 4, 5])
    [1, 5, 2, 4, 3]
    """
    there, back = iter(axis), reversed(axis)
    return [next(there if place % 2 == 0 else back) for place in range(len(axis))]


def _positions(asking: RuleAsking) -> tuple[str, ...]:
    if asking.rule.scope in ("set", "order"):
        return POSITIONS
    return (asking.whose,) if asking.whose else ()


def _lists(edition: Edition, rule: Rule) -> dict[str, tuple[Value, ...]]:
    lists: dict[str, tuple[Value, ...]] = dict(use_lists(edition))
    for position in POSITIONS:
        wheel = wheel_lists(edition, position)
        for member in FINISHES:
            if (at := f"/{position}/{member}") in wheel:
                lists[at] = wheel[at]
    named = [float(each) for each in _NUMBER.findall(f"{rule.when or ''} {rule.needs}")]
    for at, heaviest in HEAVIEST.items():
        lists[at] = tuple(sorted({LIGHTEST[at], heaviest, *_round(named, LIGHTEST[at], heaviest)}))
    lists[DECALS] = decal_colours(edition)
    lists["/kind"] = ("set",) if rule.scope == "set" else ("front", "rear", "set")
    return lists


def _round(named: Iterable[float], least: float, most: float) -> Iterator[float]:
    """Masses at, just under and just over what a rule names, also where it names the system's mass."""
    beside_kg = LIGHTEST["/use/bike_kg"] + LIGHTEST["/use/luggage_kg"]
    for number in named:
        for mass_kg in (number, number - beside_kg):
            yield from (
                each for each in (mass_kg - 0.5, mass_kg, mass_kg + 0.5) if least <= each <= most
            )
