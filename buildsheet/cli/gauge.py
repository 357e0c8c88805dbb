"""``gauge``: calibration tables, and the check of the day."""

from __future__ import annotations

import json
from pathlib import Path

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.group import Commands
from buildsheet.cli.speak import counted, say_findings, say_json
from buildsheet.errors import WorldError

MOST_BYTES = 64 * 1024

gauge = Commands(
    "gauge",
    help="Spoke tension gauges: calibration tables, and the check of the day.",
    where={
        "add": "buildsheet.cli.gauge:add",
        "check": "buildsheet.cli.gauge:check",
        "list": "buildsheet.cli.gauge:tables",
    },
)


@click.command()
@click.argument("file", metavar="FILE")
@options.database
@options.as_json
def add(file: str, database: Path | None, as_json: bool) -> None:
    """Keep the calibration tables in FILE (JSON: one table, or a list of them)."""
    from buildsheet.actions.bench.gauges import add_table
    from buildsheet.actions.workshop import open_workshop

    text = options.read_text(file, MOST_BYTES)
    try:
        loaded = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise WorldError(f"{file} is not JSON: {error}") from error
    tables = loaded if isinstance(loaded, list) else [loaded]
    workshop = open_workshop(options.database_path(database))
    try:
        kept = [add_table(workshop, json.dumps(each).encode()) for each in tables]
    finally:
        workshop.close()
    findings = [finding.as_json() for each in kept for finding in each.findings]
    new = sum(each.new is True for each in kept)
    known = sum(each.new is False for each in kept)
    if as_json:
        say_json({"new": new, "known": known, "findings": findings})
    else:
        click.echo(f"{counted(new, 'table')} kept, {known} known already")
        say_findings(findings)
    if findings:
        raise Leave(REFUSED)


@click.command()
@click.argument("name", metavar="GAUGE")
@click.option("--by", required=True, help="Who held it against its rod.")
@click.option("--failed", is_flag=True, help="It did not read what it should.")
@click.option("--note", default="", help="What was seen; after a failed check: what was done.")
@options.database
@options.as_json
def check(
    name: str, by: str, failed: bool, note: str, database: Path | None, as_json: bool
) -> None:
    """Record today's check of GAUGE."""
    from buildsheet.actions.bench.gauges import check_gauge
    from buildsheet.actions.workshop import open_workshop

    document = {"gauge": name, "good": not failed, "note": note, "by": by}
    workshop = open_workshop(options.database_path(database), create=False)
    try:
        kept = check_gauge(workshop, json.dumps(document).encode())
    finally:
        workshop.close()
    findings = [finding.as_json() for finding in kept.findings]
    if as_json:
        say_json({"kept": kept.new is not None, "findings": findings})
    elif kept.new is not None:
        click.echo(f"Gauge {name}: {'FAILED its check; set it aside' if failed else 'checked'}")
    else:
        say_findings(findings)
    if kept.new is None:
        raise Leave(REFUSED)


@click.command("list")
@options.database
@options.as_json
def tables(database: Path | None, as_json: bool) -> None:
    """The newest calibration table of every gauge and spoke type."""
    from buildsheet.actions.bench.gauges import list_tables
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        known = list_tables(workshop)
    finally:
        workshop.close()
    if as_json:
        said = [
            {
                "gauge": each.gauge,
                "spoke": each.spoke,
                "version": each.version,
                "made_on": each.made_on.isoformat(),
                "due_on": each.due_on.isoformat(),
                "error_share": each.error_share,
            }
            for each in known
        ]
        say_json({"tables": said})
        return
    for each in known:
        low_n, high_n = each.range_n
        click.echo(
            f"{each.gauge:<8}{each.spoke:<8}{each.version:<6}{low_n:.0f} to {high_n:.0f} N, "
            f"error {each.error_share:.0%}, due {each.due_on}"
        )
    if not known:
        click.echo("No calibration table is kept yet: buildsheet gauge add FILE")
