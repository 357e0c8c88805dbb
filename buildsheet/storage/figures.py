"""What a scraper asks of the workshop file: how much of what is there right now. Nothing is written."""

from __future__ import annotations

from pathlib import Path

from buildsheet.storage.database import Section


def open_orders(section: Section) -> dict[str, int]:
    """State -> orders in it, of those that something is still to be done for."""
    rows = section.rows(
        """
        select state, count(*) from orders
        where state not in ('shipped', 'closed', 'cancelled') group by state
        """
    )
    return {str(state): int(count) for state, count in rows}


def open_wheels(section: Section) -> dict[str, int]:
    """State -> wheels in it, of those that are in the house to be built."""
    rows = section.rows(
        """
        select state, count(*) from wheels
        where state not in ('shipped', 'stock', 'cancelled') group by state
        """
    )
    return {str(state): int(count) for state, count in rows}


def handed_out(section: Section, kind: str) -> int:
    """How many numbers of this kind were given out, ever: as many as there are orders, or wheels."""
    return int(section.one("select coalesce(sum(last), 0) from allotments where kind = ?", kind)[0])


def holds(section: Section) -> int:
    """Wheels that parts are set aside for."""
    return int(section.one("select count(*) from stock_holds where state = 'held'")[0])


def articles(section: Section) -> tuple[int, int, int]:
    """Articles of which pieces are free, of which none is, and of which more is held than lies there."""
    row = section.one(
        """
        select count(*) filter (where shelf > held), count(*) filter (where shelf = held),
               count(*) filter (where shelf < held) from stock_levels
        """
    )
    return int(row[0]), int(row[1]), int(row[2])


def events(section: Section) -> int:
    """How many things happened since the file was begun."""
    return int(section.one("select coalesce(max(sequence), 0) from events")[0])


def receivers(section: Section) -> tuple[int, int, int]:
    """Receivers that are told of events, those of them that did not take the last one, and events that
    are still to be sent, each counted once for every receiver."""
    row = section.one(
        """
        select count(*), count(*) filter (where failures > 0),
               coalesce(sum((select coalesce(max(sequence), 0) from events) - sent_to), 0)
        from webhook_progress where ended_at is null
        """
    )
    return int(row[0]), int(row[1]), int(row[2])


def schema(section: Section) -> int:
    """The number of the newest step that the tables have had."""
    row = section.one("select max(name) from _sqlite_migrations where migration_set = 'buildsheet'")
    return int(str(row[0]).partition(" ")[0])


def bytes_on_disk(path: Path) -> tuple[int, int]:
    """The size of a workshop file, and of its log, which is not there between two services."""
    log = path.with_name(f"{path.name}-wal")
    return path.stat().st_size, log.stat().st_size if log.exists() else 0
