"""An order that can be built, with all that is known of it before the lock."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import Final

from buildsheet.actions.intake.judged import Judged
from buildsheet.actions.workshop import Workshop
from buildsheet.orders.document import Order

ACCEPTED: Final = "accepted"
ON_HOLD: Final = "on-hold"
"""Taken, but not built before somebody releases it by name."""

PLANNED: Final = "planned"
"""A wheel that has its number and its sheet, and no part in a bag yet."""


@dataclass(frozen=True, slots=True)
class Asked:
    """An order as posted: ``key`` is its Idempotency-Key, ``digest`` its `earlier.body_digest`."""

    workshop: Workshop
    raw: bytes
    key: str | None
    order: Order
    digest: str
    judged: Judged

    @property
    def name(self) -> tuple[str, str]:
        """Source and number: what an order is called, in whatever revision."""
        return self.order.source, self.order.number

    @property
    def claims(self) -> set[Hashable]:
        """What no two orders may have: their name, and their key."""
        claims: set[Hashable] = {("name", *self.name)}
        if self.key is not None:
            claims.add(("key", self.order.source, self.key))
        return claims
