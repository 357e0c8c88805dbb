"""What a key of the catalog is called: heading of its table, label of its field, unit."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Final

from buildsheet.catalog.edition import KINDS
from buildsheet.web.pages.catalog.form import house_fields, rule_fields
from buildsheet.web.pages.catalog.form.field import Field
from buildsheet.web.pages.catalog.form.fields import fields_of
from buildsheet.web.pages.catalog.form.words import HEADINGS, label_of, unit_of

HOUSE: Final = "house"
RULE: Final = "rule"


def called(key: str, of: str) -> str:
    """The words for a dotted key of a part kind, of the house figures or of a rule.

    >>> called("spoke_limit_n", "rims"), called("left_flange.circle_mm", "hubs")
    ('Highest spoke tension (N)', 'Left flange: hole circle (mm)')
    >>> called("tension.band_percent", "house"), called("needs", "rule")
    ('Tension: band (%)', 'Must hold')
    """
    field = _fields(of).get(key)
    label = field.label if field else label_of(key)
    unit = field.unit if field else unit_of(key)
    table = key.partition(".")[0] if "." in key else ""
    if table:
        label = f"{_heading(table, of)}: {label[:1].lower()}{label[1:]}"
    return f"{label} ({unit})" if unit else label


def _heading(table: str, of: str) -> str:
    headings = house_fields.HEADINGS if of == HOUSE else HEADINGS
    return headings.get(table, table.replace("_", " ").capitalize())


@cache
def keys_of(of: str) -> frozenset[str]:
    """Every dotted key of a part kind, of the house figures or of a rule, rows' own keys among them."""
    fields = _fields(of).values()
    rows = (column.key for field in fields for column in field.columns)
    return frozenset([*_fields(of), *rows])


@cache
def _fields(of: str) -> Mapping[str, Field]:
    """Key -> field of the form."""
    if of == RULE:
        return {field.key: field for field in rule_fields.FIELDS}
    if of == HOUSE:
        return {field.key: field for field in house_fields.house_fields()}
    return {field.key: field for field in fields_of(of)} if of in KINDS else {}
