"""How near a changed order comes to what was ordered: the less new is said of it, the nearer; then the more
its spokes are of the kind that was ordered; then the less is changed."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Final, NamedTuple

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.parts import Spoke
from buildsheet.findings import Value
from buildsheet.orders.changes import Changes, value_at
from buildsheet.orders.judging import Judgement, Key, key_of
from buildsheet.orders.trial import RANK, Trial, Trials, put

SIDES: Final = ("left", "right")


class Unlike(NamedTuple):
    """How far the spokes of both sides are from those ordered: sides with a blade in place of a round one
    or the other way about, sides with another head, and the middle's differences in thickness."""

    blades: int = 0
    heads: int = 0
    thickness_mm: float = 0.0


class Nearness(NamedTuple):
    """The smaller, the nearer: ``cautions`` that were not said of the order as it stands, how unlike the
    spokes are, and how many members are changed."""

    cautions: int
    unlike: Unlike
    members: int


class New:
    """What is newly said of one order with changes put in."""

    def __init__(self, before: Judgement) -> None:
        self._before = before
        self._trials = Trials(before)

    @cached_property
    def _ranks(self) -> dict[Key, int]:
        return {
            key_of(raised.finding): RANK[raised.finding.severity]
            for raised, _ in self._before.everything()
        }

    def cautions(self, changes: Changes) -> int:
        """How many findings of the severity caution or worse come with the changes."""
        tried = put(changes)
        trial = Trial(self._trials, tried)
        asked = self._trials.where(tried.places).again.questions
        return len(
            {
                key
                for question in asked
                for key, rank in trial.said(question)
                if rank <= RANK["caution"] and self._ranks.get(key, len(RANK)) > rank
            }
        )


def unlike(changes: Changes, edition: Edition, document: Mapping[str, Value]) -> Unlike:
    """How unlike the ordered spokes those of the changes are; nothing where they stay."""
    far = Unlike()
    for at, value in changes:
        if not at.endswith("/spoke") or not isinstance(value, dict):
            continue
        for side in SIDES:
            before = _spoke(value_at(document, f"{at}/{side}"), edition)
            after = _spoke(value.get(side), edition)
            if before is not None and after is not None:
                far = _farther(far, before, after)
    return far


def _spoke(code: Value, edition: Edition) -> Spoke | None:
    return edition.spokes.get(code) if isinstance(code, str) else None


def _farther(far: Unlike, before: Spoke, after: Spoke) -> Unlike:
    return Unlike(
        far.blades + ((before.blade_mm > 0) != (after.blade_mm > 0)),
        far.heads + (before.head != after.head),
        far.thickness_mm + abs(before.thickness_mm - after.thickness_mm),
    )
