"""JSON documents, bent: parsed into a tree that can hold what no document may, and written again."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any, Final

NUMBERS: Final = (
    *("0", "-0", "-0.0", "1", "-1", "0.1", "0.0001", "2", "7", "24.0", "24.5", "1e5", "1e-320"),
    *("1e999", "-1e999", "NaN", "Infinity", "-Infinity", "1e308", "5e-324", "2147483648"),
    *(
        "999999999999999",
        "1000000000000000",
        "9" * 400,
        "007",
        "+1",
        "0x1f",
        "1_000",
        "\u0663",
        ".5",
    ),
)
TEXTS: Final = (
    *('""', '" "', '"x"', '"\\u0000"', '"\\ud83d"', '"\\ud83d\\ude00"', '"\\u202e"', '"e\\u0301"'),
    *('"\ufb03"', '"\u00a0"', '"\\n"', '"\u200d"', '"\ud83d"', '"null"', "'x'", '"24"', '"true"'),
    *('"../../etc/passwd"', '"<script>alert(1)</script>"', '"x\' or 1=1 --"', '"=1+1"', '"%00"'),
    *('"{{7*7}}"', '"{rim.code}"', '"{0.__class__}"', '"2031-02-30"', '"9999-12-31"'),
    *('"0001-01-01"', '"2031-05-20T00:00:00Z"', '"+020310-01-01"', '"' + "x" * 600 + '"'),
    *('"' + "\u00fc" * 30_000 + '"', '"\\"', '"a/b~c"', '"~01"', '"A"', '"ZZ"'),
)
OTHERS: Final = (
    *("null", "true", "false", "[]", "{}", "[[]]", '{"": {}}', "[null]", "[0]", '{"a": 1, "a": 2}'),
    *("[" * 40 + "]" * 40, '{"a":' * 30 + "1" + "}" * 30, "[" + "0," * 3000 + "0]", "nul", ""),
)


@dataclass(frozen=True, slots=True)
class Raw:
    """A scalar as the text it stands in: numbers keep their spelling, and a spelling may be wrong."""

    text: str


class Members(list[list[Any]]):
    """An object as [name, value] pairs: a name may stand twice."""


Slot = tuple[Any, int, str]
"""A container, the place in it, and the name of the nearest member."""


def tree(text: str) -> Any:
    """The document as a tree. Raises ValueError or RecursionError where it is none."""
    return json.loads(
        text,
        object_pairs_hook=lambda pairs: Members([name, value] for name, value in pairs),
        parse_int=Raw,
        parse_float=Raw,
        parse_constant=Raw,
    )


def written(value: Any, *, ascii_only: bool = False) -> str:
    """A tree as text again."""
    if isinstance(value, Raw):
        return value.text
    if isinstance(value, Members):
        pairs = (
            f"{json.dumps(name, ensure_ascii=ascii_only)}: {written(each, ascii_only=ascii_only)}"
            for name, each in value
        )
        return "{" + ", ".join(pairs) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(written(each, ascii_only=ascii_only) for each in value) + "]"
    return json.dumps(value, ensure_ascii=ascii_only)


def slots(value: Any, name: str = "") -> Iterator[Slot]:
    """Every place in the tree that holds a value."""
    for place, each in enumerate(value if isinstance(value, list) else ()):
        here = str(each[0]) if isinstance(value, Members) else name
        yield value, place, here
        yield from slots(each[1] if isinstance(value, Members) else each, here)


def read(slot: Slot) -> Any:
    """What stands at a place."""
    container, place, _ = slot
    return container[place][1] if isinstance(container, Members) else container[place]


def put(slot: Slot, value: Any) -> None:
    """Put a value at a place."""
    container, place, _ = slot
    if isinstance(container, Members):
        container[place] = [container[place][0], value]
    else:
        container[place] = value


class Bender:
    """Bends documents of one family. ``known``: member -> values that may stand there; ``names``:
    members that some document of the house has. ``gently``: one over the changes more than one."""

    def __init__(
        self, known: Mapping[str, Sequence[Any]], names: Sequence[str], gently: float = 1.6
    ) -> None:
        self._known, self._gently = known, gently
        self._names = names
        self._words = sorted({each for values in known.values() for each in values if _plain(each)})
        ways: tuple[tuple[int, Callable[[Random, Slot, Any], None]], ...] = (
            (14, self._known_value),
            (2, self._any_word),
            (3, self._token),
            (5, self._nudged),
            (3, self._dropped),
            (2, self._doubled),
            (2, self._other_type),
            (1, self._renamed),
            (1, self._added),
            (1, self._grafted),
        )
        self._ways = [way for weight, way in ways for _ in range(weight)]

    def bent(self, dice: Random, text: str) -> str:
        """The document with a few things changed, as text."""
        whole = [tree(text)]
        for _ in range(1 + min(7, int(dice.expovariate(self._gently)))):
            places = list(slots(whole))
            if len(places) > 4000:
                break
            slot = dice.choice(places[1:] or places)
            dice.choice(self._ways)(dice, slot, whole)
        return written(whole[0] if whole else None, ascii_only=dice.random() < 0.2)

    def _known_value(self, dice: Random, slot: Slot, whole: Any) -> None:
        values = self._known.get(slot[2])
        put(slot, dice.choice(values) if values else Raw(dice.choice(NUMBERS)))

    def _any_word(self, dice: Random, slot: Slot, whole: Any) -> None:
        put(slot, dice.choice(self._words) if self._words else "x")

    def _token(self, dice: Random, slot: Slot, whole: Any) -> None:
        put(slot, Raw(dice.choice(dice.choice((NUMBERS, TEXTS, OTHERS)))))

    def _nudged(self, dice: Random, slot: Slot, whole: Any) -> None:
        value = read(slot)
        if isinstance(value, Raw):
            try:
                number = float(value.text)
                by = dice.choice((0.1, 10.0, -1.0, 2.0, 0.5, 1.001, 25.4, 1000.0))
                moved = dice.choice((number * by, number + 1, number - 1, number + dice.random()))
                put(slot, Raw(repr(moved)[:20] if dice.random() < 0.5 else str(int(moved))))
            except (ValueError, OverflowError):
                put(slot, Raw("1"))
        elif isinstance(value, str) and value:
            at = dice.randrange(len(value))
            put(
                slot,
                value[:at]
                + dice.choice(("", "x", "-", "\u00e4", value[at].swapcase()))
                + value[at + 1 :],
            )

    def _dropped(self, dice: Random, slot: Slot, whole: Any) -> None:
        if slot[0] is not whole:
            del slot[0][slot[1]]

    def _doubled(self, dice: Random, slot: Slot, whole: Any) -> None:
        container, place, _ = slot
        if container is not whole:
            times = dice.choice((1, 1, 1, 2, 70, 600)) if not isinstance(container, Members) else 1
            container[place:place] = [container[place]] * times

    def _other_type(self, dice: Random, slot: Slot, whole: Any) -> None:
        value = read(slot)
        if isinstance(value, Raw):
            put(
                slot,
                dice.choice((value.text, [value], Raw(f"{value.text}.0"), Raw(f"{value.text}e0"))),
            )
        elif isinstance(value, str):
            put(slot, dice.choice(([value], Members([[value, value]]), Raw(value))))
        elif isinstance(value, Members):
            put(slot, dice.choice(([each[1] for each in value], [value], Raw("null"))))
        elif isinstance(value, list):
            put(
                slot,
                dice.choice((Members([str(n), each] for n, each in enumerate(value)), value[:1])),
            )
        else:
            put(slot, dice.choice((Raw("0"), "true", [value])))

    def _renamed(self, dice: Random, slot: Slot, whole: Any) -> None:
        container, place, name = slot
        if isinstance(container, Members):
            wrong = dice.choice(
                (*self._names, name.upper(), name + "s", "", "a/b~c", "\ud83d", "__class__")
            )
            container[place] = [wrong, container[place][1]]

    def _added(self, dice: Random, slot: Slot, whole: Any) -> None:
        if isinstance(slot[0], Members) and self._names:
            name = dice.choice(self._names)
            values = self._known.get(name) or (Raw(dice.choice(NUMBERS)),)
            slot[0].append([name, dice.choice(values)])

    def _grafted(self, dice: Random, slot: Slot, whole: Any) -> None:
        put(
            slot,
            tree(written(read(dice.choice(list(slots(whole))))))
            if _writable(whole)
            else Raw("null"),
        )


def known_values(documents: Sequence[str]) -> dict[str, list[Any]]:
    """Member -> the scalars that stand there in these documents."""
    found: dict[str, dict[str, Any]] = {}
    for text in documents:
        for slot in slots([tree(text)]):
            value = read(slot)
            if not isinstance(value, list) and slot[2]:
                found.setdefault(slot[2], {})[written(value)] = value
    return {name: list(values.values()) for name, values in found.items()}


def _plain(value: Any) -> bool:
    return isinstance(value, str)


def _writable(whole: Any) -> bool:
    try:
        tree(written(whole))
    except (ValueError, RecursionError):
        return False
    return True
