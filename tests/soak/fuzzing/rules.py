"""Conditions of rules: grown from a grammar of what may stand in one and what may not, and bent; whatever
can be read is asked over sound facts, extreme facts and missing facts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random
from typing import Final

from buildsheet.catalog.rules.facts import FactType, declared
from buildsheet.catalog.rules.language import Condition, condition
from buildsheet.catalog.rules.mending import explained
from buildsheet.catalog.rules.rule import LONGEST_EXPRESSION, Fact, Scope
from tests.catalog.demo_texts import demo_edition
from tests.soak.fuzzing.loop import Fault, Input, Told
from tests.soak.fuzzing.texts import bent_bytes, bent_lines

SCOPES: Final[tuple[Scope, ...]] = ("part", "wheel", "set", "order")
ODD: Final = (
    *(
        "null",
        "has(rim.code)",
        "dyn(1) == dyn('1')",
        "type(1) == int",
        "b'x' == b'x'",
        "r'\\' == ''",
    ),
    *("duration('1s') > duration('0s')", "timestamp('2031-05-01T00:00:00Z') == timestamp('x')"),
    *(
        "[1,2].map(x, x + 1) == [1]",
        "[1].filter(x, true) == []",
        "'a'.matches('(a+)+$')",
        "{'a': 1}.a == 1",
    ),
    *(
        "9223372036854775807 + 1 > 0",
        "-9223372036854775808 == 0",
        "1 / 0 == 1",
        "1 % 0 == 1",
        "1.0 / 0.0 > 1.0",
    ),
    *(
        "int(1e300) == 1",
        "double('x') == 1.0",
        "int('9999999999999999999') == 0",
        "string(1) == '1'",
    ),
    *(
        "size('\\U0001F600') == 1",
        "'\\ud83d' == ''",
        "'''a\nb''' == ''",
        "x",
        "rim",
        "rim.rim.rim == 1",
    ),
    *(
        "[[[[]]]] == []",
        "cel.bind(x, 1, x == 1)",
        "rim.?code.orValue('') == ''",
        "optional.none() == 1",
    ),
    *(
        "google.protobuf.Int32Value{value: 1} == 1",
        "true ? 1 : 'a'",
        "1u == 1u",
        "0x7fffffffffffffff == 1",
    ),
    *(
        "[1, 'a', true, 2.0].exists(x, x == 1)",
        "// a comment",
        "in",
        "1.e5 == 1",
        ".5 == 0.5",
        "'a' in ['a']",
    ),
)


class Rules:
    """A condition and the scope it is written for."""

    name = "rules"

    def __init__(self) -> None:
        self._facts = {scope: [*_facts(declared(scope))] for scope in SCOPES}
        self._names = {scope: _by_kind(declared(scope)) for scope in SCOPES}
        self._words = sorted(
            {
                *declared("set"),
                "all",
                "exists",
                "exists_one",
                "size",
                "double",
                "int",
                "&&",
                "||",
                "==",
                "!",
                "?",
                ":",
                "x",
                "in",
                "startsWith",
                "has",
                "true",
            }
        )

    def seeds(self) -> Sequence[Input]:
        """Every condition of the demo's rules, and what has no place in one."""
        rules = demo_edition().rules.values()
        sound = [
            Input(rule.scope, each.encode())
            for rule in rules
            for each in (rule.when, rule.needs)
            if each
        ]
        return [*sound, *(Input("wheel", each.encode()) for each in (*ODD, *_large()))]

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """Grown or bent."""
        scope = dice.choice(SCOPES)
        way = dice.random()
        if way < 0.45:
            grown = _Grown(dice, self._names[scope])
            return Input(
                scope, grown.truth(dice.choice((1, 2, 3, 4, 6)))[:2100].encode("utf-8", "replace")
            )
        base = dice.choice(corpus[-200:] if dice.random() < 0.5 else corpus)
        if way < 0.85:
            body = bent_lines(dice, base.body, self._words)
        else:
            body = bent_bytes(dice, base.body, [each.body for each in corpus[-50:]])
        # Longer ones are refused for their length: one in many says so as well as all of them.
        return Input(base.where, body if dice.random() < 0.01 else body[:LONGEST_EXPRESSION])

    def ask(self, one: Input) -> Told:
        """Read; what can be read is asked, what cannot is explained."""
        scope = next(each for each in SCOPES if each == one.where)
        text = one.body.decode("utf-8", "surrogateescape")
        found = condition(text, scope)
        if not isinstance(found, Condition):
            told = explained(text, scope, found)
            if not told or not all(each.says for each in told):
                raise Fault("refused without a word")
            return Told(False, frozenset(" ".join(each.says.split()[:3]) for each in told))
        answers = [found.ask(facts) for facts in self._facts[scope]]
        if any(each.holds is None and not each.why for each in answers):
            raise Fault("unjudged without a word")
        whys = {" ".join(each.why.split()[-3:]) for each in answers}
        return Told(True, frozenset({*whys, *(str(each.holds) for each in answers)}))

    def rest(self) -> None:
        """Nothing is stored."""


