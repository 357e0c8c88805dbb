"""Posted bytes as JSON, strictly: whatever is no honest JSON is said with its place.

Refused although Python's parser would let them pass: members given twice (one of them would be lost
in silence), ``NaN`` and ``Infinity`` (no JSON), numbers beyond what a double holds, half a surrogate
pair, control characters, nesting that no document of this house needs.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Collection, Container, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Final

from buildsheet.documents.json_text import MOST_DIGITS, NoNumber, Twice, levels, quickly, strictly
from buildsheet.documents.kind import Kind
from buildsheet.findings import Finding, Value, pointer

MOST_NAME: Final = 200
"""Characters in the name of a member. Every fault says its place: hundreds of faults inside a member whose
name fills the document would be said in as many times its length."""

_OF_LINES: Final = "\n\t\r\u200c\u200d"
"""Characters that a text of several lines may hold though they are not printed."""

_WITHOUT_LINES: Final = dict.fromkeys(map(ord, _OF_LINES))


@dataclass(frozen=True, slots=True)
class Parsed:
    """The document without what could not be kept, and a finding for each place that was dropped.

    ``document`` is None where nothing could be read at all. ``raw`` are the posted bytes, where they say
    this very document.
    """

    document: dict[str, Value] | None
    faults: Mapping[str, Finding] = field(default_factory=dict)
    raw: bytes | None = None


def parse(raw: bytes, kind: Kind) -> Parsed:
    """The posted bytes as a document of this kind, strictly."""
    text = _text_of(raw, kind)
    if isinstance(text, Parsed):
        return text
    plain = quickly(text)
    if plain is not None and _nothing_to_drop(plain, kind):
        return Parsed(plain, raw=raw)
    loaded = _loaded(text, kind)
    if isinstance(loaded, Parsed):
        return loaded
    parsed = sift(loaded, kind)
    if parsed.document is None or parsed.faults:
        return parsed
    return Parsed(parsed.document, parsed.faults, raw)


def load(raw: bytes, kind: Kind) -> object:
    """What the posted bytes hold, for `sift`: whole, with what no member may have still in it. `Parsed`
    where nothing can be read at all."""
    text = _text_of(raw, kind)
    return text if isinstance(text, Parsed) else _loaded(text, kind)


def _text_of(raw: bytes, kind: Kind) -> str | Parsed:
    """The bytes as text that may be parsed; `Parsed` where they may not."""
    if len(raw) > kind.most_bytes:
        return _unreadable(
            kind,
            "too-large",
            f"The document has {len(raw)} bytes; {kind.called} has at most {kind.most_bytes}.",
            have={"bytes": len(raw)},
            need={"most_bytes": kind.most_bytes},
        )
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError as error:
        return _unreadable(
            kind,
            "not-utf8",
            f"The text is not UTF-8 at byte {error.start}.",
            have={"byte": error.start},
        )
    if levels(text, kind.most_levels) > kind.most_levels:
        return _unreadable(
            kind,
            "too-deep",
            f"The document nests deeper than {kind.most_levels} levels; {kind.called} needs fewer.",
            need={"most_levels": kind.most_levels},
        )
    return text


def _loaded(text: str, kind: Kind) -> object:
    """What the text holds; `Parsed` where it is no JSON."""
    try:
        return strictly(text)
    except json.JSONDecodeError as error:
        return _unreadable(
            kind,
            "not-json",
            f"The text is no JSON: {error.msg} in line {error.lineno}, column {error.colno}.",
            have={"line": error.lineno, "column": error.colno},
        )


def sift(loaded: object, kind: Kind) -> Parsed:
    """A parsed document without the values that no member may have, each with its finding."""
    if not isinstance(loaded, dict):
        return _unreadable(
            kind,
            "wrong-type",
            f"Here stands {_type(loaded)}; {kind.called} is an object.",
            have={"type": _type(loaded)},
            need={"type": "an object"},
        )
    if _nothing_to_drop(loaded, kind):
        return Parsed(loaded)
    faults: dict[str, Finding] = {}
    document: dict[str, Value] = {}
    for members, _ in enumerate(_sift_object(loaded, "", document, faults, kind), start=1):
        if members > kind.most_members:
            return _unreadable(
                kind,
                "too-large",
                f"The document has more than {kind.most_members} members; {kind.called} has fewer.",
                need={"most_members": kind.most_members},
            )
    return Parsed(document, faults)


def _nothing_to_drop(loaded: dict[str, Value], of: Kind) -> bool:
    """Whether a plain look finds nothing that `sift` would drop: so with nearly every document, and ten
    times quicker. What it does not know, it leaves to the closer look."""
    waiting: list[object] = [_in_one_line(loaded, of)]
    members = 0
    for group in waiting:
        values = _values(group)
        if values is None:
            return False
        members += len(values)
        for value in values:
            kind = type(value)
            if kind is str:
                sound = value.isprintable()  # type: ignore[attr-defined]  # a str, asked the quick way
            elif kind is float:
                sound = value - value == 0.0  # type: ignore[operator]
            elif kind is int:
                sound = -(10**MOST_DIGITS) < value < 10**MOST_DIGITS  # type: ignore[operator]
            else:
                sound = True
                if value is not None and kind is not bool:
                    waiting.append(value)
            if not sound:
                return False
        if members > of.most_members:
            return False
    return True


def _in_one_line(loaded: dict[str, Value], of: Kind) -> dict[str, Value]:
    """The document with its texts of several lines in one, where they may have lines."""
    if type(loaded) is not dict:  # a member stands twice: not to be lost
        return loaded
    for at in of.lines_allowed:
        name = at[1:]
        text = loaded.get(name)
        if isinstance(text, str) and not text.isprintable():
            loaded = {**loaded, name: text.translate(_WITHOUT_LINES)}
    return loaded


def _values(group: object) -> Collection[object] | None:
    """The values of a plain list, or of a plain object with readable names; None for all else.

    An object in which a member stands twice is of a type of its own.
    """
    if type(group) is list:
        return group
    if type(group) is not dict:
        return None
    try:
        names = "".join(group)
        if len(names) > MOST_NAME and max(map(len, group)) > MOST_NAME:
            return None
        return group.values() if names.isprintable() else None
    except TypeError:
        return None


def _sift_object(
    loaded: Mapping[object, object],
    at: str,
    into: dict[str, Value],
    faults: dict[str, Finding],
    kind: Kind,
) -> Iterator[None]:
    """Fill ``into`` with what is sound; one step per member, so that the caller can stop."""
    twice = loaded.names if isinstance(loaded, Twice) else frozenset[str]()
    for name, value in loaded.items():
        yield
        bad = _bad_name(name)
        if bad or not isinstance(name, str):
            says = (
                f"The name {_shown(name)} of a member {bad}. Leave the member out, or name it anew."
            )
            faults.setdefault(at, kind.fault("text", at, says))
            continue
        here = at + pointer(name)
        if name in twice:
            faults[here] = kind.fault(
                "duplicate-member", here, f"{_shown(name)} stands twice; which one counts?"
            )
            continue
        yield from _sift_value(value, here, name, into, faults, kind)


def _bad_name(name: object) -> str:
    """What is wrong with a member's name; '' where nothing is."""
    if not isinstance(name, str):
        return "is no text"
    if len(name) > MOST_NAME:
        return f"has {len(name)} characters"
    bad = _bad_character(name, lines=False)
    return f"holds {bad}" if bad else ""


