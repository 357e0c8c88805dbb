"""The codes of form that every posted document but an order can be answered with."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from buildsheet.codes import CodeEntry, entry

FORM: Final = "form of the document"

_ENTRIES: Final = (
    entry(
        "data.not-json", "block", "The text is not JSON.", "What cannot be read says nothing.", FORM
    ),
    entry(
        "data.not-utf8",
        "block",
        "The text is not UTF-8.",
        "What cannot be read says nothing.",
        FORM,
    ),
    entry(
        "data.too-large",
        "block",
        "The document is larger than its kind needs.",
        "More than its kind needs is something else, or an attack.",
        FORM,
    ),
    entry(
        "data.too-deep",
        "block",
        "The document nests deeper than its kind needs.",
        "Depth that nobody needs is something else, or an attack.",
        FORM,
    ),
    entry(
        "data.duplicate-member",
        "block",
        "An object names a member twice.",
        "Of two values for one thing, one would be lost in silence.",
        FORM,
    ),
    entry(
        "data.unknown-member",
        "block",
        "The document has a member that its form does not know.",
        "A misspelt member would be ignored in silence.",
        FORM,
    ),
    entry(
        "data.missing-member",
        "block",
        "A member is missing that the form asks for.",
        "What nobody stated is not assumed.",
        FORM,
    ),
    entry(
        "data.wrong-type",
        "block",
        "A value is of another type than its member.",
        "A number written as text may hide a unit or a comma.",
        FORM,
    ),
    entry(
        "data.not-a-number",
        "block",
        "A number is none that can be held.",
        "What cannot be held exactly would be changed in silence.",
        FORM,
    ),
    entry(
        "data.not-a-choice",
        "block",
        "A word is none of those that the member may hold.",
        "A word without meaning would be passed over.",
        FORM,
    ),
    entry(
        "data.out-of-range",
        "block",
        "A number lies outside what its member may hold.",
        "It is a slip of the unit or of the comma.",
        FORM,
    ),
    entry(
        "data.text",
        "block",
        "A text is empty, too long, of another form or not readable.",
        "Texts are printed and compared: they must be readable, and written one way only.",
        FORM,
    ),
)

DOCUMENT_CODES: Final[Mapping[str, CodeEntry]] = MappingProxyType(
    {each.code: each for each in _ENTRIES}
)
"""By code."""
