"""``catalog import``, and the spreadsheet side of ``catalog export``: parts as rows of a table."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from buildsheet.cli import options
from buildsheet.cli.catalog import told
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.speak import counted, say_findings, say_json
from buildsheet.errors import CallerError, WorldError

if TYPE_CHECKING:
    from buildsheet.actions.workshop import Workshop
    from buildsheet.catalog.edition import Edition

SUFFIX: Final = ".xlsx"


@click.command("import")
@options.file_argument
@click.option(
    "--kind", metavar="K", help="The kind of part, where the file's name does not say it."
)
@click.option("--apply", "is_applied", is_flag=True, help="Put it into the draft, all or nothing.")
@told.by
@told.version
@options.database
@options.as_json
def import_file(
    file: str,
    kind: str | None,
    is_applied: bool,
    by: str,
    version: int | None,
    database: Path | None,
    as_json: bool,
) -> None:
    """Say what the spreadsheet FILE (.xlsx or .csv) would change in the draft, and all its faults.

    Nothing is changed without --apply. One sheet for each kind, one row for each part; the form is
    what `catalog export FILE.xlsx` writes. Parts without a row stay as they are.
    """
    from buildsheet.actions.desk.import_table import import_table, try_table
    from buildsheet.catalog.tables.grid import MOST_BYTES

    data, name = options.read_bytes(file, MOST_BYTES), Path(file).name
    with told.desk(database, as_json=as_json) as workshop:
        if is_applied:
            found = import_table(workshop, name, data, kind, version=version, by=by)
        else:
            found = try_table(workshop, name, data, kind)
    document = found.as_json()
    if as_json:
        say_json(document)
    else:
        _say(document, is_applied=is_applied)
    if found.findings:
        raise Leave(REFUSED)


def _say(document: dict[str, Any], *, is_applied: bool) -> None:
    changes, findings = document["changes"], document["findings"]
    if findings:
        blocks = counted(len(findings), "fault")
        click.echo(f"REFUSED: {blocks}; nothing was changed.")
        say_findings(findings)
        return
    told.say_differences({"parts": changes, "house": [], "rules": []})
    new = sum(each["what"] == "added" for each in changes)
    counts = f"{counted(new, 'new part')}, {len(changes) - new} changed, {document['unchanged']} unchanged"
    if document["applied"]:
        click.echo(f"{counts}: in the draft, version {document['applied']}.")
    elif is_applied or not changes:
        click.echo(f"{counts}: nothing to do.")
    else:
        click.echo(f"{counts}. Nothing was changed: --apply puts it into the draft.")


def export_file(workshop: Workshop, path: Path, number: int | None, *, is_draft: bool) -> int:
    """Write a spreadsheet of the edition's or the draft's parts, which must not be there yet; the
    number of the edition comes back. Raises WorldError, CallerError."""
    from buildsheet.actions.demo import write_file
    from buildsheet.actions.desk.export_table import write_table
    from buildsheet.actions.editions import edition_numbered, running_edition

    if path.exists():
        raise WorldError(f"{path} is there already; name a new file")
    if is_draft:
        edition = _of_draft(workshop)
    elif number is None:
        edition = running_edition(workshop)
    else:
        try:
            edition = edition_numbered(workshop, number)
        except KeyError as unknown:
            raise WorldError(f"there is no edition {number} in {workshop.path}") from unknown
    write_file(path, write_table(edition))
    return edition.number


def _of_draft(workshop: Workshop) -> Edition:
    from buildsheet.actions.desk.draft import NoDraft, the_draft

    draft = the_draft(workshop)
    if draft is None:
        raise NoDraft
    if draft.edition is None:
        raise CallerError(
            "the draft has faults and makes no table; export its files into a directory"
        )
    return draft.edition
