"""Texts and bytes, bent without knowing what they mean: TOML, tables, expressions, packed files."""

from __future__ import annotations

import re
from collections.abc import Sequence
from random import Random
from typing import Final

ODD: Final = (
    b"",
    b"\0",
    b"\xff",
    b"\xef\xbb\xbf",
    b"\xff\xfe",
    b"\xed\xa0\xbd",
    b"\r",
    b"\n",
    b"\t",
    b" ",
    b'"',
    b"'",
    b"\\",
    b"[",
    b"]",
    b"{",
    b"}",
    b"[[",
    b"=",
    b"#",
    b",",
    b";",
    b".",
    b"-",
    b"NaN",
    b"inf",
    b"1e999",
    b"-0",
    b"true",
    b"null",
    b'"""',
    b"\xe2\x80\xae",
    b"\xf0\x9f\x98\x80",
    b"A" * 5000,
)
NUMBERS: Final = (
    *(
        "0",
        "-0.0",
        "-1",
        "1",
        "0.1",
        "1e9",
        "1e999",
        "nan",
        "inf",
        "-inf",
        "9" * 30,
        "9" * 5000,
        "1_0",
    ),
    *(
        "0x1f",
        "1,5",
        "1.5",
        "12.500,5",
        "1e-9",
        "2031-05-01",
        "07:32:00",
        '""',
        "[]",
        "{}",
        "true",
        "''",
    ),
)
_NUMBER: Final = re.compile(rb"(?<![A-Za-z0-9_])-?\d+(?:\.\d+)?(?![A-Za-z0-9_])")
_WORD: Final = re.compile(rb"[A-Za-z_][A-Za-z0-9_-]*")
ENCODINGS: Final = ("utf-16", "utf-16-be", "utf-32", "latin-1", "cp1252", "utf-8-sig")


def bent_bytes(dice: Random, data: bytes, others: Sequence[bytes] = ()) -> bytes:
    """A few bytes changed, taken out, doubled, cut off, or put together with another input."""
    for _ in range(1 + min(6, int(dice.expovariate(0.8)))):
        data = _one(dice, data, others)
    return data


def _one(dice: Random, data: bytes, others: Sequence[bytes]) -> bytes:
    at = dice.randrange(len(data) + 1)
    to = min(len(data), at + int(dice.expovariate(0.05)) + 1)
    ways = (
        lambda: data[:at],
        lambda: data[:at] + data[to:],
        lambda: data[:to] + data[at:to] * dice.choice((1, 2, 50)) + data[to:],
        lambda: data[:at] + dice.choice(ODD) + data[at:],
        lambda: data[:at] + dice.randbytes(dice.choice((1, 1, 2, 20))) + data[to:],
        lambda: _flipped(dice, data, at),
        lambda: _encoded(dice, data),
        lambda: _joined(dice, data[:at], others),
        lambda: dice.choice(ODD) + data,
        lambda: data + dice.choice(ODD),
    )
    return dice.choice(ways)()


def _flipped(dice: Random, data: bytes, at: int) -> bytes:
    """One bit the other way round."""
    if at >= len(data):
        return data
    return data[:at] + bytes([data[at] ^ (1 << dice.randrange(8))]) + data[at + 1 :]


def _encoded(dice: Random, data: bytes) -> bytes:
    try:
        return data.decode().encode(dice.choice(ENCODINGS), "replace")
    except UnicodeDecodeError:
        return data


def _joined(dice: Random, data: bytes, others: Sequence[bytes]) -> bytes:
    other = dice.choice(others) if others else b""
    return data + other[dice.randrange(len(other) + 1) :]


def bent_lines(dice: Random, data: bytes, words: Sequence[str]) -> bytes:
    """Lines, numbers and words changed: most of these can still be read."""
    for _ in range(1 + min(6, int(dice.expovariate(0.8)))):
        way = dice.randrange(8)
        lines = data.split(b"\n")
        at = dice.randrange(len(lines))
        if way == 0:
            data = b"\n".join(lines[:at] + lines[at + 1 :])
        elif way == 1:
            other = dice.randrange(len(lines))
            data = b"\n".join([*lines[:at], lines[other], *lines[at:]])
        elif way == 2:
            data = b"\n".join(
                [*lines[:at], *[lines[at]] * dice.choice((2, 3, 40)), *lines[at + 1 :]]
            )
        elif way in (3, 4):
            data = _put(dice, data, _NUMBER, (dice.choice(NUMBERS), _close(dice, data)))
        elif words:
            data = _put(dice, data, _WORD, (dice.choice(words),))
    return data


def _put(dice: Random, data: bytes, what: re.Pattern[bytes], words: Sequence[str]) -> bytes:
    places = list(what.finditer(data))
    if not places:
        return data
    place = dice.choice(places)
    new = dice.choice(words).encode("utf-8", "surrogatepass")
    return data[: place.start()] + new + data[place.end() :]


def _close(dice: Random, data: bytes) -> str:
    """A number near one that stands there: most bounds are crossed by little."""
    found = _NUMBER.findall(data)
    if not found:
        return "1"
    number = float(dice.choice(found)[:15])
    return f"{dice.choice((number + 1, number - 1, number * 1.1, number * 10, -number, number / 10)):.6g}"
