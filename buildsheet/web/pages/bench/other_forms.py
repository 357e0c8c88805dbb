"""The forms that are no station: a name under a pass, a new issue for the rim, a gauge's check."""

from __future__ import annotations

from buildsheet.actions.bench.view import BenchView
from buildsheet.web.pages.bench.field import BY, Field
from buildsheet.web.pages.bench.verdict import VerdictSaid


def sign_fields(verdict: VerdictSaid) -> tuple[Field, ...]:
    """Who stands for the pass; with a remark, why."""
    choices: tuple[tuple[str, str], ...] = (("pass-with-remark", "with a remark"),)
    if verdict.word == "pass":
        choices = (("pass", "as it is"), *choices)
    return (
        Field("verdict", "It passes", "choice", choices=choices, needed=True),
        Field("reason", "Reason, with a remark", "line"),
        BY,
    )


def reissue_fields() -> tuple[Field, ...]:
    """Why the sheet is issued again, and the rim as it was measured."""
    return (
        Field("erd_mm", "ERD as measured", "number", "mm", needed=True),
        Field("because", "Why", "line", needed=True),
        BY,
    )


def check_fields(view: BenchView) -> tuple[Field, ...]:
    """Which gauge, and whether it agreed."""
    names = sorted({gauge for gauge, _ in view.tables})
    gauge = Field(
        "gauge", "Gauge", "pick", choices=tuple((each, each) for each in names), needed=True
    )
    if not names:
        gauge = Field(
            "gauge", "Gauge (none has a table: buildsheet gauge add FILE)", "line", needed=True
        )
    return (
        gauge,
        Field("good", "It shows what it should", "yes-no"),
        Field("note", "Note (after a check that failed: what was done)", "line"),
        BY,
    )
