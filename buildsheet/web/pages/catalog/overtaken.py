"""A form that comes too late, reconciled with what the draft says now.

What the person changed is kept as it was typed. What the person left alone follows the draft, so that
saving again undoes nobody's work unseen; where both changed the same, both are shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from buildsheet.actions.desk.draft import DraftEdit, StaleDraft
from buildsheet.web.pages.catalog.form.field import Field
from buildsheet.web.pages.catalog.form.typed import put
from buildsheet.web.pages.catalog.form.written import value_at

Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Clash:
    """One key that the draft and the form both changed, each in its own way."""

    key: str
    there: Any
    typed: Any


@dataclass(frozen=True, slots=True)
class Late:
    """What a form is told that was overtaken: what changed since, what clashes, and the keys that follow
    the draft because nobody touched them in the form. ``is_kept``: something was typed, and still is."""

    made_from: int
    since: tuple[DraftEdit, ...]
    clashes: tuple[Clash, ...] = ()
    taken: tuple[str, ...] = ()
    is_kept: bool = False


@dataclass(frozen=True, slots=True)
class Reconciled:
    """The form's values after that, and what to tell."""

    values: dict[str, Any]
    late: Late


def late(stale: StaleDraft) -> Late:
    """What to tell a form in which nothing was typed but a name."""
    return Late(stale.version, stale.since)


def reconciled(
    stale: StaleDraft, fields: Iterable[Field], shown: Values, there: Values, typed: Values
) -> Reconciled:
    """The form against the draft: ``shown`` is what the form was made from, ``there`` what the draft
    says now, ``typed`` what was sent."""
    values: dict[str, Any] = {}
    clashes: list[Clash] = []
    taken: list[str] = []
    for field in fields:
        was, now, sent = (value_at(each, field.path) for each in (shown, there, typed))
        kept = now if sent == was else sent
        if kept is not None:
            put(values, field.path, kept)
        if now not in (was, sent) and sent != was:
            clashes.append(Clash(field.key, now, sent))
        elif sent == was != now:
            taken.append(field.key)
    return Reconciled(
        values, Late(stale.version, stale.since, tuple(clashes), tuple(taken), is_kept=True)
    )
