"""A rule's own examples, run: what it must accept and what it must refuse."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from buildsheet.catalog.faults import Place, fault, nearest, plain, shown
from buildsheet.catalog.faults import said as quoted
from buildsheet.catalog.parts import Hub, Part
from buildsheet.catalog.rules.asking import Asked, ask
from buildsheet.catalog.rules.facts import (
    FILE_STEM,
    KIND_OF,
    OTHER,
    OTHER_ROOTS,
    SIDED,
    FactType,
    declared,
)
from buildsheet.catalog.rules.mending import WORDS, nearest_facts
from buildsheet.catalog.rules.rule import Fact, Rule, Scope
from buildsheet.catalog.rules.saying import said
from buildsheet.catalog.rules.wheel_facts import Facts, as_other, wheel_facts
from buildsheet.findings import Finding

FIGURES: Final = ("position", "holes", "left_crossings", "right_crossings", "nipple_colour")
"""Members of a wheel that are their own value."""

_MASSES: Final = ("use.rider_kg", "use.bike_kg", "use.luggage_kg")
_LIST: Final = "list("


@dataclass(frozen=True, slots=True)
class Shelf:
    """The parts that examples may name: the sound ones by file stem and code, and every code that a
    file names (None: the file could not be read). An example with an unsound part is not run."""

    sound: Mapping[str, Mapping[str, Part]]
    named: Mapping[str, tuple[str, ...] | None]


def example_faults(rule: Rule, place: Place, shelf: Shelf) -> Iterator[Finding]:
    """Every example that cannot be read or comes out other than it says."""
    for key, wanted in (("accepts", True), ("refuses", False)):
        for row, example in enumerate(getattr(rule, key)):
            here = place.under(key, row)
            facts = _Reader(rule.scope, shelf, here).read(example)
            if isinstance(facts, list):
                yield from facts
            elif facts is not None:
                yield from _outcome(rule, here, ask(rule, facts), wanted=wanted)


def _outcome(
    rule: Rule, place: Place, answers: tuple[Asked, ...], *, wanted: bool
) -> Iterator[Finding]:
    unknown = next((each for each in answers if each.verdict.outcome == "unknown"), None)
    failed = next((each for each in answers if each.verdict.outcome == "fails"), None)
    if unknown is not None and (wanted or failed is None):
        missing = ", ".join(unknown.verdict.missing)
        what = f"{missing} is not known" if missing else unknown.verdict.why
        says = f"this example cannot be judged: {what}. Give what is missing in the example."
        yield fault("data.rule-example", place, says, have={"outcome": "unknown"})
    elif wanted and failed is not None:
        says = f"the rule refuses this example: {plain_sentence(rule, failed)}"
        yield fault("data.rule-example", place, says, have={"outcome": "refused"})
    elif not wanted and failed is None:
        asked = any(each.verdict.outcome == "holds" for each in answers)
        why = "holds for it" if asked else "is not asked of it"
        says = f"the rule lets this example through: it {why}."
        yield fault("data.rule-example", place, says, have={"outcome": "accepted"})


def plain_sentence(rule: Rule, asked: Asked) -> str:
    """What the rule says of this answer, in one printable line."""
    line = "".join(each if each.isprintable() else "?" for each in said(rule.says, asked.facts))
    return line[:400]


class _Reader:
    """Reads one example: part codes looked up, members and facts by name."""

    def __init__(self, scope: Scope, shelf: Shelf, place: Place) -> None:
        self.scope = scope
        self.shelf = shelf
        self.place = place
        self.faults: list[Finding] = []
        self.parts: dict[str, Part | None] = {}
        self.plain: dict[str, Fact] = {}
        self.unsound = False

    def read(self, example: Mapping[str, Any]) -> Facts | list[Finding] | None:
        """The facts, or the faults that keep it from being read; None where a part is unsound."""
        for key, value in example.items():
            if _part_root(key, self.scope) is not None:
                self._part(key, value)
            else:
                self._fact(key, value)
        if self.faults:
            return self.faults
        if self.unsound:
            return None
        self._both_sides("")
        self._both_sides(OTHER)
        return Facts(self.parts, {**self._derived(), **self.plain})

    def _part(self, key: str, code: Any) -> None:
        stem = FILE_STEM["spoke" if key.removeprefix(OTHER) in SIDED else key.removeprefix(OTHER)]
        part = self.shelf.sound.get(stem, {}).get(code) if isinstance(code, str) else None
        known = self.shelf.named.get(stem)
        if part is not None:
            self.parts[key] = part
        elif known is None or code in known:
            self.unsound = True
        else:
            meant = nearest(code, known)
            hint = f" Try {meant}." if meant else " Figures are given as facts, like "
            hint = hint if meant else f"{hint}{plain(key)}.name."
            says = f"the catalog has no {key} {quoted(code)}.{hint}"
            here = self.place.under(key)
            self.faults.append(
                fault("data.unknown-reference", here, says, have={"found": shown(code)})
            )

    def _fact(self, key: str, value: Any) -> None:
        name = _fact_name(key, self.scope)
        kind = declared(self.scope).get(name)
        here = self.place.under(key)
        if kind is None:
            near = nearest_facts(name, self.scope)
            hint = f" Try {' or '.join(near)}." if near else ""
            says = f"neither a member of scope {self.scope} nor one of its facts.{hint}"
            self.faults.append(fault("data.unknown-key", here, says, have={"found": plain(key)}))
        elif not _fits(value, kind):
            says = f"found {quoted(value)}; {name} is {WORDS[kind]}."
            self.faults.append(fault("data.wrong-type", here, says, have={"found": shown(value)}))
        else:
            self.plain[name] = value

    def _both_sides(self, prefix: str) -> None:
        """``spoke`` names both sides; two sides alike are ``spoke`` too."""
        spoke = self.parts.pop(f"{prefix}spoke", None)
        sides = [f"{prefix}{side}" for side in SIDED]
        if spoke is not None:
            self.parts.update(dict.fromkeys(sides, spoke))

    def _derived(self) -> dict[str, Fact]:
        """What follows from the example's parts and figures, as it would for an order."""
        if self.scope == "part":
            return {}
        derived: dict[str, Fact] = {"use.bike": "bicycle", "use.salt": False}
        masses = [self.plain.get(name) for name in _MASSES]
        known = [each for each in masses if isinstance(each, (int, float))]
        if len(known) == len(masses):
            derived["use.system_kg"] = float(sum(known))
        if self.scope != "order":
            derived.update(self._wheel(""))
        if self.scope == "set":
            derived.update(as_other(self._wheel(OTHER)))
        return derived

    def _wheel(self, prefix: str) -> dict[str, Fact]:
        parts = {root: self.parts.get(prefix + root) for root in ("rim", "hub", "nipple", "washer")}
        hub = parts["hub"]
        position = self.plain.get(f"{prefix}wheel.position")
        if position is None and isinstance(hub, Hub):
            position = hub.position
        sides = [self.plain.get(f"{prefix}wheel.{side}_crossings") for side in ("left", "right")]
        left, right = (each if isinstance(each, int) else None for each in sides)
        return wheel_facts(
            position=position if isinstance(position, str) else None,
            holes=None,
            parts=parts,
            crossings=(left, right),
        )


