"""``catalog load``, ``export``, ``check``: catalog files on disk."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildsheet.actions.catalog_files import demo_directory, read_directory
from buildsheet.catalog.edition import KINDS, Edition
from buildsheet.cli import options
from buildsheet.cli.catalog import told
from buildsheet.cli.catalog.table import SUFFIX, export_file
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.speak import counted, say_findings, say_json
from buildsheet.errors import WorldError
from buildsheet.findings import Finding, Value

if TYPE_CHECKING:
    from buildsheet.actions.workshop import Workshop


@click.command()
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
@told.by
@told.version
@options.database
@options.as_json
def load(
    directory: Path, by: str, version: int | None, database: Path | None, as_json: bool
) -> None:
    """Make the catalog files in DIR the draft of the next edition, whole or not at all.

    An empty workshop file takes them as its first edition at once. An open draft is replaced only by
    its --version.
    """
    from buildsheet.actions.load_catalog import load_catalog

    with told.desk(database, as_json=as_json, create=True) as workshop:
        loaded = load_catalog(workshop, directory, by=by, version=version)
        path = workshop.path
    words = {
        "loaded": f"is the first edition in {path}",
        "drafted": f"is the draft in {path}; publish it with: buildsheet catalog publish",
        "known": f"is loaded already in {path}",
        "refused": "",
    }
    draft = None if loaded.draft is None else loaded.draft.version
    _say(
        loaded.edition,
        loaded.findings,
        as_json,
        words[loaded.outcome],
        {"outcome": loaded.outcome, "draft_version": draft},
    )


@click.command()
@click.argument("directory", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "--edition", "number", type=options.edition_number, help="Another than the running one."
)
@click.option("--draft", "is_draft", is_flag=True, help="The files of the draft instead.")
@options.database
@options.as_json
def export(
    directory: Path, number: int | None, is_draft: bool, database: Path | None, as_json: bool
) -> None:
    """Write the catalog files of an edition into DIR, which must be new or empty.

    A name that ends in .xlsx is a spreadsheet of the parts alone, without house figures and rules.
    """
    from buildsheet.actions.demo import write_file

    if is_draft and number is not None:
        raise click.UsageError("--draft and --edition exclude each other")
    if directory.suffix.lower() == SUFFIX:
        with told.desk(database, as_json=as_json) as workshop:
            edition = export_file(workshop, directory, number, is_draft=is_draft)
        if as_json:
            say_json({"file": str(directory), "edition": edition})
        else:
            click.echo(
                f"The parts of edition {edition} in {directory}; house figures and rules are not."
            )
        return
    with told.desk(database, as_json=as_json) as workshop:
        texts = _draft_texts(workshop) if is_draft else _edition_texts(workshop, number)
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


def _edition_texts(workshop: Workshop, number: int | None) -> Mapping[str, str]:
    from buildsheet.actions.editions import edition_texts

    try:
        return edition_texts(workshop, number)
    except KeyError as unknown:
        raise WorldError(f"there is no edition {number} in {workshop.path}") from unknown


def _draft_texts(workshop: Workshop) -> Mapping[str, str]:
    from buildsheet.actions.desk.draft import NoDraft, the_draft

    draft = the_draft(workshop)
    if draft is None:
        raise NoDraft
    return draft.texts


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
    edition: Edition | None,
    findings: tuple[Finding, ...],
    as_json: bool,
    outcome: str,
    more: Mapping[str, Value] | None = None,
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
                **(more or {}),
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
