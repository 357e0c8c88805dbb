"""``catalog editions``: every edition with its paper, or one with its differences."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from buildsheet.cli import options
from buildsheet.cli.catalog import told
from buildsheet.cli.speak import say_json
from buildsheet.errors import WorldError


@click.command()
@click.argument("number", metavar="[N]", required=False, type=options.edition_number)
@options.database
@options.as_json
def editions(number: int | None, database: Path | None, as_json: bool) -> None:
    """List the editions, newest first; with N, show one and what it changed."""
    from buildsheet.actions.desk.documents import editions_document
    from buildsheet.actions.desk.papers import list_editions, show_edition

    with told.desk(database, as_json=as_json) as workshop:
        if number is None:
            document: Mapping[str, Any] = editions_document(list_editions(workshop))
        else:
            view = show_edition(workshop, number)
            if view is None:
                raise WorldError(f"there is no edition {number} in {workshop.path}")
            document = view.as_json()
    if as_json:
        say_json(document)
    elif number is None:
        for line in document["editions"]:
            _say_line(line)
    else:
        _say_line(document)
        if document["before"] is not None:
            click.echo(f"Against edition {document['before']}:")
            told.say_differences(document["differences"])
            told.say_second_person(document["second_person"])


def _say_line(line: Mapping[str, Any]) -> None:
    people = " and ".join(each for each in (line["author"], line["approver"]) if each)
    equal = f", equal to edition {line['equal_to']}" if line["equal_to"] else ""
    click.echo(
        f"{line['number']:>5}  {line['standing']:<9}  starts {line['starts']}{equal}\n"
        f"       {people or 'no paper'}: {line['reason'] or 'loaded by an older version'}\n"
        f"       {line['digest']}"
    )