class _Grown:
    """An expression of a kind, so deep."""

    def __init__(self, dice: Random, names: Mapping[str, Sequence[str]]) -> None:
        self._dice, self._names, self._room = dice, names, 120

    def truth(self, deep: int) -> str:
        dice = self._dice
        self._room -= 1
        if deep <= 0 or self._room < 0:
            return self._leaf("bool")
        ways = (
            lambda: (
                f"{self.truth(deep - 1)} {dice.choice(('&&', '||', '==', '!='))} {self.truth(deep - 1)}"
            ),
            lambda: f"({self.truth(deep - 1)})",
            lambda: f"!({self.truth(deep - 1)})",
            lambda: self._compared(deep),
            lambda: self._compared(deep),
            lambda: self._looped(deep),
            lambda: f"{self.any(deep - 1)} in {self.listed(deep)}",
            lambda: (
                f"{self._leaf('string')}.{dice.choice(('startsWith', 'contains', 'endsWith'))}"
                f"({self._leaf('string')})"
            ),
            lambda: f"{self.truth(deep - 1)} ? {self.truth(deep - 1)} : {self.truth(deep - 1)}",
            lambda: dice.choice(ODD),
        )
        return dice.choice(ways)()

    def _compared(self, deep: int) -> str:
        kind = self._dice.choice(("int", "double", "string", "double"))
        other = kind if self._dice.random() < 0.85 else "int"
        sign = self._dice.choice(("<", "<=", ">", ">=", "==", "!="))
        return f"{self.value(kind, deep - 1)} {sign} {self.value(other, deep - 1)}"

    def value(self, kind: str, deep: int) -> str:
        self._room -= 1
        if deep <= 0 or kind == "string" or self._room < 0:
            return self._leaf(kind)
        sign = self._dice.choice(("+", "-", "*", "/", "%" if kind == "int" else "/"))
        ways = (
            f"({self.value(kind, deep - 1)} {sign} {self.value(kind, deep - 1)})",
            f"-{self._leaf(kind)}",
            f"{'int' if kind == 'int' else 'double'}({self._leaf('double')})",
            f"{self.listed(deep)}[{self._leaf('int')}]",
        )
        return self._dice.choice(ways)

    def listed(self, deep: int) -> str:
        kind = self._dice.choice(("list(int)", "list(double)", "list(string)"))
        if self._dice.random() < 0.5 and self._names.get(kind):
            return self._dice.choice(self._names[kind])
        inner = kind[5:-1]
        long = self._dice.choice((0, 1, 3, 20, 21, 50, 51))
        return f"[{', '.join(self._leaf(inner) for _ in range(long))}]"

    def _looped(self, deep: int) -> str:
        name = self._dice.choice(("x", "y", "rim", "all", "_"))
        word = self._dice.choice(("all", "exists", "exists_one", "exists", "map", "filter"))
        inner = (
            self.truth(deep - 2) if self._dice.random() < 0.5 else f"{name} > {self._leaf('int')}"
        )
        return f"{self.listed(deep)}.{word}({name}, {inner})"

    def any(self, deep: int) -> str:
        return self.value(self._dice.choice(("int", "double", "string")), deep)

    def _leaf(self, kind: str) -> str:
        names = self._names.get(kind)
        if names and self._dice.random() < 0.7:
            return self._dice.choice(names)
        words = {
            "bool": ("true", "false"),
            "int": ("0", "1", "-1", "24", "9223372036854775807", "0x10", "1u"),
            "double": ("0.0", "1.5", "-0.0", "1e308", "1e-320", "85.0", "1e400"),
            "string": ("''", "'brass'", '"\u00fc"', "'''x'''", "r'\\d'", "'\\u0041'"),
        }
        return self._dice.choice(words[kind])


def _large() -> list[str]:
    """Conditions as long, as deep or as looping as may be."""
    one = "wheel.holes > 20"
    return [
        " && ".join([one] * 100),
        "(" * 400 + "true" + ")" * 400,
        "!" * 1900 + "true",
        "-" * 900 + "1 == 1",
        " + ".join(["1"] * 480) + " > 1",
        " + ".join(["wheel.holes", "1.0"] * 120) + " > 1.0",
        " || ".join(["wheel.holes == 1.0"] * 90),
        "true ? " * 130 + "true" + " : false" * 130,
        "[" * 150 + "1" + "]" * 150 + " == []",
        f"[{','.join(['1'] * 20)}].all(x, [{','.join(['2'] * 20)}].exists(y, x == y || "
        + " || ".join(["x > y"] * 150)
        + "))",
        f"[{','.join(['1'] * 50)}].all(x, {' && '.join(['x > 0'] * 200)})",
        "rim." * 450 + "code == ''",
        "'" + "x" * 1900 + "' == ''",
        " == ".join(["true"] * 240),
        " in ".join(["[1]"] * 240),
    ]


def _facts(kinds: Mapping[str, FactType]) -> Sequence[dict[str, Fact]]:
    """All facts ordinary, all at the ends of what they can be, and none known."""
    usual: dict[FactType, Fact] = {
        "bool": True,
        "int": 24,
        "double": 85.5,
        "string": "brass",
        "list(int)": (1, 2),
        "list(double)": (30.0, 45.5),
        "list(string)": ("A", "brass"),
    }
    ends: dict[FactType, Fact] = {
        "bool": False,
        "int": 10**15 - 1,
        "double": 1e308,
        "string": "\u00fc" * 300,
        "list(int)": tuple(range(200)),
        "list(double)": (-1e308,) * 200,
        "list(string)": ("x",) * 200,
    }
    return (
        {name: usual[kind] for name, kind in kinds.items()},
        {name: ends[kind] for name, kind in kinds.items()},
        {},
    )


def _by_kind(kinds: Mapping[str, FactType]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for name, kind in kinds.items():
        found.setdefault(kind, []).append(name)
    return found
