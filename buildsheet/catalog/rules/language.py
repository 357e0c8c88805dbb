"""Conditions in CEL, the open Common Expression Language: compiled with types, or every trouble in them.

The only importer of the CEL library. What a condition may use is a list of allowed functions, so that
no condition can grow without bounds: no joining of texts and lists (twenty doublings exhaust a
machine), hence no ``map`` and ``filter``; no regular expressions (a loop over one took seconds, seen);
no ``dyn``, ``null`` results or messages (the library can abort the process on a null result, seen).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise
from math import isfinite
from typing import Final

from cel_expr_python import cel

from buildsheet.catalog.rules.facts import FactType, declared
from buildsheet.catalog.rules.references import Reference, references
from buildsheet.catalog.rules.rule import LONGEST_EXPRESSION, Fact, Scope
from buildsheet.catalog.rules.tokens import Token, longest_list, tokens

ALLOWED: Final = frozenset(
    "equals not_equals logical_and logical_or logical_not not_strictly_false conditional "
    "less_int64 less_double less_string less_equals_int64 less_equals_double less_equals_string "
    "greater_int64 greater_double greater_string greater_equals_int64 greater_equals_double "
    "greater_equals_string add_int64 add_double subtract_int64 subtract_double multiply_int64 "
    "multiply_double divide_int64 divide_double modulo_int64 negate_int64 negate_double "
    "int64_to_double double_to_double double_to_int64 int64_to_int64 size_list list_size size_string "
    "string_size in_list index_list contains_string starts_with_string ends_with_string".split()
)
"""The library's own names for what a condition may use."""

FUNCTIONS: Final = "all contains double endsWith exists exists_one in int size startsWith".split()
"""The same for people, beside the signs + - * / % == != < <= > >= && || ! ? : [ ]."""

LOOPS: Final = frozenset({"all", "exists", "exists_one"})
MOST_LOOPS: Final = 2
LONGEST_LIST: Final = 50
LONGEST_LIST_IN_LOOPS: Final = 20
"""Where a loop may stand in a loop: 400 steps, where the library's own bound is 10 000."""

_TROUBLE = re.compile(r"ERROR: [^\n:]*:(-?\d+):(-?\d+): ([^\n]*)")
INSTEAD: Final[Mapping[str, str]] = {
    "has": "a fact that is missing blocks by itself; leave has() out",
    "map": "a rule builds no lists; say exists, all or exists_one",
    "filter": "a rule builds no lists; say exists, all or exists_one",
    "matches": "a rule searches no patterns; say startsWith, endsWith, contains or ==",
    "null": "null is no value; a fact that is missing is simply absent",
}


@dataclass(frozen=True, slots=True)
class Trouble:
    """One thing that keeps an expression from being a condition. ``place`` is in characters from 0,
    None for the expression as a whole."""

    place: int | None
    says: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a condition answers: ``holds`` None where it cannot be judged, then ``why`` says why."""

    holds: bool | None
    why: str = ""


class Condition:
    """A compiled condition. ``reads`` are the facts it names."""

    def __init__(self, expression: cel.Expression, reads: frozenset[str]) -> None:
        self._expression = expression
        self.reads = reads

    def ask(self, facts: Mapping[str, Fact]) -> Outcome:
        """Its answer on these facts. Never raises: what goes wrong is an answer too."""
        data = {name: _given(facts[name]) for name in self.reads if _known(facts.get(name))}
        try:
            result = self._expression.eval(data=data)
            if result.type() == cel.Type.BOOL:
                return Outcome(bool(result.value()))
            # an error is a value here too, and a text that counts as true: only its type tells
            return Outcome(None, _reason(str(result.value())))
        except (RuntimeError, TypeError, ValueError, OverflowError) as error:
            return Outcome(None, _reason(str(error)))


def _known(value: Fact | None) -> bool:
    return value is not None and not (isinstance(value, float) and not isfinite(value))


def _given(value: Fact) -> object:
    return list(value) if isinstance(value, tuple) else value


def _reason(message: str) -> str:
    if "No value with name" in message:
        found = re.search(r'"([^"]*)"', message)
        return f"{found[1] if found else 'a fact'} is not known"
    if "budget" in message:
        return "it takes more than 10,000 steps"
    words = re.sub(r"^[A-Z_]+: ", "", message).split(" [", 1)[0].split("\n", 1)[0]
    return words[:120] or "it has no answer"


@lru_cache(maxsize=4096)
def condition(text: str, scope: Scope) -> Condition | tuple[Trouble, ...]:
    """The expression as a condition over the scope's facts, or everything that is wrong with it."""
    early = tuple(_before(text))
    if early:
        return early
    try:
        expression = _environment(scope).compile(text)
    except (RuntimeError, TypeError, ValueError) as error:
        return tuple(_said(text, str(error)))
    kind = expression.return_type()
    if kind != cel.Type.BOOL:
        says = f"its answer is {kind.name().lower()}; a rule's is true or false."
        return (Trouble(None, says),)
    named = references(expression.serialize())
    late = tuple(_after(text, named, declared(scope)))
    if late:
        return late
    reads = frozenset(each.name for each in named if each.name in declared(scope))
    return Condition(expression, reads)


