"""What an edit of a catalog can be, and a list of them as a JSON document writes it down.

    {"part": "OR33D", "set": {"spoke_limit_n": 1200.0}}           keys of a part; null takes one out
    {"part": "OR33X", "kind": "rims", "values": {...}}            a whole part, new or in place of one
    {"part": "OR50D", "kind": "rims", "clone_of": "OR45D", "set": {...}}
    {"drop_part": "OR38R"}
    {"rule": "light-spokes-light-load", "set": {...}}             keys of a rule, or "values": all of it
    {"drop_rule": "light-spokes-light-load"}
    {"house": "tension.gauge_error", "value": 0.03}

``kind`` is the stem of the part's file and may be left out where the part is there already.
``subject`` of a new rule is the stem of its file. Dotted keys reach into tables.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from buildsheet.catalog.codes import FAULT_CODES, SOURCE
from buildsheet.catalog.faults import listed, nearest, plain, said
from buildsheet.findings import Finding, Value, pointer

MOST_TOLD: Final = 8
MOST_EDITS: Final = 500
DEFAULT_SUBJECT: Final = "desk"


@dataclass(frozen=True, slots=True)
class PutPart:
    """Keys of a part. ``whole``: these and no others; else only these are touched. ``clone_of``: the
    part begins as a copy of that one."""

    code: str
    kind: str | None = None
    values: Mapping[str, Value] = field(default_factory=dict)
    whole: bool = False
    clone_of: str | None = None


@dataclass(frozen=True, slots=True)
class DropPart:
    """A part is taken out."""

    code: str
    kind: str | None = None


@dataclass(frozen=True, slots=True)
class PutRule:
    """Keys of a rule, as for a part; ``subject`` names the file of a rule that is new."""

    id: str
    values: Mapping[str, Value] = field(default_factory=dict)
    whole: bool = False
    subject: str = DEFAULT_SUBJECT


@dataclass(frozen=True, slots=True)
class DropRule:
    """A rule is taken out."""

    id: str


@dataclass(frozen=True, slots=True)
class PutHouse:
    """One house figure at a dotted key; None takes it out."""

    key: str
    value: Value


Edit = PutPart | DropPart | PutRule | DropRule | PutHouse

_HEADS: Final[Mapping[str, frozenset[str]]] = {
    "part": frozenset({"kind", "set", "values", "clone_of"}),
    "drop_part": frozenset({"kind"}),
    "rule": frozenset({"set", "values", "subject"}),
    "drop_rule": frozenset(),
    "house": frozenset({"value"}),
}
"""The member that says what an edit is -> what else it may have."""

_COUNTERPARTS: Final[Mapping[tuple[str, str], tuple[str, str]]] = {
    ("part", "subject"): ("kind", "the stem of a part's file"),
    ("drop_part", "subject"): ("kind", "the stem of a part's file"),
    ("rule", "kind"): ("subject", "the stem of a rule's file"),
    ("part", "value"): ("set", "keys of the part with their values"),
    ("rule", "value"): ("set", "keys of the rule with their values"),
    ("house", "set"): ("value", "a house figure is one value"),
    ("house", "values"): ("value", "a house figure is one value"),
}
"""What an edit is, and a member that another kind of edit has -> its own member for that, and why."""

_TABLES: Final = frozenset({"set", "values"})


def read_edits(document: object) -> tuple[tuple[Edit, ...], tuple[Finding, ...]]:
    """The edits of a JSON document, or none and every fault in it. ``at`` points into the document."""
    if not isinstance(document, list) or not document:
        return (), (misfit((), f"found {said(document)}; a list of edits is wanted."),)
    if len(document) > MOST_EDITS:
        says = f"{len(document)} edits; at most {MOST_EDITS} are made at once."
        return (), (misfit((), says),)
    faults = [fault for place, each in enumerate(document) for fault in _faults(place, each)]
    return ((), tuple(faults)) if faults else (tuple(map(_edit, document)), ())


def misfit(keys: tuple[str | int, ...], says: str, code: str = "data.edit-form") -> Finding:
    """What is wrong with an edit; ``keys`` lead to it in the list of edits."""
    where = f"edit {int(keys[0]) + 1}: " if keys else "the list of edits: "
    return Finding(
        code=code,
        severity="block",
        at=pointer(*keys),
        says=where + says,
        reason=FAULT_CODES[code].reason,
        source=SOURCE,
    )


def _faults(place: int, each: object) -> Iterator[Finding]:
    if not isinstance(each, dict):
        yield misfit((place,), f"found {said(each)}; a table is wanted.")
        return
    heads = [name for name in _HEADS if name in each]
    if len(heads) != 1:
        found = f"has {listed(heads)}" if heads else "has none of its first words"
        yield misfit((place,), f"{found}; exactly one of {listed(list(_HEADS))} is wanted.")
        return
    head = heads[0]
    yield from _strangers(place, each, head)
    for name in (head, "kind", "clone_of", "subject"):
        if name in each and not isinstance(each[name], str):
            yield misfit((place, name), f"found {said(each[name])}; a word is wanted.")
    for name in _TABLES & set(each):
        if not isinstance(each[name], dict):
            yield misfit((place, name), f"found {said(each[name])}; a table of keys is wanted.")
    if {"set", "values"} <= set(each):
        yield misfit((place,), "has set and values; one of them is wanted.")
    if {"clone_of", "values"} <= set(each):
        yield misfit((place,), "has clone_of and values; a copy is changed with set.")
    if head in {"part", "rule"} and not {"set", "values", "clone_of"} & set(each):
        yield misfit((place,), "changes nothing; set or values is wanted.")
    if head == "house" and "value" not in each:
        yield misfit((place,), "has no value.")


def _strangers(place: int, each: dict[str, Any], head: str) -> Iterator[Finding]:
    known = [head, *sorted(_HEADS[head])]
    for name in each:
        if name not in known:
            hint = _hint(head, name, [word for word in known if word not in each])
            says = f"{plain(name)} is no word of it; they are {listed(known)}.{hint}"
            yield misfit((place, plain(name)), says)


def _hint(head: str, name: str, left: list[str]) -> str:
    """What may have been meant, out of the words that the edit does not have yet."""
    meant, why = _COUNTERPARTS.get((head, name), (None, ""))
    if meant in left:
        return f" Try {meant}: {why}."
    meant = nearest(name, left)
    return f" Try {meant}." if meant else ""


def _edit(each: dict[str, Any]) -> Edit:
    if "part" in each:
        values = each.get("values", each.get("set", {}))
        return PutPart(
            each["part"], each.get("kind"), values, "values" in each, each.get("clone_of")
        )
    if "drop_part" in each:
        return DropPart(each["drop_part"], each.get("kind"))
    if "rule" in each:
        values = each.get("values", each.get("set", {}))
        return PutRule(each["rule"], values, "values" in each, each.get("subject", DEFAULT_SUBJECT))
    if "drop_rule" in each:
        return DropRule(each["drop_rule"])
    return PutHouse(each["house"], each["value"])


def as_document(edit: Edit) -> dict[str, Value]:
    """The edit as `read_edits` takes it."""
    if isinstance(edit, PutPart):
        document: dict[str, Value] = {"part": edit.code}
        document |= {"kind": edit.kind} if edit.kind else {}
        document |= {"clone_of": edit.clone_of} if edit.clone_of else {}
        return document | {"values" if edit.whole else "set": dict(edit.values)}
    if isinstance(edit, DropPart):
        dropped: dict[str, Value] = {"drop_part": edit.code}
        return dropped | {"kind": edit.kind} if edit.kind else dropped
    if isinstance(edit, PutRule):
        changed: dict[str, Value] = {"values" if edit.whole else "set": dict(edit.values)}
        subject: dict[str, Value] = {"subject": edit.subject}
        return {"rule": edit.id, **changed, **(subject if edit.subject != DEFAULT_SUBJECT else {})}
    if isinstance(edit, DropRule):
        return {"drop_rule": edit.id}
    return {"house": edit.key, "value": edit.value}


def in_words(edit: Edit) -> str:
    """One edit in a few words, for a history.

    >>> in_words(PutPart("OR33D", values={"spoke_limit_n": 1200.0}))
    'OR33D: spoke_limit_n = 1200'
    """
    if isinstance(edit, DropPart | DropRule):
        return f"{edit.code if isinstance(edit, DropPart) else edit.id} taken out"
    if isinstance(edit, PutHouse):
        return f"{edit.key} = {told(edit.value)}"
    name = edit.code if isinstance(edit, PutPart) else edit.id
    copied = f" copied from {edit.clone_of}" if isinstance(edit, PutPart) and edit.clone_of else ""
    if edit.whole:
        return f"{name}: {len(edit.values)} keys written"
    return f"{name}{copied}: " + ", ".join(f"{key} = {told(v)}" for key, v in leaves(edit.values))


def leaves(table: Mapping[str, Any], above: str = "") -> Iterator[tuple[str, Any]]:
    """Dotted key and value; values may be of any kind, for a draft may hold what is wrong."""
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from leaves(value, f"{above}{key}.")
        else:
            yield f"{above}{key}", value


def told(value: object) -> str:
    """A new value in a few words; a short list of plain values is written out.

    >>> told([20, 24]), told("L"), told([])
    ('20 24', '"L"', 'none')
    """
    if isinstance(value, (list, tuple)) and len(value) <= MOST_TOLD:
        plain_values = all(isinstance(each, (str, int, float)) for each in value)
        return (" ".join(said(each) for each in value) or "none") if plain_values else said(value)
    return said(value)
