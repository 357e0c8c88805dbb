"""The draft that a page is about, and what to say to a form that comes too late."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from flask import abort, redirect, url_for

from buildsheet.actions.desk.draft import Draft, DraftEdit, StaleDraft, the_draft
from buildsheet.web.workshop_here import workshop_here


@dataclass(frozen=True, slots=True)
class Clash:
    """One key that the draft now has otherwise than the form."""

    key: str
    there: Any
    typed: Any


@dataclass(frozen=True, slots=True)
class Late:
    """A form made from a version that is no longer the draft's: what changed since, what clashes."""

    made_from: int
    since: tuple[DraftEdit, ...]
    clashes: tuple[Clash, ...] = ()


def draft_here() -> Draft:
    """The draft. Where there is none, the request ends at the page that begins one."""
    draft = the_draft(workshop_here())
    if draft is None:
        abort(redirect(url_for("pages.draft_page"), 303))
    return draft


def late(
    stale: StaleDraft,
    there: Mapping[str, Any] | None = None,
    typed: Mapping[str, Any] | None = None,
) -> Late:
    """What to say to a form that was overtaken; ``there`` the values now, ``typed`` those of the form."""
    clashes = () if there is None or typed is None else tuple(_clashes(there, typed, ""))
    return Late(stale.version, stale.since, clashes)


def _clashes(there: Mapping[str, Any], typed: Mapping[str, Any], above: str) -> Iterator[Clash]:
    for key in dict.fromkeys((*there, *typed)):
        old, new = there.get(key), typed.get(key)
        if isinstance(old, Mapping) and isinstance(new, Mapping):
            yield from _clashes(old, new, f"{above}{key}.")
        elif old != new:
            yield Clash(above + key, old, new)
