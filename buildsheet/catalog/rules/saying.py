"""What a rule says when it fails: a sentence with facts in braces, ``{rim.depth_mm}``."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Final

from buildsheet.catalog.faults import plain
from buildsheet.catalog.rules.facts import declared, scopes_of
from buildsheet.catalog.rules.mending import nearest_facts
from buildsheet.catalog.rules.rule import Fact, Scope

_FACT: Final = re.compile(r"\{([^{}]*)\}")
UNKNOWN: Final = "(not known)"


@lru_cache(maxsize=4096)
def facts_in(says: str) -> frozenset[str]:
    """The facts that a sentence names.

    >>> sorted(facts_in("{rim.code} with {wheel.holes} holes"))
    ['rim.code', 'wheel.holes']
    """
    return frozenset(_FACT.findall(says))


def sentence_troubles(says: str, scope: Scope) -> Iterator[str]:
    """What is wrong with a sentence, each in words."""
    for name in _FACT.findall(says):
        if name in declared(scope):
            continue
        elsewhere = scopes_of(name)
        if elsewhere:
            yield f"{name} is a fact of scope {' and '.join(elsewhere)}, not of scope {scope}."
            continue
        near = nearest_facts(name, scope)
        yield f"no fact {plain(name) or '{}'} in scope {scope}.{_hint(near)}"
    if "{" in _FACT.sub("", says) or "}" in _FACT.sub("", says):
        yield "a brace without its partner; braces hold a fact, like {rim.code}."


def _hint(near: list[str]) -> str:
    return f" Try {' or '.join(near)}." if near else ""


def said(says: str, facts: Mapping[str, Fact]) -> str:
    """The sentence with its facts put in.

    >>> said("{rim.code} is {rim.depth_mm} mm deep", {"rim.code": "OR58D", "rim.depth_mm": 58.0})
    'OR58D is 58 mm deep'
    """
    return _FACT.sub(lambda found: in_words(facts.get(found[1])), says)


def in_words(value: Fact | None) -> str:
    """A fact in a sentence: plain numbers, never in powers of ten.

    >>> in_words(1.35e7), in_words(0.1 + 0.2), in_words((20, 24)), in_words(True)
    ('13500000', '0.3', '20, 24', 'yes')
    """
    if value is None:
        return UNKNOWN
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        text = f"{value:.{2 if abs(value) >= 10.0 else 4}f}".rstrip("0").rstrip(".")
        return "0" if text in ("-0", "") else text
    if isinstance(value, tuple):
        return ", ".join(in_words(each) for each in value) or "none"
    return str(value)