def _sift_value(
    value: object,
    at: str,
    name: str,
    into: dict[str, Value],
    faults: dict[str, Finding],
    kind: Kind,
) -> Iterator[None]:
    if isinstance(value, Mapping):
        inner: dict[str, Value] = {}
        into[name] = inner
        yield from _sift_object(value, at, inner, faults, kind)
    elif isinstance(value, list | tuple):
        items: dict[str, Value] = {}
        for place, item in enumerate(value):
            yield
            yield from _sift_value(item, at + pointer(place), str(place), items, faults, kind)
        # What is dropped leaves its place empty: all that follows is said where it was posted.
        into[name] = [items.get(str(place)) for place in range(len(value))]
    else:
        fault = _scalar_fault(value, at, kind)
        if fault:
            faults[at] = fault
        else:
            into[name] = value  # type: ignore[assignment]  # what is left is a JSON scalar


def _scalar_fault(value: object, at: str, kind: Kind) -> Finding | None:
    if isinstance(value, str):
        bad = _bad_character(value, lines=at in kind.lines_allowed)
        if not bad:
            return None
        says = f"The text holds {bad}, which nobody can read or print."
        return kind.fault("text", at, says)
    if value is None or isinstance(value, bool):
        return None
    if isinstance(value, int):
        return None if abs(value) < 10**MOST_DIGITS else _number_fault(str(value), at, kind)
    if isinstance(value, float):
        return None if value - value == 0.0 else _number_fault(str(value), at, kind)
    if isinstance(value, NoNumber):
        return _number_fault(value.text, at, kind)
    says = f"The value is {_type(value)}, which JSON does not have."
    return kind.fault("wrong-type", at, says)


def _number_fault(text: str, at: str, kind: Kind) -> Finding:
    short = text if len(text) <= 12 else f"{text[:8]}... of {len(text)} digits"
    says = f"{short} is no number that {kind.called} can have."
    return kind.fault("not-a-number", at, says, have={"text": text[:12]})


def _bad_character(text: str, *, lines: bool) -> str:
    """The name of the first character that no text may hold; '' where there is none."""
    if text.isprintable():
        return ""
    for character in text:
        if lines and character in _OF_LINES:
            continue
        # Cc control, Cs half a surrogate pair, Co private, Cn unassigned, Cf hidden (turns text round)
        if unicodedata.category(character) in {"Cc", "Cs", "Co", "Cn", "Cf", "Zl", "Zp"}:
            return f"the character U+{ord(character):04X}"
    return ""


def is_told(at: str, told: Container[str]) -> bool:
    """Whether a place, or an object or list around it, is among those that are told of already."""
    while at:
        if at in told:
            return True
        at = at.rpartition("/")[0]
    return False


def _unreadable(
    kind: Kind,
    slug: str,
    says: str,
    *,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
) -> Parsed:
    return Parsed(None, {"": kind.fault(slug, "", says, have=have, need=need)})


def _type(value: object) -> str:
    words = {"dict": "an object", "list": "a list", "str": "text", "bool": "true or false"}
    words |= {"int": "a number", "float": "a number", "NoneType": "null"}
    words |= {Twice.__name__: "an object", NoNumber.__name__: "a number"}
    return words.get(type(value).__name__, f"a {type(value).__name__}")


def _shown(name: object) -> str:
    """A name from outside, short enough for a message."""
    text = repr(name)
    return text if len(text) <= 32 else text[:29] + "..."
