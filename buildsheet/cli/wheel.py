"""``wheel``: the mechanics of one wheel from bare dimensions."""

from __future__ import annotations

from typing import Any, Final

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, WRONG, Leave
from buildsheet.cli.speak import force, say_findings, say_json

MOST_BYTES: Final = 1_000_000
UNREADABLE: Final = frozenset({"data.not-json", "data.too-large"})
"""What is no wheel file at all: wrong input, not a refused wheel."""

STRUCTURE: Final = {
    "radial_stiffness_n_per_mm": ("radial stiffness", "N/mm"),
    "lateral_stiffness_n_per_mm": ("lateral stiffness", "N/mm"),
    "torsional_stiffness_n_per_mm": ("torsional stiffness", "N/mm"),
    "buckling_tension_n": ("buckles at a mean tension of", "N"),
    "slack_load_n": ("first spoke slack, radial", "N"),
    "slack_side_load_n": ("first spoke slack, side", "N"),
}


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


def _say(answer: dict[str, Any]) -> None:
    """Both sides, then the structure, then what each load moves where it acts."""
    for side, figures in answer["sides"].items():
        click.echo(
            f"{side:<6} {figures['exact_mm']:.2f} mm exact, {figures['stretch_mm']:.2f} mm stretch, "
            f"{figures['target_mm']:.2f} mm to make, {figures['angle_deg']:.2f} deg, "
            f"{force(figures['tension_n'])}, {figures['pitch_hz']:.0f} Hz"
        )
    click.echo(f"ratio of the sides {answer['ratio']:.2f}")
    for name, (words, unit) in STRUCTURE.items():
        if answer[name] is not None:
            click.echo(f"{words:<28} {answer[name]:>9.1f} {unit}")
    for load in answer["loads"]:
        _say_load(load)
    if answer["findings"]:
        click.echo()
        say_findings(answer["findings"])


def _say_load(load: dict[str, Any]) -> None:
    if not load["displacements"]:
        click.echo(f"load {load['name']!r} at hole {load['at_hole']}: not answered, see below")
        return
    if not load["displacements"]:
        return  # no structure, and a finding says why
    here = next(each for each in load["displacements"] if each["hole"] == load["at_hole"])
    changes = load["spoke_changes_n"]
    click.echo(
        f"load {load['name']!r} at hole {load['at_hole']}: rim moves {here['radial_mm']:+.3f} mm "
        f"outward, {here['lateral_mm']:+.3f} mm to the right there; "
        f"spokes change by {min(changes):+.0f} to {max(changes):+.0f} N"
    )
