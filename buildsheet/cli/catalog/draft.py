"""``catalog draft``, ``catalog change``: the edition that is being prepared."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import click

from buildsheet.cli import options
from buildsheet.cli.catalog import told
from buildsheet.cli.edge import REFUSED, WRONG, Leave
from buildsheet.cli.speak import counted, say_findings, say_json

MOST_BYTES: Final = 1_000_000


@click.command()
@click.option("--begin", "deed", flag_value="begin", help="Begin a draft from the newest edition.")
@click.option("--discard", "deed", flag_value="discard", help="Throw the draft away.")
@click.option(
    "--carry-over",
    "deed",
    flag_value="carry-over",
    help="Put the draft on the newest edition, where another one was published meanwhile.",
)
@told.by
@told.version
@options.database
@options.as_json
def draft(
    deed: str | None, by: str, version: int | None, database: Path | None, as_json: bool
) -> None:
    """Show the draft of the next edition: what it changes, what is wrong with it, who did what."""
    from buildsheet.actions.desk import draft as drafts
    from buildsheet.actions.desk.documents import draft_document

    with told.desk(database, as_json=as_json) as workshop:
        if deed == "begin":
            drafts.begin(workshop, by)
        elif deed == "discard":
            drafts.discard(workshop, version=version, by=by)
        elif deed == "carry-over":
            drafts.carry_over(workshop, version=version, by=by)
        found = drafts.the_draft(workshop)
        document = None if found is None else draft_document(workshop, found)
    if as_json:
        say_json({"draft": document})
    elif document is None:
        click.echo(f"No draft is open. Begin one: {told.BEGIN}")
    else:
        say_draft(document)


@click.command()
@options.file_argument
@told.by
@told.version
@options.database
@options.as_json
def change(file: str, by: str, version: int | None, database: Path | None, as_json: bool) -> None:
    """Make the edits of FILE (a JSON list) in the draft, all or none; a draft is begun where none is."""
    from buildsheet.actions.desk import draft as drafts
    from buildsheet.actions.desk.documents import draft_document
    from buildsheet.catalog.amending.edits import read_edits

    edits, findings = read_edits(_json(file))
    if findings:
        told.refuse(findings, as_json=as_json, what="nothing was changed")
    with told.desk(database, as_json=as_json) as workshop:
        if version is None and drafts.the_draft(workshop) is None:
            drafts.begin(workshop, by)
        changed = drafts.change(workshop, edits, version=version, by=by)
        if changed.draft is None:
            told.refuse(changed.findings, as_json=as_json, what="nothing was changed")
            return
        document = draft_document(workshop, changed.draft)
    if as_json:
        say_json({"ok": document["sound"], "draft": document})
    else:
        say_draft(document)
    if not document["sound"]:
        raise Leave(REFUSED)


def say_draft(document: Mapping[str, Any]) -> None:
    """A draft for people."""
    click.echo(
        f"Draft of edition {document['number']}, based on edition {document['based_on']}: version "
        f"{document['version']}, changed by {document['changed_by']} at {document['changed_at']}"
    )
    told.say_differences(document["differences"])
    told.say_second_person(document["second_person"])
    findings = document["in_the_way"]
    if findings:
        click.echo(f"NOT TO BE PUBLISHED: {counted(len(findings), 'finding')} in the way.")
        say_findings(findings)


def _json(file: str) -> object:
    text = options.read_text(file, MOST_BYTES)
    try:
        document: object = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError) as trouble:
        click.echo(f"buildsheet: {file} is no JSON: {trouble}", err=True)
        raise Leave(WRONG) from trouble
    return document


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")
