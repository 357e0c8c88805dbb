"""What a key may hold, in words, and what a number outside its range may have been meant to be.

Read off the models' own JSON schema, so that the words and the check cannot disagree.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from math import inf
from types import MappingProxyType
from typing import Any, Final

from pydantic import BaseModel

from buildsheet.findings import Value
from buildsheet.units import NEWTON_PER_KGF, PSI_PER_BAR

Schema = Mapping[str, Any]

SLIPS: Final[Mapping[str, tuple[tuple[float, str], ...]]] = MappingProxyType(
    {
        "_mm": ((10.0, "centimetres?"), (25.4, "inches?"), (0.1, "a slipped decimal point?")),
        "_n": ((NEWTON_PER_KGF, "kilogram-force?"), (0.1, "a slipped decimal point?")),
        "_g": ((1000.0, "kilograms?"), (0.1, "a slipped decimal point?")),
        "_kg": ((0.001, "grams?"), (0.1, "a slipped decimal point?")),
        "_bar": ((1.0 / PSI_PER_BAR, "psi?"), (0.01, "kilopascals?")),
        "_gpa": ((0.001, "megapascals?"),),
        "_nm2": ((1e-6, "N mm2?"),),
        "_mm2": ((100.0, "square centimetres?"), (0.1, "a slipped decimal point?")),
        "_share": ((0.01, "percent?"),),
        "_percent": ((100.0, "a share?"),),
    }
)
"""By unit suffix: what a typed number times the factor would be, and the slip that explains it."""


@cache
def _schema(model: type[BaseModel]) -> Schema:
    return model.model_json_schema()


def allowed_at(model: type[BaseModel], keys: Iterable[str | int]) -> Schema:
    """The part of the model's schema that stands at ``keys``; {} where there is none."""
    root = _schema(model)
    node = root
    for key in keys:
        node = _child(_plain_node(node, root), key)
    return _plain_node(node, root)


def _child(node: Schema, key: str | int) -> Schema:
    if isinstance(key, int):
        fixed = node.get("prefixItems", ())
        found = fixed[key] if key < len(fixed) else node.get("items", {})
    else:
        found = node.get("properties", {}).get(key) or _any_key(node)
    return found if isinstance(found, Mapping) else {}


def _any_key(node: Schema) -> Any:
    """What a table holds under keys of its reader's choice, such as country codes."""
    by_pattern = node.get("patternProperties", {})
    return next(iter(by_pattern.values()), node.get("additionalProperties", {}))


def key_pattern(node: Schema) -> str | None:
    """The pattern that a table's keys follow, where it has one."""
    return next(iter(node.get("patternProperties", {})), None)


def _plain_node(node: Schema, root: Schema) -> Schema:
    """References followed, and of 'this or nothing' the this."""
    while "$ref" in node or "anyOf" in node:
        if "anyOf" in node:
            node = next(each for each in node["anyOf"] if each.get("type") != "null")
        else:
            node = root["$defs"][node["$ref"].rsplit("/", 1)[-1]]
    return node


def keys_of(node: Schema) -> tuple[str, ...]:
    """The keys of a table, as somebody writes them: the code is the table's name, no key."""
    return tuple(key for key in node.get("properties", ()) if key != "code")


def in_words(node: Schema, model: type[BaseModel]) -> str:
    """What is allowed, for a sentence.

    >>> in_words({"type": "number", "minimum": 8.0, "maximum": 120.0}, BaseModel)
    'a number from 8 to 120'
    >>> in_words({"type": "number", "minimum": 1e6, "maximum": 1e8}, BaseModel)
    'a number from 1000000 to 100000000'
    """
    node = _plain_node(node, _schema(model)) if "$ref" in node or "anyOf" in node else node
    kind = node.get("type")
    if "enum" in node:
        return "one of " + ", ".join(str(each) for each in node["enum"])
    if "const" in node:
        return str(node["const"])
    if kind in ("number", "integer"):
        return ("a whole number" if kind == "integer" else "a number") + _range(node)
    if kind == "boolean":
        return "true or false"
    if kind == "string":
        return str(
            node.get("description") or f"text of up to {node.get('maxLength', 200)} characters"
        )
    if kind == "array":
        return _list(node, model)
    return "a table"


def _range(node: Schema) -> str:
    low, above = node.get("minimum"), node.get("exclusiveMinimum")
    high, below = node.get("maximum"), node.get("exclusiveMaximum")
    words = (
        f" above {above:.15g}"
        if above is not None
        else f" from {low:.15g}"
        if low is not None
        else ""
    )
    if high is not None:
        return f"{words} to {high:.15g}" if low is not None else f"{words}, up to {high:.15g}"
    return f"{words}, below {below:.15g}" if below is not None else words


def _list(node: Schema, model: type[BaseModel]) -> str:
    if "prefixItems" in node:
        return (
            f"a list of {len(node['prefixItems'])}, each {in_words(node['prefixItems'][0], model)}"
        )
    least = f"at least {node['minItems']}, each " if "minItems" in node else ""
    return f"a list of {least}{in_words(node.get('items', {}), model)}"


def as_need(node: Schema) -> dict[str, Value]:
    """What is allowed, for a program: type, bounds and words of the schema."""
    wanted = (
        "type",
        "minimum",
        "exclusiveMinimum",
        "maximum",
        "exclusiveMaximum",
        "enum",
        "pattern",
    )
    return {key: node[key] for key in (*wanted, "minItems", "maxItems") if key in node}


def slip(key: str, number: float, node: Schema) -> tuple[float, str] | None:
    """What an out-of-range number may have been meant to be, and the slip; None where nothing fits.

    >>> slip("seat_diameter_mm", 53.96, {"minimum": 200.0, "maximum": 680.0})
    (539.6, 'centimetres?')
    """
    suffix = "_" + key.rsplit("_", 1)[-1]
    for factor, words in SLIPS.get(suffix, ()):
        meant = float(f"{number * factor:.5g}")
        if _inside(meant, node):
            return meant, words
    return None


def _inside(number: float, node: Schema) -> bool:
    bounds = (
        number >= node.get("minimum", -inf),
        number > node.get("exclusiveMinimum", -inf),
        number <= node.get("maximum", inf),
        number < node.get("exclusiveMaximum", inf),
    )
    return all(bounds)
