"""One rule of the catalog: a condition that a part, a wheel, a set or an order must meet, as data."""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema
from pydantic_core import PydanticCustomError

from buildsheet.findings import Severity

Scope = Literal["part", "wheel", "set", "order"]
Fact = bool | int | float | str | tuple[int, ...] | tuple[float, ...] | tuple[str, ...]
"""What a fact can be. A fact that is not known is absent, never None."""

LONGEST_EXPRESSION = 2000
"""Characters. The longest condition of the trade's own list needs some 150."""

MOST_EXAMPLES = 20

PLAIN = r"^[^\x00-\x1f\x7f-\x9f\u2028\u2029]*\S[^\x00-\x1f\x7f-\x9f\u2028\u2029]*$"
RuleId = Annotated[
    str,
    Field(
        pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$",
        max_length=60,
        description="small letters, digits and dashes, like light-spokes-heavy-rider, up to 60",
    ),
]
Expression = Annotated[
    str,
    Field(
        min_length=1,
        max_length=LONGEST_EXPRESSION,
        description=f"a condition in CEL of up to {LONGEST_EXPRESSION} characters",
    ),
]
Line = Annotated[
    str,
    Field(
        max_length=300,
        pattern=PLAIN,
        description="one line of 1 to 300 characters that says something",
    ),
]


def _flat(example: object) -> object:
    """Tables in a table as dotted names: `{use: {rider_kg: 80}}` is `{"use.rider_kg": 80}`."""
    if not isinstance(example, Mapping):
        return example
    flat: dict[str, object] = {}
    for key, value in example.items():
        inner = _flat(value)
        if isinstance(inner, dict):
            flat.update({f"{key}.{name}": each for name, each in inner.items()})
        else:
            flat[str(key)] = value
    return flat


def _fact(value: object) -> object:
    """A value that a fact can have; one complaint, where a union of types would make six."""
    entries = value if isinstance(value, tuple) else (value,)
    plain = all(isinstance(each, (bool, int, float, str)) for each in entries)
    whole = all(not isinstance(each, int) or abs(each) < LARGEST_WHOLE for each in entries)
    finite = all(not isinstance(each, float) or isfinite(each) for each in entries)
    if not (plain and whole and finite):
        raise PydanticCustomError("fact", "no value that a fact can have")
    return value


LARGEST_WHOLE = 10**15
ExampleValue = Annotated[
    Any,
    BeforeValidator(_fact),
    WithJsonSchema(
        {"type": "string", "description": "a number, a text, true or false, or a list of them"}
    ),
]
Example = Annotated[Mapping[str, ExampleValue], BeforeValidator(_flat)]
"""A member (``rim``, ``holes``) with its code or value, or a dotted fact with its value."""

Examples = Annotated[tuple[Example, ...], Field(min_length=1, max_length=MOST_EXAMPLES)]


class Rule(BaseModel):
    """A condition with everything that a person needs to judge it.

    ``when`` absent: always asked. ``at`` is the member of the order that a finding points at. ``until``
    is the last edition in which the rule is asked: exceptions end. ``accepts`` and ``refuses`` are
    examples that are run at every reading of the catalog.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)

    id: RuleId
    scope: Scope
    when: Expression | None = None
    needs: Expression
    severity: Severity
    at: Annotated[str, Field(max_length=40)]
    says: Line
    reason: Line
    source: Line
    owner: Line
    accepts: Examples
    refuses: Examples
    until: Annotated[int, Field(ge=1, le=1_000_000)] | None = None

    @property
    def code(self) -> str:
        """The code of its findings: ``rule.<id>``."""
        return f"rule.{self.id}"

    def asked_in(self, edition: int) -> bool:
        """Whether it still counts in this edition."""
        return self.until is None or edition <= self.until
