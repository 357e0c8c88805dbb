"""``catalog``: the product manager's desk."""

from __future__ import annotations

from pathlib import Path

import click

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.group import Commands
from buildsheet.cli.speak import counted, say_findings, say_json
from buildsheet.errors import WorldError
from buildsheet.findings import Finding

catalog = Commands(
    "catalog",
    help="Parts, house figures and rules: load, export, check.",
    where={
        "load": "buildsheet.cli.catalog:load",
        "export": "buildsheet.cli.catalog:export",
        "check": "buildsheet.cli.catalog:check",
    },
)


@click.command()
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
@options.database
@options.as_json
def load(directory: Path, database: Path | None, as_json: bool) -> None:
    """Make the catalog files in DIR the running edition, whole or not at all."""
    from buildsheet.actions.load_catalog import load_catalog
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database))
    try:
        loaded = load_catalog(workshop, directory)
    finally:
        workshop.close()
    words = {"loaded": "loaded into", "known": "is loaded already in"}
    _say(
        loaded.edition, loaded.findings, as_json, f"{words.get(loaded.outcome, '')} {workshop.path}"
    )


@click.command()
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
@options.database
@options.as_json
def export(directory: Path, database: Path | None, as_json: bool) -> None:
    """Write the catalog files of the running edition into DIR, which must be new or empty."""
    from buildsheet.actions.demo import write_file
    from buildsheet.actions.editions import edition_texts
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        texts = edition_texts(workshop)
    finally:
        workshop.close()
    if directory.exists() and (not directory.is_dir() or any(directory.iterdir())):
        raise WorldError(f"{directory} is there already; name a new or an empty directory")
    for name, text in texts.items():
        path = directory / name
        path.parent.mkdir(parents=True, exist_ok=True)
        write_file(path, text.encode("utf-8"))
    if as_json:
        say_json({"directory": str(directory), "files": sorted(texts)})
    else:
        click.echo(f"{counted(len(texts), 'file')} in {directory}")


@click.command()
@click.argument("directory", metavar="[DIR]", required=False, type=click.Path(path_type=Path))
@options.database
@options.as_json
def check(directory: Path | None, database: Path | None, as_json: bool) -> None:  # noqa: ARG001
    """Every fault in the catalog files of DIR (the catalog beside the program where none is named)."""
    where = directory or demo_directory()
    edition, findings = read_directory(where)
    _say(edition, findings, as_json, f"is sound: {where}")


def _say(
    edition: Edition | None, findings: tuple[Finding, ...], as_json: bool, outcome: str
) -> None:
    said = [finding.as_json() for finding in findings]
    counts = {kind: len(getattr(edition, kind)) for kind in KINDS} if edition else {}
    if as_json:
        say_json(
            {
                "ok": edition is not None,
                "edition": edition.number if edition else None,
                "digest": edition.digest if edition else None,
                "parts": counts,
                "findings": said,
            }
        )
    else:
        if edition is not None:
            click.echo(f"Edition {edition.number} of {edition.house.workshop} {outcome}")
            parts = ", ".join(
                f"{number} {kind.replace('_', ' ')}" for kind, number in counts.items()
            )
            click.echo(parts)
        else:
            click.echo(f"REFUSED: {counted(len(said), 'fault')}; nothing was loaded.")
        say_findings(said)
    if edition is None:
        raise Leave(REFUSED)
