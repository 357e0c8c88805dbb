"""Every code that reading catalog files can give: what it says in general, and why it matters."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from buildsheet.findings import Value

SOURCE: Final = "form of the catalog files"


@dataclass(frozen=True, slots=True)
class FaultCode:
    """One code. All of them block: a catalog with a fault is not loaded, or not published."""

    code: str
    says: str
    reason: str

    def as_json(self) -> dict[str, Value]:
        """One line of the public list of codes."""
        return {
            "code": self.code,
            "severities": ["block"],
            "says": self.says,
            "reason": self.reason,
            "source": SOURCE,
        }


FAULT_CODES: Final[Mapping[str, FaultCode]] = MappingProxyType(
    {
        each.code: each
        for each in (
            FaultCode(
                "data.unreadable",
                "A catalog file is not plain text of a sensible size and depth.",
                "What cannot be read as text cannot be checked.",
            ),
            FaultCode(
                "data.syntax",
                "A catalog file does not follow its format.",
                "Nothing behind the place can be read with certainty.",
            ),
            FaultCode(
                "data.missing-file",
                "A catalog file is missing.",
                "A catalog that lacks a file is not whole.",
            ),
            FaultCode(
                "data.unknown-file",
                "A file lies in the catalog that nobody reads.",
                "It looks as if it counted.",
            ),
            FaultCode(
                "data.missing-key",
                "A key is left out that every part of the kind needs.",
                "The figure would have to be guessed.",
            ),
            FaultCode(
                "data.unknown-key",
                "A key stands in a table that nobody reads.",
                "It looks as if it counted.",
            ),
            FaultCode(
                "data.wrong-type",
                "A value is of another type than its key.",
                "It would have to be interpreted, and each reader would do so differently.",
            ),
            FaultCode(
                "data.wrong-count",
                "A list or row has more or fewer entries than it may have.",
                "What the entries mean would have to be guessed.",
            ),
            FaultCode(
                "data.wrong-form",
                "A code or word is not written in its form.",
                "Codes and words must be written one way only.",
            ),
            FaultCode(
                "data.unknown-word",
                "A word is none of those that the key may hold.",
                "A word without meaning to the checks would pass them by.",
            ),
            FaultCode(
                "data.out-of-range",
                "A number lies outside what any bicycle wheel part has.",
                "It is a slip of the unit or of the decimal point.",
            ),
            FaultCode(
                "data.implausible",
                "Dimensions of one part contradict each other.",
                "One of them was typed wrong, and lengths and tensions follow from all of them.",
            ),
            FaultCode(
                "data.contradiction",
                "Two statements exclude each other.",
                "What follows from both cannot be built.",
            ),
            FaultCode(
                "data.duplicate",
                "A name stands twice.",
                "A name with two meanings has none.",
            ),
            FaultCode(
                "data.unknown-reference",
                "A part refers to something that the catalog does not have.",
                "It could never be built, or would be built with the wrong part.",
            ),
            FaultCode(
                "data.rule-expression",
                "A rule's condition or sentence cannot be understood.",
                "A rule that cannot be read would guard nothing.",
            ),
            FaultCode(
                "data.rule-example",
                "A rule judges one of its own examples otherwise than it says.",
                "Either the rule or the example says what nobody means.",
            ),
            FaultCode(
                "data.retyped",
                "A spreadsheet has made something else of what was typed.",
                "A code that became a date or a number names no part, or another one.",
            ),
            FaultCode(
                "data.formula",
                "A cell holds a formula or an error in place of a value.",
                "What it would come to depends on where it is opened.",
            ),
            FaultCode(
                "data.ditto",
                "A cell stands for the one above it.",
                "It means something else as soon as the rows are sorted.",
            ),
            FaultCode(
                "data.mixed-decimals",
                "A file has decimal commas and decimal points.",
                "A number with a mark before three digits could be read both ways.",
            ),
            FaultCode(
                "data.unproved",
                "A new or changed limit names no report of its own.",
                "A wheel is loaded up to its limits, and a limit that nobody tested can hurt its rider.",
            ),
            FaultCode(
                "data.unmeasured",
                "A new or changed figure has not been measured twice.",
                "Every spoke is cut by it, and a slip of one measurement shows only against another.",
            ),
            FaultCode(
                "data.edit-form",
                "An edit of the catalog is not written in its form.",
                "What it should change would have to be guessed.",
            ),
            FaultCode(
                "data.edit-nowhere",
                "An edit of the catalog names something that is not there.",
                "It would change nothing, or something else.",
            ),
        )
    }
)
"""By code."""