def _part_root(key: str, scope: Scope) -> str | None:
    """The root that a part member stands for, where the scope has it."""
    other = key.startswith(OTHER)
    root = key.removeprefix(OTHER)
    if scope == "order" or (other and scope != "set"):
        return None
    roots = (*KIND_OF, *(() if scope == "part" else SIDED))
    return root if root in roots and (not other or root in (*OTHER_ROOTS, "spoke")) else None


def _fact_name(key: str, scope: Scope) -> str:
    """``holes`` is ``wheel.holes``; a dotted fact is itself."""
    prefix = OTHER if key.startswith(OTHER) else ""
    if scope in ("wheel", "set") and key.removeprefix(prefix) in FIGURES:
        return f"{prefix}wheel.{key.removeprefix(prefix)}"
    return key


def _fits(value: Any, kind: FactType) -> bool:
    """Whether a value is of a fact's type; a whole number is a number too.

    >>> _fits(24, "double"), _fits(24.5, "int"), _fits(("A",), "list(string)")
    (True, False, True)
    """
    if kind.startswith(_LIST):
        inner = kind[len(_LIST) : -1]
        return isinstance(value, tuple) and all(_fits_one(each, inner) for each in value)
    return _fits_one(value, kind)


def _fits_one(value: Any, kind: str) -> bool:
    if kind == "bool" or isinstance(value, bool):
        return kind == "bool" and isinstance(value, bool)
    if kind == "double":
        return isinstance(value, (int, float))
    return isinstance(value, int if kind == "int" else str)
