"""``audit``: prove that the record is whole."""

from __future__ import annotations

from pathlib import Path

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.speak import counted, say_json


@click.command()
@options.database
@options.as_json
def audit(database: Path | None, as_json: bool) -> None:
    """Read everything that is stored again, hold it against the rest, and say every fault.

    Exit 1 where there is one. Nothing is changed; the service may go on.
    """
    from buildsheet.actions.audit.run import audit as look_through
    from buildsheet.actions.workshop import open_workshop

    path = options.database_path(database)
    workshop = open_workshop(path, create=False)
    try:
        notes = look_through(workshop)
    finally:
        workshop.close()
    if as_json:
        say_json(notes.as_json())
    else:
        for each in notes.faults:
            click.echo(f"{each.check:<16}{each.at}: {each.says}")
        looked = ", ".join(f"{check} {count}" for check, count in notes.looked.items())
        click.echo(f"looked at: {looked}")
        said = counted(len(notes.faults), "fault") if notes.faults else "no fault"
        click.echo(f"{path}: {said}")
    if notes.faults:
        raise Leave(REFUSED)
