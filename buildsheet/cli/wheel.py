"""``wheel``: the mechanics of one wheel from bare dimensions."""

from __future__ import annotations

from typing import Any, Final

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, WRONG, Leave
from buildsheet.cli.speak import force, say_findings, say_json

MOST_BYTES: Final = 1_000_000


@click.command()
@options.file_argument
@options.database
@options.as_json
def wheel(file: str, database: object, as_json: bool) -> None:  # noqa: ARG001 - every command takes it
    """Lengths, tensions, drilling and structure of the wheel file FILE (- is standard input)."""
    from buildsheet.actions.wheel_figures import wheel_figures

    text = options.read_text(file, MOST_BYTES)
    answer, findings = wheel_figures(text)
    if answer is None:
        said = [finding.as_json() for finding in findings]
        if as_json:
            say_json({"findings": said})
        else:
            say_findings(said)
        unreadable = any(finding["code"] in UNREADABLE for finding in said)
        raise Leave(WRONG if unreadable else REFUSED)
    if as_json:
        say_json(answer)
    else:
        _say(answer)


UNREADABLE: Final = frozenset({"data.not-json"})


def _say(answer: dict[str, Any]) -> None:
    for side, figures in answer["sides"].items():
        click.echo(
            f"{side:<6} length {figures['exact_mm']:.2f} mm, stretch {figures['stretch_mm']:.2f} mm, "
            f"target {figures['target_mm']:.2f} mm, angle {figures['angle_deg']:.2f} deg, "
            f"{force(figures['tension_n'])}, {figures['pitch_hz']:.0f} Hz"
        )
