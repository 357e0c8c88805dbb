"""Numbers and states in the words of paper and pages."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from flask import Blueprint

from buildsheet.findings import Finding, Value
from buildsheet.units import kgf

SEVERITY_WORDS: Final = {
    "block": "Stop",
    "approval": "Needs a release",
    "caution": "Mind",
    "note": "Note",
}
STATE_WORDS: Final = {
    "accepted": "accepted",
    "on-hold": "waits for an approval",
    "planned": "planned",
    "stock": "a stock wheel",
}


def add_filters(blueprint: Blueprint) -> None:
    """Make these words known to the templates."""
    filters: dict[str, Callable[..., Any]] = {
        "newtons": newtons,
        "kgf": kilograms_force,
        "with_kgf": with_kgf,
        "mm": millimetres,
        "grams": grams,
        "severity": severity,
        "at_the_stand": at_the_stand,
        "state": state,
        "shown": shown,
        "way_out": way_out,
        "together": together,
        "moment": moment,
        "as_document": as_document,
    }
    for name, spoken in filters.items():
        blueprint.add_app_template_filter(spoken, name)


def newtons(force_n: float) -> str:
    """Whole newtons: nobody reads a gauge closer.

    >>> newtons(766.4)
    '766 N'
    """
    return f"{force_n:.0f} N"


def kilograms_force(force_n: float) -> str:
    """Whole kilogram-force, beside newtons only.

    >>> kilograms_force(1150.0)
    '117 kgf'
    """
    return f"{kgf(force_n):.0f} kgf"


def with_kgf(force_n: float) -> str:
    """Newtons with kilogram-force beside them.

    >>> with_kgf(1150.0)
    '1150 N (117 kgf)'
    """
    return f"{newtons(force_n)} ({kilograms_force(force_n)})"


def millimetres(length_mm: float) -> str:
    """Tenths of a millimetre.

    >>> millimetres(576.8)
    '576.8 mm'
    """
    return f"{length_mm:.1f} mm"


def grams(mass_g: float) -> str:
    """Whole grams."""
    return f"{mass_g:.0f} g"


def as_document(finding: Finding) -> dict[str, Value]:
    """A finding as its document, the form in which stored ones are read."""
    return finding.as_json()


STOPS: Final = frozenset({"bench.above-stop", "bench.limit-lowered", "bench.sheet-void"})
"""What is called Stop at the stand: a spoke too tight, a limit lowered, a sheet that does not count."""


def at_the_stand(finding: Finding | Mapping[str, str]) -> str:
    """The word before a finding at the stand, where Stop means that nothing more may be turned."""
    known = (
        finding
        if isinstance(finding, Mapping)
        else {"code": finding.code, "severity": finding.severity}
    )
    if known["severity"] == "block" and known["code"] not in STOPS:
        return "Not good"
    return severity(known["severity"])


def severity(word: str) -> str:
    """How hard a finding is, in a word for people."""
    return SEVERITY_WORDS[word]


def state(word: str) -> str:
    """Where an order or a wheel stands, in words for people."""
    return STATE_WORDS.get(word, word)


def shown(value: Value) -> str:
    """A value of a document as a person would write it.

    >>> shown(None), shown(True), shown("KF2"), shown([20, 24]), shown(1200.0)
    ('nothing', 'yes', 'KF2', '20, 24', '1200')
    """
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.12g}"
    if isinstance(value, list):
        return ", ".join(shown(each) for each in value)
    if isinstance(value, dict):
        return ", ".join(f"{name} {shown(each)}" for name, each in value.items())
    return str(value)


def way_out(change: Mapping[str, Any]) -> str:
    """One way out in words; ``change`` as in a finding's ``try``.

    >>> way_out({"at": "/front/hub", "values": ["KF2", "KF3"]})
    '/front/hub: KF2 or KF3'
    """
    return f"{change['at']}: {' or '.join(shown(each) for each in change['values'])}"


def together(changes: Mapping[str, Value]) -> str:
    """Changes that help only when made at once, in words.

    >>> together({"/front/hub": "KF2", "/front/holes": 24})
    '/front/hub: KF2 and /front/holes: 24'
    """
    return " and ".join(f"{at}: {shown(value)}" for at, value in changes.items())


def moment(at: str) -> str:
    """A stored time to the minute, as read in the record (UTC).

    >>> moment("2031-05-01T08:00:00.250Z")
    '2031-05-01 08:00 UTC'
    """
    return f"{at[:10]} {at[11:16]} UTC"
