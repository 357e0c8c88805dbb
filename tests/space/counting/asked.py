"""The synthetic catalog as a space: every rule compiled, asked, and made a factor."""

from __future__ import annotations

from collections.abc import Sequence

from buildsheet.catalog.rules.language import Condition, condition
from buildsheet.space.counting import Choice, Factor, condition_factor
from buildsheet.space.counting.conditions import Combination
from tests.space.counting.synthetic import Synthetic


def choices_of(catalog: Synthetic) -> list[Choice]:
    return [Choice(name, len(values)) for name, values in catalog.values.items()]


def factors_of(catalog: Synthetic) -> list[Factor]:
    return [factor_of(catalog, compiled(rule)) for rule in catalog.rules]


def compiled(rule: str) -> Condition:
    found = condition(rule, "wheel")
    if not isinstance(found, Condition):
        raise TypeError(f"{rule}: {[trouble.says for trouble in found]}")
    return found


def factor_of(catalog: Synthetic, rule: Condition) -> Factor:
    """Over the choices whose facts the rule reads."""
    facts: dict[str, list[str]] = {}
    for fact in sorted(rule.reads):
        facts.setdefault(catalog.home[fact], []).append(fact)
    columns = {
        choice: [tuple(value[fact] for fact in read) for value in catalog.values[choice]]
        for choice, read in facts.items()
    }
    names: Sequence[str] = [fact for read in facts.values() for fact in read]

    def ask(combination: Combination) -> bool:
        given = [fact for read in combination for fact in read]
        answer = rule.ask(dict(zip(names, given, strict=True)))  # type: ignore[arg-type]
        if answer.holds is None:
            raise AssertionError(answer.why)
        return answer.holds

    return condition_factor(tuple(facts), columns, ask)
