"""Who is told of events, and how far each of them got."""

from __future__ import annotations

from dataclasses import dataclass

from buildsheet.storage.database import Section


@dataclass(frozen=True, slots=True)
class StoredWebhook:
    """One receiver. ``secret`` is kept as it is, because what is sent is signed with it; ``sent_to`` is
    the last event that it has, ``next_at`` when it may be tried again after ``failures``."""

    name: str
    url: str
    secret: str
    added_by: str
    added_at: str
    sent_to: int
    failures: int
    next_at: str
    trouble: str
    ended_at: str | None


_SELECT = """
    select webhooks.name, webhooks.url, webhooks.secret, webhooks.added_by, webhooks.added_at,
           webhook_progress.sent_to, webhook_progress.failures, webhook_progress.next_at,
           webhook_progress.trouble, webhook_progress.ended_at
    from webhooks join webhook_progress on webhook_progress.name = webhooks.name
"""


def insert(
    section: Section, *, name: str, url: str, secret: str, starts_after: int, by: str, at: str
) -> None:
    """A new receiver, to be told of what comes after event ``starts_after``; its name is its for ever."""
    section.run(
        """
        insert into webhooks (name, url, secret, starts_after, added_by, added_at)
        values (?, ?, ?, ?, ?, ?)
        """,
        name,
        url,
        secret,
        starts_after,
        by,
        at,
    )
    section.run(
        """
        insert into webhook_progress (name, sent_to, failures, next_at, trouble)
        values (?, ?, 0, ?, '')
        """,
        name,
        starts_after,
        at,
    )


def everyone(section: Section) -> tuple[StoredWebhook, ...]:
    """Every receiver there ever was, by name."""
    return tuple(StoredWebhook(*row) for row in section.rows(_SELECT + "order by webhooks.name"))


def named(section: Section, name: str) -> StoredWebhook | None:
    """The receiver of this name."""
    row = section.row(_SELECT + "where webhooks.name = ?", name)
    return StoredWebhook(*row) if row else None


def last_event(section: Section) -> int:
    """The number of the newest event; 0 before the first."""
    return int(section.one("select coalesce(max(sequence), 0) from events")[0])


def sent(section: Section, name: str, sequence: int) -> None:
    """The receiver has everything up to this event. Two senders at once never set it back."""
    section.run(
        """
        update webhook_progress set sent_to = ?, failures = 0, trouble = ''
        where name = ? and sent_to < ?
        """,
        sequence,
        name,
        sequence,
    )


def failed(section: Section, name: str, trouble: str, next_at: str) -> None:
    """An attempt failed; the next comes no earlier than ``next_at``."""
    section.run(
        """
        update webhook_progress set failures = failures + 1, trouble = ?, next_at = ? where name = ?
        """,
        trouble,
        next_at,
        name,
    )


def end(section: Section, name: str, *, by: str, at: str) -> bool:
    """Tell this receiver nothing any more; False where there is none, or it ended before."""
    changed = section.run(
        """
        update webhook_progress set ended_at = ?, ended_by = ? where name = ? and ended_at is null
        """,
        at,
        by,
        name,
    )
    return changed == 1
