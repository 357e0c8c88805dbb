"""``catalog approve``: the second person's own deed, with the second person's own password."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildsheet.cli import options
from buildsheet.cli.catalog import told
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.speak import say_json
from buildsheet.errors import WorldError

if TYPE_CHECKING:
    from buildsheet.actions.workshop import Workshop

MACHINE = "this machine"
"""Stands for an address where tries at a password are counted."""


@click.command()
@click.option("--by", required=True, metavar="NAME", help="Who approves, as they sign in.")
@click.option(
    "--again", metavar="N", type=options.edition_number, help="That edition N is taken up again."
)
@told.version
@options.database
@options.as_json
def approve(
    by: str, again: int | None, version: int | None, database: Path | None, as_json: bool
) -> None:
    """Approve the draft in the version that was looked at. The password is asked for, or read from standard
    input where no terminal is."""
    from buildsheet.actions.desk.approve import approve_again, approve_draft
    from buildsheet.actions.desk.publish import Refused

    if (version is None) == (again is None):
        raise click.UsageError("either --version, the one that was looked at, or --again")
    with told.desk(database, as_json=as_json) as workshop:
        person = _proved(workshop, by)
        try:
            done = (
                approve_draft(workshop, person, version=version)
                if version is not None
                else approve_again(workshop, person, again or 0)
            )
        except KeyError as unknown:
            raise WorldError(f"there is no edition {again} in {workshop.path}") from unknown
        if isinstance(done, Refused):
            told.refuse(done.findings, as_json=as_json, what="nothing was approved")
            return
    if as_json:
        say_json({"approved": done.subject, "by": done.by, "at": done.at})
        return
    click.echo(f"{done.by} has approved {done.subject} at {done.at}")


def _proved(workshop: Workshop, name: str) -> str | None:
    """The name of whoever proved to be NAME and may approve; None in a workshop that asks nobody. Leaves
    where the proof fails."""
    from buildsheet.actions.people.signing_in import TooManyTries, proved
    from buildsheet.actions.people.standing import asks_nobody
    from buildsheet.web.access.matrix import may

    if asks_nobody(workshop):
        return None
    if sys.stdin.isatty():
        password = click.prompt(f"Password of {name}", hide_input=True, err=True)
    else:
        password = sys.stdin.readline().rstrip("\r\n")
    try:
        visitor = proved(workshop, name, password, MACHINE)
    except TooManyTries as waiting:
        click.echo(f"buildsheet: too many tries; wait {waiting.wait_s} seconds", err=True)
        raise Leave(REFUSED) from waiting
    if visitor is None:
        click.echo("buildsheet: name and password do not fit", err=True)
        raise Leave(REFUSED)
    if not may(visitor.role, "POST /api/v1/catalog/draft/approve"):
        click.echo(
            f"buildsheet: {visitor.name} is {visitor.role.value}; a manager approves", err=True
        )
        raise Leave(REFUSED)
    return visitor.name
