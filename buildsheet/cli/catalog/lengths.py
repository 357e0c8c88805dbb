"""``catalog lengths``: the fewest spoke lengths and drilling programs that serve every wheel."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from buildsheet.catalog.edition import Edition
from buildsheet.cli import options
from buildsheet.cli.against import Against, edition_against
from buildsheet.cli.catalog import told
from buildsheet.cli.catalog.impact import say_drilling
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.progress import progress_line
from buildsheet.cli.speak import counted, say_findings, say_json
from buildsheet.errors import WorldError


@click.command()
@click.argument(
    "directory", metavar="[DIR]", required=False, type=click.Path(path_type=Path, file_okay=False)
)
@click.option("--wheels", default=1, type=click.IntRange(1, 1000), help="Wheels to keep parts for.")
@click.option("--draft", "of_draft", is_flag=True, help="Of the draft in place of an edition.")
@click.option("--free", is_flag=True, help="Plan on a grid of 1 mm, whatever a type comes in.")
@click.option("--programs", is_flag=True, help="Drilling programs in place of lengths.")
@click.option(
    "--within",
    "within_deg",
    type=click.FloatRange(0.1, 20.0),
    help="Degrees between spoke and hole (else the house's figure); with --programs.",
)
@click.option(
    "--picture", metavar="DIR", type=click.Path(path_type=Path), help="Write pictures there."
)
@options.database
@options.as_json
def lengths(
    directory: Path | None,
    wheels: int,
    of_draft: bool,
    free: bool,
    programs: bool,
    within_deg: float | None,
    picture: Path | None,
    database: Path | None,
    as_json: bool,
) -> None:
    """Which spoke lengths to stock for every wheel of the running edition, of the draft, or of the files
    in DIR."""
    from buildsheet.actions.desk.lengths import plan_lengths
    from buildsheet.actions.desk.shelves import shelves

    if of_draft and directory is not None:
        raise click.UsageError("either --draft or DIR")
    with edition_against(database, directory) as against:
        edition = _sound_draft(against, as_json=as_json) if of_draft else against.edition
        line = progress_line("wheels of the edition")
        if programs:
            _programs(edition, within_deg, as_json)
            return
        stock, findings = shelves(against.workshop, edition, directory)
        planned = plan_lengths(edition, stock, free=free, wheels_in_stock=wheels, progress=line)
    document = planned.as_json()
    said = [each.as_json() for each in findings]
    if picture is not None:
        picture.mkdir(parents=True, exist_ok=True)
        for spoke in planned.plan.types:
            (picture / f"lengths-{spoke}.svg").write_text(planned.chart(spoke), encoding="utf-8")
    if as_json:
        say_json({**document, "findings": said})
        return
    _say(document)
    say_findings(said)


def _sound_draft(against: Against, *, as_json: bool) -> Edition:
    """The draft as an edition; leaves the command where none is open, or it has faults."""
    from buildsheet.actions.desk.draft import the_draft

    draft = None if against.workshop is None else the_draft(against.workshop)
    if draft is None:
        raise WorldError(f"{against.place}: no draft is open; begin one first: {told.BEGIN}")
    if draft.edition is None:
        told.refuse(draft.findings, as_json=as_json, what="lengths are planned for a sound draft")
        raise Leave(REFUSED)
    return draft.edition


def _programs(edition: Edition, within_deg: float | None, as_json: bool) -> None:
    from buildsheet.actions.desk.lengths import plan_programs

    document = plan_programs(edition, within_deg)
    if as_json:
        say_json(document)
        return
    click.echo(
        f"Edition {document['edition']}: {counted(len(document['drilling']), 'kind')} of drilled rim, "
        f"{document['fewest']} programs serve all within {document['within_deg']:g} degrees; "
        f"{document['made']} are made"
    )
    for need in document["drilling"]:
        say_drilling(need)


def _say(document: dict[str, Any]) -> None:
    click.echo(
        f"Edition {document['edition']}: {document['builds']:,} wheels; the fewest lengths for all"
    )
    for spoke, each in document["types"].items():
        low, high = each["range_mm"]
        share = each["share_served"]
        stocked = (
            "" if share is None else f", {int(share * 1000) / 10:g} % of sides served from stock"
        )
        click.echo(
            f"{spoke}: {each['fewest']} lengths for {each['targets']} targets from {low:.1f} to "
            f"{high:.1f} mm; {each['stocked']} stocked{stocked}"
        )
        for name, words in (
            ("missing_mm", "missing"),
            ("spare_mm", "could go"),
            ("dead_mm", "in no wheel's window"),
        ):
            if each[name]:
                click.echo(f"  {words}: {', '.join(map(str, each[name]))}")
        points = [f"{length['length_mm']}:{length['order_point']}" for length in each["lengths"]]
        click.echo(f"  order points: {' '.join(points)}")
    for rim in document["rims"]:
        if rim["more"]:
            added = ", ".join(f"{spoke} +{number}" for spoke, number in rim["more"].items())
            click.echo(f"rim {rim['rim']} alone asks for: {added}")
    click.echo(f"{counted(document['look_alike_builds'], 'wheel')} get two lengths that look alike")
    click.echo(f"order point: {document['order_point']}")
    click.echo(document["weighing"])
