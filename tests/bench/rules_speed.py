"""What rules cost: one verdict, all verdicts of an order, the reading of a catalog, the worst condition.

A rule that was asked about the same facts before is remembered; both are printed.
"""

from __future__ import annotations

import json
import statistics
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from time import perf_counter
from types import MappingProxyType

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from buildsheet.catalog.rules import judge as judging
from buildsheet.catalog.rules.asking import ask
from buildsheet.catalog.rules.language import Condition, condition
from buildsheet.catalog.rules.rule import Rule
from buildsheet.orders.check import check
from buildsheet.orders.posted import Posted
from tests.catalog.demo_texts import demo_texts
from tests.catalog.rules.written import rule
from tests.orders.workshop import EXAMPLES, demo, disc_set

ROUNDS = 2000
RULES = 100


def many_rules() -> tuple[Rule, ...]:
    """A hundred rules that hold for every wheel of the demo, each with its own figure."""
    return tuple(
        rule(
            id=f"rule-{n}",
            when="!wheel.straight_pull && spoke.blade_mm > 0.0",
            needs=f"spoke.blade_mm <= hub.hole_mm + {n}.0 || hub.slot_mm >= spoke.blade_mm + 0.2",
            at="spoke",
        )
        for n in range(RULES)
    )


def with_rules(edition: Edition, rules: tuple[Rule, ...]) -> Edition:
    """The edition with these rules."""
    return replace(edition, rules=MappingProxyType({each.id: each for each in rules}))


def each_us(call: Callable[[], object], rounds: int = ROUNDS) -> float:
    """The median time of one call, in microseconds."""
    times: list[float] = []
    for _ in range(rounds):
        start = perf_counter()
        call()
        times.append((perf_counter() - start) * 1e6)
    return statistics.median(times)


def main() -> None:
    """Prints all of it."""
    wheel = Posted(disc_set(), demo()).wheel("front")
    assert wheel is not None
    facts, asked = wheel.facts, many_rules()[0]

    def anew() -> None:
        judging._verdict.cache_clear()
        ask(asked, facts)

    print(f"one rule, asked anew      {each_us(anew):8.1f} us")
    print(f"one rule, asked before    {each_us(lambda: ask(asked, facts)):8.1f} us")

    def facts_anew() -> None:
        wheel.__dict__.pop("facts", None)
        assert wheel.facts is not None

    print(f"facts of one wheel        {each_us(facts_anew):8.1f} us")
    for name in ("D-1001", "D-1005"):
        raw = json.dumps(json.loads((EXAMPLES / f"{name}.json").read_text("utf-8"))).encode()
        for words, edition in (
            ("without rules", with_rules(demo(), ())),
            (f"with {RULES} rules", with_rules(demo(), many_rules())),
        ):
            took = each_us(partial(check, raw, edition), 15)
            print(f"{name}, {words:15} {took / 1e3:8.2f} ms")
    texts = demo_texts()
    print(f"reading the demo catalog  {each_us(lambda: read_catalog(texts), 15) / 1e3:8.2f} ms")
    twenty = "[" + ",".join(["1"] * 20) + "]"
    many = " || ".join(["rim.name == 'x'"] * 90)
    worst = condition(f"{twenty}.all(a, {twenty}.all(b, {many} || true))", "wheel")
    assert isinstance(worst, Condition)
    print(f"the worst condition       {each_us(lambda: worst.ask(facts), 15) / 1e3:8.2f} ms")


if __name__ == "__main__":
    main()
