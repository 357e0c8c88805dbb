"""Proof that the workshop file can be written right now."""

from __future__ import annotations

from buildsheet.storage.database import Section


def beat(section: Section, at: str) -> None:
    """Write the time; the section's commit is the proof."""
    section.run(
        "insert into heartbeat (id, at) values (1, ?) on conflict (id) do update set at = excluded.at",
        at,
    )
