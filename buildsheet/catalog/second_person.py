"""What in a set of differences needs a second person: limits, drilling programs, blocking rules.

A part that is dropped needs none: nothing is built with it any more. A drilling program that is
dropped does: the drill is then set by hand. Everything else here can break a wheel when it is typed
wrong, and the one who typed it is the last to see it. The list is this house's choice [proposal].
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from buildsheet.catalog.differences import Differences, FieldChange, PartChange, RuleChange
from buildsheet.catalog.faults import said
from buildsheet.findings import Value

LIMITS: Final = frozenset(
    "spoke_limit_n radial_spoke_limit_n max_spoke_section_mm2 use_classes system_limits "
    "system_limit_kg pressure_limits rotor_max_mm e_drive tyre_min_mm tyre_max_mm bed_max_mm "
    "flange_min_mm flange_max_mm excluded_rims evidence".split()
)
"""Attributes of parts, by the word before the first dot."""

HOUSE_LIMITS: Final = frozenset(
    "tension load lacing.torque_crossings lacing.head_clearance_block_mm "
    "lacing.head_clearance_block_wrap_deg lacing.hole_axis_approval_deg tyre.hookless_cap_bar "
    "tyre.tube_on_hookless_bar".split()
)
"""Tables and figures of the house file that say how much a wheel may be asked to bear."""

PROGRAMS: Final = "programs"
BLOCK: Final = "block"


Called = Callable[[str, str], str]
"""(dotted key, part kind or ``house``) -> what the figure is called."""


def _by_key(key: str, of: str) -> str:  # noqa: ARG001 - keys are enough for other systems
    return key


def needs_second_person(differences: Differences, called: Called = _by_key) -> tuple[str, ...]:
    """One sentence for each thing that only two people may publish; empty where one is enough."""
    return (
        *(sentence for part in differences.parts for sentence in _part(part, called)),
        *(
            _sentence("house figure", each, called, "house")
            for each in differences.house
            if _bears(each.key)
        ),
        *(_rule(each) for each in differences.rules if BLOCK in each.severities),
    )


def _part(part: PartChange, called: Called) -> Iterator[str]:
    if part.kind == PROGRAMS:
        yield f"Drilling program {part.code} is {part.what}."
        return
    if part.what == "dropped":
        return
    for each in part.fields:
        if each.key.partition(".")[0] in LIMITS:
            yield _sentence(f"{part.code}:", each, called, part.kind)


def _bears(key: str) -> bool:
    return key in HOUSE_LIMITS or key.partition(".")[0] in HOUSE_LIMITS


def _rule(rule: RuleChange) -> str:
    return f"Rule {rule.id}, which blocks, is {rule.what}."


def _sentence(of: str, each: FieldChange, called: Called, kind: str) -> str:
    name = called(each.key, kind)
    old, new = (_shown(value, called, kind) for value in (each.old, each.new))
    if each.old is None:
        return f"{of} {name} is {new}, and was not said before."
    if each.new is None:
        return f"{of} {name} was {old}, and is not said any more."
    return f"{of} {name} was {old} and becomes {new}."


def _shown(value: Value, called: Called, kind: str) -> str:
    if not isinstance(value, list):
        return said(value)
    rows = [
        ", ".join(f"{called(key, kind)} {said(each)}" for key, each in row.items())
        if isinstance(row, dict)
        else said(row)
        for row in value
    ]
    between = "; " if any(isinstance(row, dict) for row in value) else ", "
    return between.join(rows) or "an empty list"
