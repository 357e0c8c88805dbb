"""Every code that a wheel file can be answered with, and the one way to make a finding of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from buildsheet.findings import Finding, Severity, Value

FORM: Final = "form of the wheel file"
_STANDARD: Final = "JIS D 9301:2019, 5.5.1.3, through an institute's test summary: second-hand"

WHEEL_FILE_CODES: Final[Mapping[str, tuple[str, str]]] = {
    "data.not-json": ("What cannot be read says nothing about a wheel.", FORM),
    "data.too-large": ("A wheel takes a few kilobytes; more is not a wheel.", FORM),
    "data.duplicate-member": ("Of two values for one thing, one would be lost in silence.", FORM),
    "data.unknown-member": ("A misspelt member would be ignored in silence.", FORM),
    "data.missing-member": ("A figure that nobody stated is not assumed.", FORM),
    "data.wrong-type": ("A number written as text may hide a unit or a comma.", FORM),
    "data.out-of-range": ("No bicycle wheel has such a figure: a slip of unit or comma.", FORM),
    "data.text": ("A name is printed: it has to be readable.", FORM),
    "data.shares": ("The stretches of a spoke make up its whole length.", "geometry"),
    "data.hole": ("A load needs a hole to act at.", "geometry"),
    "data.tyre": ("Squeeze and hoop force say the same; of two, one would be ignored.", FORM),
    "data.no-structure": ("Stiffness needs every structural figure of the rim.", "statics"),
    "data.cannot-compute": ("The figures lie outside what the formulas hold for.", "statics"),
    "lacing.cannot-lace": ("No spoke pattern joins this hub and this rim.", "geometry"),
    "lacing.head-clearance": (
        "A spoke that leans on its neighbour's head bends there and breaks there.",
        "geometry; head and wire as given, else 4.0 and 2.0 mm [common practice, no source]",
    ),
    "tension.rim-limit": (
        "The lowest maker's limit counts: above it the nipple pulls through the bed.",
        "maker's table",
    ),
    "tension.buckling": (
        "From about half the buckling tension on the rim is hard to keep true.",
        "structure, after Ford 2018 (read)",
    ),
    "tension.floor": ("Below this the spokes work loose.", _STANDARD),
    "load.side-load": (
        "The published wheel test pushes sideways with this force.",
        "TBIS 15194:2019 table 25 (read)",
    ),
    "load.slack": (
        "A slack spoke pulls no more: beyond this load the linear figures no longer hold.",
        "statics",
    ),
}
"""Code -> reason, source."""


def found(
    code: str,
    severity: Severity,
    at: str,
    says: str,
    *,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
) -> Finding:
    """A finding with its code's reason and source."""
    reason, source = WHEEL_FILE_CODES[code]
    return Finding(code, severity, at, says, reason, source, have or {}, need or {})