@cache
def _environment(scope: Scope) -> cel.Env:
    return cel.NewEnv(variables={name: _TYPES[kind] for name, kind in declared(scope).items()})


_TYPES: Final[Mapping[FactType, cel.Type]] = {
    "bool": cel.Type.BOOL,
    "int": cel.Type.INT,
    "double": cel.Type.DOUBLE,
    "string": cel.Type.STRING,
    "list(int)": cel.Type.List(cel.Type.INT),
    "list(double)": cel.Type.List(cel.Type.DOUBLE),
    "list(string)": cel.Type.List(cel.Type.STRING),
}


def _before(text: str) -> Iterator[Trouble]:
    """What is refused before the library sees it."""
    if len(text) > LONGEST_EXPRESSION:
        yield Trouble(None, f"{len(text)} characters; allowed are {LONGEST_EXPRESSION}.")
        return
    odd = next((at for at, each in enumerate(text) if _is_odd(each)), None)
    if odd is not None:
        yield Trouble(odd, f"the character {ord(text[odd]):#06x} has no place in an expression.")
        return
    words = tokens(text)
    for word in words:
        if word.kind == "name" and word.text in ("has", "null"):
            yield Trouble(word.start, f"{INSTEAD[word.text]}.")
    loops = list(_loops(words))
    if len(loops) > MOST_LOOPS:
        says = f"{len(loops)} loops (all, exists, exists_one); allowed are {MOST_LOOPS}."
        yield Trouble(loops[MOST_LOOPS], says)
    longest, allowed = longest_list(words), LONGEST_LIST
    if len(loops) > 1:
        allowed = LONGEST_LIST_IN_LOOPS
    if longest > allowed:
        beside = " beside two loops" if len(loops) > 1 else ""
        yield Trouble(None, f"a list of {longest}; allowed are {allowed}{beside}.")


def _is_odd(character: str) -> bool:
    return not character.isprintable() and character not in "\n\t"


def _loops(words: tuple[Token, ...]) -> Iterator[int]:
    for word, following in pairwise(words):
        if word.kind == "name" and following.text == "(" and word.text.split(".")[-1] in LOOPS:
            yield word.start


def _said(text: str, message: str) -> Iterator[Trouble]:
    """The library's own complaints, with their places in characters."""
    found = False
    for line, column, said in _TROUBLE.findall(message):
        found = True
        place = _place(text, int(line), int(column))
        words = said.removesuffix(" [INVALID_ARGUMENT]")
        yield Trouble(place, "too deep or too long." if "recursion" in words else words)
        if place is None or words.startswith("Syntax error"):
            return  # whatever follows is about a sentence that nobody wrote
    if not found:
        yield Trouble(None, "too deep." if "recursion" in message else f"{_reason(message)}.")


def _place(text: str, line: int, column: int) -> int | None:
    lines = text.split("\n")
    if not 1 <= line <= len(lines):
        return None
    return sum(len(each) + 1 for each in lines[: line - 1]) + max(0, column - 1)


def _after(
    text: str, named: tuple[Reference, ...], facts: Mapping[str, FactType]
) -> Iterator[Trouble]:
    """What the library would let in."""
    built = next((each for each in named if each.overloads and "add_list" in each.overloads), None)
    macro = next(
        (each for each in tokens(text) if each.text.split(".")[-1] in ("map", "filter")), None
    )
    if built is not None and macro is not None:
        yield Trouble(macro.start, f"{INSTEAD[macro.text.split('.')[-1]]}.")
        return
    for each in named:
        if set(each.overloads) - ALLOWED:
            yield Trouble(each.place, _not_allowed(each))
        elif "." in each.name and not each.overloads and each.name not in facts:
            yield Trouble(each.place, f"{each.name} has no place in a rule.")


def _not_allowed(reference: Reference) -> str:
    name = reference.name
    if name in INSTEAD:
        return f"{INSTEAD[name]}."
    if name == "_+_":
        return "a rule joins no texts and no lists."
    if name.startswith(("_", "!", "@", "-")):
        sign = name.strip("_@")
        return f"{sign} does not go with what stands beside it; every value needs one known type."
    return f"{name} has no place in a rule; functions are {', '.join(FUNCTIONS)}."
