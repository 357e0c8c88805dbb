"""Every code that a wheel file can be answered with, and the one way to make a finding of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from buildsheet.findings import Finding, Severity, Value

FORM: Final = "form of the wheel file"
_STANDARD: Final = "JIS D 9301:2019, 5.5.1.3, through an institute's test summary: second-hand"


@dataclass(frozen=True, slots=True)
class WheelFileCode:
    """One code: the severities it can have, what it says in general, why it matters, who says so."""

    code: str
    severities: tuple[Severity, ...]
    says: str
    reason: str
    source: str

    def as_json(self) -> dict[str, Value]:
        """One line of the public list of codes."""
        return {
            "code": self.code,
            "severities": list(self.severities),
            "says": self.says,
            "reason": self.reason,
            "source": self.source,
        }


_ENTRIES: Final = (
    WheelFileCode(
        "data.not-json",
        ("block",),
        "The text is not JSON.",
        "What cannot be read says nothing about a wheel.",
        FORM,
    ),
    WheelFileCode(
        "data.too-large",
        ("block",),
        "The file is larger than a wheel needs.",
        "A wheel takes a few kilobytes; more is not a wheel.",
        FORM,
    ),
    WheelFileCode(
        "data.duplicate-member",
        ("block",),
        "An object names a member twice.",
        "Of two values for one thing, one would be lost in silence.",
        FORM,
    ),
    WheelFileCode(
        "data.unknown-member",
        ("block",),
        "The file has a member that its form does not know.",
        "A misspelt member would be ignored in silence.",
        FORM,
    ),
    WheelFileCode(
        "data.missing-member",
        ("block",),
        "A member is missing that the form asks for.",
        "A figure that nobody stated is not assumed.",
        FORM,
    ),
    WheelFileCode(
        "data.wrong-type",
        ("block",),
        "A value is of another type than its member.",
        "A number written as text may hide a unit or a comma.",
        FORM,
    ),
    WheelFileCode(
        "data.out-of-range",
        ("block",),
        "A number lies outside what any bicycle wheel has.",
        "No bicycle wheel has such a figure: a slip of unit or comma.",
        FORM,
    ),
    WheelFileCode(
        "data.text",
        ("block",),
        "A text is empty, too long or not readable.",
        "A name is printed: it has to be readable.",
        FORM,
    ),
    WheelFileCode(
        "data.shares",
        ("block",),
        "The shares of a spoke's stretches do not add to one.",
        "The stretches of a spoke make up its whole length.",
        "geometry",
    ),
    WheelFileCode(
        "data.hole",
        ("block",),
        "A load acts at a hole that the rim does not have.",
        "A load needs a hole to act at.",
        "geometry",
    ),
    WheelFileCode(
        "data.tyre",
        ("block",),
        "The tyre is given twice, as squeeze and as hoop force.",
        "Squeeze and hoop force say the same; of two, one would be ignored.",
        FORM,
    ),
    WheelFileCode(
        "data.no-structure",
        ("note",),
        "No structure is computed: the rim's section is not given.",
        "Stiffness needs every structural figure of the rim.",
        "statics",
    ),
    WheelFileCode(
        "data.cannot-compute",
        (
            "block",
            "caution",
        ),
        "The wheel, or one of its loads, cannot be computed.",
        "The figures lie outside what the formulas hold for.",
        "statics",
    ),
    WheelFileCode(
        "lacing.cannot-lace",
        ("block",),
        "No pattern joins this hub and this rim.",
        "No spoke pattern joins this hub and this rim.",
        "geometry",
    ),
    WheelFileCode(
        "lacing.head-clearance",
        (
            "block",
            "caution",
        ),
        "The spoke passes close to the next spoke's head.",
        "A spoke that leans on its neighbour's head bends there and breaks there.",
        "geometry; head and wire as given, else 4.0 and 2.0 mm [common practice, no source]",
    ),
    WheelFileCode(
        "tension.rim-limit",
        ("block",),
        "The planned tension lies above the rim's limit.",
        "The lowest maker's limit counts: above it the nipple pulls through the bed.",
        "maker's table",
    ),
    WheelFileCode(
        "tension.buckling",
        (
            "block",
            "caution",
        ),
        "The planned tension is near that at which the rim leaves its plane, or above it.",
        "From about half the buckling tension on the rim is hard to keep true.",
        "structure, after Ford 2018 (read)",
    ),
    WheelFileCode(
        "tension.floor",
        ("caution",),
        "A side would carry less than the published requirement.",
        "Below this the spokes work loose.",
        _STANDARD,
    ),
    WheelFileCode(
        "load.side-load",
        ("caution",),
        "The side push of the wheel test would slacken a spoke.",
        "The published wheel test pushes sideways with this force.",
        "TBIS 15194:2019 table 25 (read), JIS D 9301:2019 5.5.1.3 (second-hand)",
    ),
    WheelFileCode(
        "load.slack",
        ("caution",),
        "A load of the file takes a spoke's last tension.",
        "A slack spoke pulls no more: beyond this load the linear figures no longer hold.",
        "statics",
    ),
)

WHEEL_FILE_CODES: Final[Mapping[str, WheelFileCode]] = MappingProxyType(
    {each.code: each for each in _ENTRIES}
)
"""By code."""


def found(
    code: str,
    severity: Severity,
    at: str,
    says: str,
    *,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
) -> Finding:
    """A finding with its code's reason and source; a severity that is not listed is a mistake."""
    listed = WHEEL_FILE_CODES[code]
    if severity not in listed.severities:
        raise ValueError(f"{code} is listed as {listed.severities}, not as {severity}")
    return Finding(code, severity, at, says, listed.reason, listed.source, have or {}, need or {})
