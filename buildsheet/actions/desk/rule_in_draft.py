"""Rules of a draft, also of one that holds faults: listed, and looked at before they are saved."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from buildsheet.actions.desk.standing import read_once
from buildsheet.catalog.amending.edits import DEFAULT_SUBJECT
from buildsheet.catalog.amending.tables import Unreadable, rules_in, with_rule
from buildsheet.catalog.faults import Place
from buildsheet.findings import Finding

Texts = Mapping[str, str]

FOLDER: Final = "rules/"
NEW_FILE: Final = f"{FOLDER}{DEFAULT_SUBJECT}.toml"
"""Where a rule that the desk writes goes."""


@dataclass(frozen=True, slots=True)
class RuleInDraft:
    """One rule as the draft's file has it."""

    id: str
    file: str
    values: Mapping[str, Any]


def rules_in_draft(texts: Texts) -> Mapping[str, RuleInDraft]:
    """By id; a file that cannot be read has none, which the draft's findings say."""
    found: dict[str, RuleInDraft] = {}
    for file in sorted(texts):
        if file.startswith(FOLDER):
            for name, values in _rules(texts[file]).items():
                plain = {key: value for key, value in values.items() if key != "id"}
                found[name] = RuleInDraft(name, file, plain)
    return dict(sorted(found.items()))


def _rules(text: str) -> dict[str, dict[str, Any]]:
    try:
        return rules_in(text)
    except Unreadable:
        return {}


def look_at_rule(texts: Texts, name: str, values: Mapping[str, Any]) -> tuple[Finding, ...]:
    """What the catalog's reading would say if the draft had this rule: every fault in it, its examples
    run. Stores nothing."""
    there = rules_in_draft(texts).get(name)
    file = there.file if there else NEW_FILE
    try:
        with_it = {**texts, file: with_rule(texts.get(file, ""), name, values)}
    except Unreadable:
        return read_once(texts)[1]
    place = Place(file, (name,)).at
    return tuple(
        each
        for each in read_once(with_it)[1]
        if each.at == place or each.at.startswith(place + "/")
    )
