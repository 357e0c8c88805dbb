"""Fields of a form, bent: wrong, mangled, missing, huge, twice, of another form."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from random import Random
from typing import Any, Final

from tests.soak.fuzzing import texts, trees
from tests.soak.fuzzing.answers import MARKS
from tests.soak.fuzzing.message import Pairs
from tests.soak.fuzzing.trees import Bender

ODD: Final = (
    *(
        "",
        " ",
        "\0",
        "a\0b",
        "\r\n",
        "\u202e\ud7ff",
        "\ud83d",
        "\ufeff",
        "\u0663",
        "\u00b2",
        "\u22121",
    ),
    *(
        f"{MARKS[0]}</script>",
        f'">{MARKS[1]}',
        f"'{MARKS[1]}",
        "{{7*7}}",
        "%s%n",
        "%00",
        "../../x",
        "//x",
    ),
    *(
        "yes",
        "no",
        "on",
        "true",
        "null",
        "[]",
        "{}",
        "[[rule]]",
        '"""',
        "1,5",
        "1.000,5",
        "24;;,24",
    ),
    *(
        "2031-02-30",
        "9999-12-31",
        "0000-00-00",
        "\U0001f6b2",
        "e\u0301",
        "x" * 70_000,
        "\u00fc" * 30_000,
    ),
    *("[" * 2000, '{"a":' * 2000, "1 " * 5000, "\n" * 5000, "A" * 250, "\\", "\\u0000", "'; --"),
)
MOST_FIELDS: Final = 2000


class FieldBender:
    """``known``: field -> texts that may stand there; ``documents`` bends a text that is JSON."""

    def __init__(self, known: Mapping[str, Sequence[str]], documents: Bender) -> None:
        self._known, self._documents = known, documents
        self._names = sorted(known)
        ways: tuple[tuple[int, Callable[[Random, list[tuple[str, str]], int], None]], ...] = (
            (9, self._known_text),
            (4, self._odd),
            (4, self._number),
            (4, self._nudged),
            (2, self._emptied),
            (2, self._dropped),
            (2, self._doubled),
            (1, self._renamed),
            (1, self._added),
            (1, self._many),
            (1, self._swapped),
        )
        self._ways = [way for weight, way in ways for _ in range(weight)]

    def bent(self, dice: Random, pairs: Pairs) -> Pairs:
        """The fields with a few things changed, or none."""
        found = [
            (name, self._document(dice, text) if text[:1] == "{" and dice.random() < 0.4 else text)
            for name, text in pairs
        ]
        for _ in range(min(8, int(dice.expovariate(0.7)))):
            if not found:
                self._added(dice, found, 0)
                continue
            at = dice.randrange(len(found))
            dice.choice(self._ways)(dice, found, at)
            if len(found) > MOST_FIELDS:
                break
        return tuple(found)

    def _known_text(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        name, old = pairs[at]
        values = self._known.get(name)
        if old.startswith("{") and dice.random() < 0.8:
            pairs[at] = (name, self._document(dice, old))
        elif values:
            pairs[at] = (name, dice.choice(values))
        else:
            self._odd(dice, pairs, at)

    def _document(self, dice: Random, text: str) -> str:
        try:
            return self._documents.bent(dice, text)
        except (ValueError, RecursionError):
            return text[: dice.randrange(len(text))]

    def _odd(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        pairs[at] = (pairs[at][0], dice.choice(ODD))

    def _number(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        pairs[at] = (pairs[at][0], dice.choice(dice.choice((texts.NUMBERS, trees.NUMBERS))))

    def _nudged(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        name, text = pairs[at]
        try:
            number = float(text.replace(",", "."))
            moved = dice.choice((number + 1, number - 1, -number, number * 10, number * 1.01))
            pairs[at] = (name, f"{moved:.6g}".replace(".", dice.choice(".,")))
        except ValueError:
            place = dice.randrange(len(text) + 1)
            new = dice.choice(("", "x", ",", "\u00e4", "\n", text[place : place + 1].swapcase()))
            pairs[at] = (name, text[:place] + new + text[place + 1 :])

    def _emptied(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        pairs[at] = (pairs[at][0], "")

    def _dropped(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        del pairs[at]

    def _doubled(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        pairs[at:at] = [pairs[at]] * dice.choice((1, 1, 1, 25, 3000))

    def _renamed(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        name, text = pairs[at]
        wrong = (name.upper(), f"{name}.0", f"{name}[]", "", "__class__", "\0", name + "x" * 5000)
        pairs[at] = (dice.choice((*wrong, dice.choice(self._names))), text)

    def _added(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        name = dice.choice(self._names)
        pairs.insert(at, (name, dice.choice((*self._known[name], *ODD[:6]))))

    def _many(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        name, text = pairs[at]
        count = dice.choice((30, 2000))
        pairs += [(f"{name}.{number}", text[:20]) for number in range(count)]

    def _swapped(self, dice: Random, pairs: list[tuple[str, str]], at: int) -> None:
        other = dice.randrange(len(pairs))
        (name, text), (second, said) = pairs[at], pairs[other]
        pairs[at], pairs[other] = (name, said), (second, text)


def shortened(pairs: Pairs, most: int) -> Pairs:
    """The fields as far as they go into so many letters, in three for each that is odd."""
    kept, left = [], most
    for name, text in pairs:
        left -= 2 + sum(1 if each.isalnum() and each.isascii() else 3 for each in name + text)
        if left < 0:
            break
        kept.append((name, text))
    return tuple(kept)


def flat(value: Any, name: str = "") -> Iterator[tuple[str, str]]:
    """A document's scalars, named as the fields of a form are.

    >>> list(flat({"tension": {"typed": [20.0, 21]}, "good": True}))
    [('tension.typed.0', '20'), ('tension.typed.1', '21'), ('good', 'yes')]
    """
    if isinstance(value, (dict, list)):
        parts = value.items() if isinstance(value, dict) else enumerate(value)
        for part, each in parts:
            yield from flat(each, f"{name}.{part}" if name else str(part))
    elif isinstance(value, bool):
        yield name, "yes" if value else "no"
    elif value is not None:
        yield name, f"{value:g}" if isinstance(value, float) else str(value)
