"""What was answered before: the same order again, the same key again, or something in the way."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Final, Literal

from buildsheet.actions.answers import Answered, whole_answer
from buildsheet.actions.codes import recorded
from buildsheet.actions.differences import differences
from buildsheet.actions.plan_record import compact
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.findings import Finding, Value
from buildsheet.orders.changes import value_at
from buildsheet.orders.document import Order
from buildsheet.storage import orders
from buildsheet.storage.database import Section
from buildsheet.storage.orders import Reply, StoredOrder

_TOLD: Final = 3
_LONGEST: Final = 40


@dataclass(frozen=True, slots=True)
class Took:
    """What became of a posted order.

    ``taken`` and ``replayed`` have an answer; ``refused`` has everything the checks say; ``short`` has a
    finding for every article that is not free; ``conflict`` and ``key-reused`` have the one finding that
    says what is in the way. Only ``taken`` left anything behind.
    """

    outcome: Literal["taken", "replayed", "refused", "short", "conflict", "key-reused"]
    findings: tuple[Finding, ...]
    edition: int
    answered: Answered | None = None


def body_digest(order: Order) -> str:
    """A digest of what an order says, however it was spaced, sorted or padded with nulls."""
    said = order.model_dump_json(by_alias=True, exclude_none=True)
    return "sha256:" + sha256(said.encode()).hexdigest()


def earlier(
    section: Section, order: Order, digest: str, key: str | None, edition: int
) -> Took | None:
    """What an order that is there already, or a key that was used already, leads to; else None.

    ``digest`` is the order's `body_digest`.
    """
    if key is not None:
        reply = orders.reply_to(section, order.source, key)
        if reply is not None and reply.body_digest != digest:
            return Took("key-reused", (_key_reused(reply, edition),), edition)
        if reply is not None:
            return _replayed(section, reply.order_id, reply.revision, edition)
    other = orders.by_number(section, order.source, order.number)
    if other is None:
        return None
    stored = orders.by_business_key(section, *order.key)
    if stored is None:
        return Took("conflict", (_other_revision(order, other, edition),), edition)
    if stored.body_digest != digest:
        return Took("conflict", (_duplicate(order, stored, other.revision, edition),), edition)
    return _replayed(section, stored.id, stored.revision, edition)


def keep_key(section: Section, order: Order, key: str | None, took: Took, at: str) -> None:
    """Remember that this key got this answer, where there is a key and an answer."""
    if key is None or took.answered is None:
        return
    reply = Reply(body_digest(order), took.answered.order_id, order.revision)
    orders.keep_reply(section, order.source, key, reply, at)


def keep_key_later(workshop: Workshop, order: Order, key: str | None, took: Took | None) -> None:
    """As `keep_key`, in a section of its own, and only where the key is new."""
    if key is None or took is None or took.answered is None:
        return
    with workshop.database.reading() as section:
        known = orders.reply_to(section, order.source, key)
    if known is None:
        with workshop.database.writing() as section:
            keep_key(section, order, key, took, stamp(workshop.clock()))


def _replayed(section: Section, order_id: str, revision: int, edition: int) -> Took:
    stored = orders.by_id(section, order_id, revision)
    if stored is None:
        raise LookupError(f"{order_id} revision {revision} is referred to and not there")
    return Took("replayed", (), edition, whole_answer(section, stored))


def _duplicate(order: Order, stored: StoredOrder, newest: int, edition: int) -> Finding:
    taken, sent = _said(Order.model_validate_json(stored.document)), _said(order)
    places = differences(taken, sent)
    return recorded(
        "order.duplicate",
        places[0] if places else "",
        f"Order {order.number} of {order.source}, revision {order.revision}, is taken as "
        f"{stored.id} with other content{_in_words(places, taken, sent)}. Where it is meant to change, ask "
        f"for a change of {stored.id} as revision {newest + 1}; where it is another order, give it a "
        "number of its own.",
        edition=edition,
        have={"differs": list(places)},
        need={"order": stored.id},
        also=places[1:],
    )


def _said(order: Order) -> dict[str, Value]:
    said: dict[str, Value] = order.model_dump(mode="json", by_alias=True, exclude_none=True)
    return said


def _in_words(places: Sequence[str], taken: Mapping[str, Value], sent: Mapping[str, Value]) -> str:
    """The first places with both values, for a text that goes on after them; '' where there are none."""
    told = [
        f"{at} was {_shown(value_at(taken, at))} and is now {_shown(value_at(sent, at))}"
        for at in places[:_TOLD]
    ]
    if len(places) > _TOLD:
        told.append(
            f"{len(places) - _TOLD} more {'differs' if len(places) == _TOLD + 1 else 'differ'}"
        )
    return f" ({'; '.join(told)})" if told else ""


def _shown(value: Value) -> str:
    if value is None:
        return "absent"
    text = compact(value)
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


def _other_revision(order: Order, stored: StoredOrder, edition: int) -> Finding:
    return recorded(
        "order.other-revision",
        "/revision",
        f"Order {order.number} of {order.source} is taken as {stored.id} in revision "
        f"{stored.revision}; a change is asked for at that order, not posted as a new one.",
        edition=edition,
        have={"revision": order.revision},
        need={"revision": stored.revision, "order": stored.id},
    )


def _key_reused(reply: Reply, edition: int) -> Finding:
    return recorded(
        "order.key-reused",
        "",
        f"This Idempotency-Key was used for order {reply.order_id}; another document needs its own key.",
        edition=edition,
        need={"order": reply.order_id},
    )
