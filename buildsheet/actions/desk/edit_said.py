"""An edit in a few words, for the draft's history: what of it is new to the draft."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from buildsheet.actions.desk.part_in_draft import values_in
from buildsheet.catalog.amending.edits import Edit, PutPart, in_words, leaves, told
from buildsheet.catalog.edition import KINDS

MOST_KEYS: Final = 6
"""Told one by one; a form that was filled anew is told by its number of keys."""


def edit_said(before: Mapping[str, str], edit: Edit) -> str:
    """What the edit does to the draft whose files are ``before``. A part that comes whole, as forms send
    it, is told by the keys that differ."""
    if (
        not isinstance(edit, PutPart)
        or not edit.whole
        or edit.kind is None
        or edit.kind not in KINDS
    ):
        return in_words(edit)
    there = values_in(before, edit.kind, edit.code)
    if there is None:
        return in_words(edit)
    fields = KINDS[edit.kind].model_fields
    unsaid = {key: each.default for key, each in fields.items() if not each.is_required()}
    old, new = {**unsaid, **dict(leaves(there))}, dict(leaves(edit.values))
    changed = [f"{key} = {told(value)}" for key, value in new.items() if old.get(key) != value]
    changed += [f"{key} left out" for key in dict(leaves(there)) if key not in new]
    if len(changed) > MOST_KEYS:
        return f"{edit.code}: {len(changed)} keys changed"
    return f"{edit.code}: {', '.join(changed) or 'saved as it was'}"
