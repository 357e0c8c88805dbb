"""The house figures of a draft, also of one that holds faults: shown, looked at, changed together."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from typing import Any

from buildsheet.actions.desk.draft import Changed, change
from buildsheet.actions.desk.standing import read_once
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.amending.edits import PutHouse
from buildsheet.catalog.amending.notes import notes_in
from buildsheet.catalog.amending.tables import Unreadable, with_value
from buildsheet.catalog.reading import HOUSE_FILE
from buildsheet.findings import Finding, Value

Texts = Mapping[str, str]
Figures = Mapping[str, Value]
"""Dotted key -> value; None takes the key out."""


def house_values(texts: Texts) -> dict[str, Any]:
    """The house file's tables; empty where it cannot be read, which the draft's findings say."""
    try:
        return tomllib.loads(texts.get(HOUSE_FILE, ""))
    except (ValueError, RecursionError):
        return {}


def house_notes(texts: Texts) -> Mapping[str, str]:
    """Dotted key -> what the file says of the figure, with the mark of its source."""
    return notes_in(texts.get(HOUSE_FILE, ""))


def look_at_house(texts: Texts, figures: Figures) -> tuple[Finding, ...]:
    """What the catalog's reading would say of these figures: every fault in the house file, and those
    elsewhere that they bring. Stores nothing."""
    before = {(each.code, each.at, each.says) for each in read_once(texts)[1]}
    text = texts.get(HOUSE_FILE, "")
    try:
        for key, value in figures.items():
            text = with_value(text, key, value)
    except (Unreadable, KeyError):
        return read_once(texts)[1]
    return tuple(
        each
        for each in read_once({**texts, HOUSE_FILE: text})[1]
        if each.at.startswith(f"/{HOUSE_FILE}") or (each.code, each.at, each.says) not in before
    )


def put_figures(workshop: Workshop, figures: Figures, *, version: int | None, by: str) -> Changed:
    """The draft with all of these figures, or with none and what is wrong with one.

    Raises NoDraft, StaleDraft, NoName.
    """
    edits = [PutHouse(key, value) for key, value in figures.items()]
    return change(workshop, edits, version=version, by=by)
