"""The fields of a rule, and its examples as lines of text."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any, Final

from buildsheet.catalog.allowed import allowed_at, in_words
from buildsheet.catalog.rules.rule import MOST_EXAMPLES, Rule
from buildsheet.web.pages.catalog.form.field import Field, Group
from buildsheet.web.pages.catalog.form.typed import Texts, Typed, typed
from buildsheet.web.pages.catalog.form.written import written

EXAMPLES: Final = ("accepts", "refuses")

_LABELS: Final = {
    "scope": "Asked of",
    "when": "When",
    "needs": "Must hold",
    "severity": "Severity",
    "at": "Points at",
    "says": "Says",
    "reason": "Reason",
    "source": "Source",
    "owner": "Owner",
    "until": "Last edition",
    "accepts": "Examples that it accepts",
    "refuses": "Examples that it refuses",
}
_HELP: Final = {
    "scope": "A part alone, a wheel, both wheels of a set, or the order.",
    "when": "Empty: it is always asked.",
    "needs": "True where all is well. The facts it may read stand below.",
    "severity": "Block stops the order, approval asks for an approval by name, caution and note are said.",
    "at": "The member of the order that the finding is about, such as hub or spoke/left.",
    "says": "What the customer reads. A fact in braces is filled in: {rim.depth_mm}.",
    "reason": "What would go wrong.",
    "source": "Where it is from and how sure: read, second-hand, memory, common practice, proposal.",
    "owner": "Who is asked about it.",
    "until": "An exception ends: the last edition in which the rule is asked. Empty: it stays.",
    "accepts": 'One in a line, such as rim = "OR33D", use.class = 1. Each is run at every reading.',
    "refuses": "One in a line. A rule that never refuses anything is no rule.",
}
_TEXTS: Final = {"when": 2, "needs": 4, "accepts": 4, "refuses": 4}
_WIDE: Final = frozenset({"says", "reason", "source"})


def _field(key: str) -> Field:
    node = allowed_at(Rule, (key,))
    words = tuple(str(each) for each in node.get("enum", ()))
    is_plain = key not in (*EXAMPLES, "until") and not words
    return Field(
        key=key,
        label=_LABELS[key],
        unit="",
        shape="choice"
        if words
        else "text"
        if key in _TEXTS
        else "whole"
        if key == "until"
        else "line",
        required=Rule.model_fields[key].is_required(),
        allowed=in_words(node, Rule) if is_plain else "",
        help=_HELP[key],
        words=words,
        rows=_TEXTS.get(key, 1),
        wide=key in _WIDE,
    )


FIELDS: Final[tuple[Field, ...]] = tuple(_field(key) for key in _LABELS)
_BY_KEY: Final = {field.key: field for field in FIELDS}


def _group(heading: str, intro: str, keys: str) -> Group:
    return Group(heading, intro, tuple(_BY_KEY[key] for key in keys.split()))


GROUPS: Final = (
    _group(
        "Condition",
        "Written in CEL, the open expression language. A fact that a part does not state stops the "
        "wheel: it cannot be judged.",
        "scope severity when needs",
    ),
    _group("What is said", "", "says at reason source owner until"),
    _group("Examples", "At least one of each.", "accepts refuses"),
)


def rule_texts(values: Mapping[str, Any]) -> dict[str, list[str]]:
    """What stands in the form for these values."""
    plain = {key: value for key, value in values.items() if key not in EXAMPLES}
    texts = written(FIELDS, plain)
    for key in EXAMPLES:
        examples = values.get(key, ())
        lines = [example_line(each) for each in examples if isinstance(each, Mapping)]
        texts[key] = ["\n".join(lines)]
    return texts


def rule_typed(texts: Texts) -> Typed:
    """The values of the form, and what could not be read."""
    read = typed(FIELDS, texts)
    values, unread = dict(read.values), dict(read.unread)
    for key in EXAMPLES:
        text = values.pop(key, "")
        try:
            examples = [_example(line) for line in text.splitlines() if line.strip()]
        except ValueError as trouble:
            unread[key] = str(trouble)
            continue
        values[key] = examples[:MOST_EXAMPLES]
    return Typed({key: value for key, value in values.items() if value != []}, unread)


def example_line(example: Mapping[str, Any]) -> str:
    """An example as it is typed.

    >>> example_line({"rim": "OR33D", "use": {"class": 1}})
    'rim = "OR33D", use.class = 1'
    """
    flat = dict(_flat(example, ""))
    return ", ".join(f"{key} = {json.dumps(value)}" for key, value in flat.items())


def _example(line: str) -> dict[str, Any]:
    text = line.strip().removeprefix("{").removesuffix("}").strip().rstrip(",")
    try:
        return dict(_flat(tomllib.loads(f"example = {{ {text} }}")["example"], ""))
    except (ValueError, RecursionError):
        raise ValueError(
            f'“{line.strip()[:60]}” cannot be read. An example is like: rim = "OR33D", holes = 24.'
        ) from None


def _flat(example: Mapping[str, Any], above: str) -> Iterator[tuple[str, Any]]:
    for key, value in example.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{above}{key}.")
        else:
            yield above + key, value
