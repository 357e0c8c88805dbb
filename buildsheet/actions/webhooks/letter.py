"""One event as it is sent: the raw body, and headers that prove who sent it and when.

The signature is HMAC-SHA256 under the receiver's secret over ``id.timestamp.body`` in bytes; the
receiver computes it anew over the body as it came and drops what is too old or was seen before.
"""

from __future__ import annotations

import hmac
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from buildsheet.actions.moves.happened import event_document
from buildsheet.actions.plan_record import compact
from buildsheet.storage.events import Event


@dataclass(frozen=True, slots=True)
class Letter:
    """What goes to one receiver: address, headers, body."""

    url: str
    headers: Mapping[str, str]
    body: bytes


def letter(url: str, secret: str, event: Event, moment: datetime) -> Letter:
    """The event, signed at this moment. Its id is the event's number, so a second copy is known."""
    body = compact(event_document(event)).encode()
    number, when = f"event-{event.sequence}", str(int(moment.timestamp()))
    return Letter(
        url,
        {
            "Content-Type": "application/json",
            "User-Agent": "buildsheet",
            "Webhook-Id": number,
            "Webhook-Timestamp": when,
            "Webhook-Signature": f"v1={signature(secret, number, when, body)}",
        },
        body,
    )


def signature(secret: str, number: str, when: str, body: bytes) -> str:
    """The signature in hexadecimals."""
    return hmac.new(secret.encode(), f"{number}.{when}.".encode() + body, "sha256").hexdigest()
