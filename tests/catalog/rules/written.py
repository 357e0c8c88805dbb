"""Rules for tests: one that is sound, altered in some keys; and the demo catalog with such rules."""

from __future__ import annotations

import json
from typing import Any

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from buildsheet.catalog.rules.rule import Rule
from buildsheet.findings import Finding
from tests.catalog.demo_texts import demo_texts

FILE = "rules/tried.toml"
SOUND: dict[str, Any] = {
    "id": "tried",
    "scope": "wheel",
    "needs": "rim.depth_mm <= 50.0",
    "severity": "caution",
    "at": "rim",
    "says": "Rim {rim.code} is {rim.depth_mm} mm deep.",
    "reason": "It catches the wind.",
    "source": "invented for a test",
    "owner": "engineering",
    "accepts": [{"rim": "OR33D"}],
    "refuses": [{"rim": "OR58D"}],
}


def rule(**keys: Any) -> Rule:
    """A rule as a value; its examples are not run."""
    values = {**SOUND, **keys}
    for key in ("accepts", "refuses"):
        values[key] = tuple(values[key])
    return Rule.model_validate(values)


def toml(**keys: Any) -> str:
    """A rule as a table of a rule file; a key given as None is left out."""
    values = {key: each for key, each in {**SOUND, **keys}.items() if each is not None}
    lines = ["[[rule]]", *(f"{key} = {_value(each)}" for key, each in values.items())]
    return "\n".join(lines) + "\n"


def _value(value: Any) -> str:
    if isinstance(value, dict):
        inner = ", ".join(f"{json.dumps(key)} = {_value(each)}" for key, each in value.items())
        return "{ " + inner + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_value(each) for each in value) + "]"
    return json.dumps(value)


def read(*texts: str) -> tuple[Edition | None, tuple[Finding, ...]]:
    """The demo's parts with these rules, and no others."""
    parts = {name: text for name, text in demo_texts().items() if not name.startswith("rules/")}
    return read_catalog({**parts, FILE: "\n".join(texts)})


def edition_with(*texts: str) -> Edition:
    """The edition, where nothing is at fault."""
    edition, faults = read(*texts)
    assert edition is not None, [each.says for each in faults]
    return edition


def faults_of(*texts: str) -> tuple[Finding, ...]:
    """The faults of rules that must not load."""
    edition, faults = read(*texts)
    assert edition is None
    return faults


def fault_of(**keys: Any) -> Finding:
    """The only fault of one rule, altered."""
    faults = faults_of(toml(**keys))
    assert len(faults) == 1, [each.says for each in faults]
    return faults[0]
