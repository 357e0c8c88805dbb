"""Everything that is due, sent: to each receiver one event after another, until one is not taken.

What a receiver took is kept after it took it: a sender that dies in between sends that event again
(at least once). What it did not take is tried again after a pause that doubles, from half a minute to
six hours [common practice], and nothing overtakes it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from buildsheet.actions.webhooks.letter import Letter, letter
from buildsheet.actions.webhooks.post import post
from buildsheet.actions.workshop import Workshop, stamp
from buildsheet.storage import events, webhooks
from buildsheet.storage.webhooks import StoredWebhook

FIRST_PAUSE: Final = timedelta(seconds=30)
LONGEST_PAUSE: Final = timedelta(hours=6)
MOST_AT_ONCE: Final = 1000
"""Events to one receiver in one run: another run sends the rest, after the other receivers had theirs."""

Post = Callable[[Letter], str]


@dataclass(frozen=True, slots=True)
class Sent:
    """What became of one receiver: events it took, and the trouble that ended it ('' none)."""

    name: str
    taken: int
    trouble: str = ""


def send_due(workshop: Workshop, deliver: Post = post) -> tuple[Sent, ...]:
    """Send to every receiver what it does not have, where its pause is over."""
    now = stamp(workshop.clock())
    with workshop.database.reading() as section:
        due = [
            each
            for each in webhooks.everyone(section)
            if each.ended_at is None and each.next_at <= now
        ]
    return tuple(_send_to(workshop, each, deliver) for each in due)


def _send_to(workshop: Workshop, receiver: StoredWebhook, deliver: Post) -> Sent:
    with workshop.database.reading() as section:
        waiting = events.after(section, receiver.sent_to, MOST_AT_ONCE)
    for taken, event in enumerate(waiting):
        moment = workshop.clock()
        trouble = deliver(letter(receiver.url, receiver.secret, event, moment))
        with workshop.database.writing() as section:
            if trouble:
                failures = receiver.failures if taken == 0 else 0
                webhooks.failed(section, receiver.name, trouble, stamp(moment + pause(failures)))
                return Sent(receiver.name, taken, trouble)
            webhooks.sent(section, receiver.name, event.sequence)
    return Sent(receiver.name, len(waiting))


def pause(failures: int) -> timedelta:
    """How long to wait after so many failures before this one.

    >>> pause(0).seconds, pause(3).seconds, pause(400) == LONGEST_PAUSE
    (30, 240, True)
    """
    return min(FIRST_PAUSE * (1 << min(failures, 20)), LONGEST_PAUSE)
