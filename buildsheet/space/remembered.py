"""Answers about editions, remembered by what the edition says."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, wraps
from typing import Final, TypeVar

from buildsheet.catalog.digest import digest
from buildsheet.catalog.edition import KINDS, Edition

Answer = TypeVar("Answer")

REMEMBERED: Final = 16
"""Editions: the running one, the draft in its last versions, a few to compare."""


class SameEdition:
    """An edition that is equal to every other with its digest."""

    __slots__ = ("edition",)

    def __init__(self, edition: Edition) -> None:
        self.edition = edition

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SameEdition) and self.edition.digest == other.edition.digest

    def __hash__(self) -> int:
        return hash(self.edition.digest)


def remembered(ask: Callable[[Edition], Answer]) -> Callable[[Edition], Answer]:
    """The same function, asked once for every digest. Its answer must not be written to."""

    @lru_cache(maxsize=REMEMBERED)
    def once(same: SameEdition) -> Answer:
        return ask(same.edition)

    @wraps(ask)
    def answer(edition: Edition) -> Answer:
        return once(SameEdition(edition))

    return answer


@remembered
def parts_digest(edition: Edition) -> str:
    """A digest over parts and house figures: what is left of an edition without rules, number and start."""
    house = edition.house.model_copy(update={"edition": 0, "starts": ""})
    return digest({"house": house, **{kind: getattr(edition, kind) for kind in KINDS}})
