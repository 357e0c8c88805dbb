"""``catalog publish``, ``catalog roll-back``: a new edition, from the draft or from an older one."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from buildsheet.cli import options
from buildsheet.cli.catalog import told
from buildsheet.cli.speak import say_json
from buildsheet.errors import WorldError

if TYPE_CHECKING:
    from buildsheet.actions.desk.publish import Published, Refused

Command = TypeVar("Command", bound=Callable[..., Any])


def _signed(command: Command) -> Command:
    for option in (
        click.option("--starts", metavar="MOMENT", help="When it starts (RFC 3339); else at once."),
        click.option("--reason", default="", metavar="TEXT", help="Why."),
        click.option(
            "--approver",
            default="",
            metavar="NAME",
            help="The second person, where nobody signs in.",
        ),
        click.option("--author", default="", hidden=True, help="The same as --by."),
        click.option(
            "--by",
            metavar="NAME",
            default=lambda: os.environ.get(told.BY_VARIABLE, ""),
            help=f"Who answers for it (else ${told.BY_VARIABLE}).",
        ),
    ):
        command = option(command)
    return command


@click.command()
@_signed
@told.version
@options.database
@options.as_json
def publish(
    by: str,
    author: str,
    approver: str,
    reason: str,
    starts: str | None,
    version: int | None,
    database: Path | None,
    as_json: bool,
) -> None:
    """Publish the draft as an edition, whole or not at all. Orders already taken keep theirs."""
    from buildsheet.actions.desk.publish import publish as publish_draft

    with told.desk(database, as_json=as_json) as workshop:
        done = publish_draft(
            workshop,
            version=version,
            author=author or by,
            approver=approver,
            reason=reason,
            starts=starts,
        )
        _say(done, as_json)


@click.command("roll-back")
@click.argument("number", metavar="N", type=options.edition_number)
@_signed
@options.database
@options.as_json
def roll_back(
    number: int,
    by: str,
    author: str,
    approver: str,
    reason: str,
    starts: str | None,
    database: Path | None,
    as_json: bool,
) -> None:
    """Publish a new edition that says what edition N said."""
    from buildsheet.actions.desk import publish as publishing

    with told.desk(database, as_json=as_json) as workshop:
        try:
            done = publishing.roll_back(
                workshop,
                number,
                author=author or by,
                approver=approver,
                reason=reason,
                starts=starts,
            )
        except KeyError as unknown:
            raise WorldError(f"there is no edition {number} in {workshop.path}") from unknown
        _say(done, as_json)


def _say(done: Published | Refused, as_json: bool) -> None:
    from buildsheet.actions.desk.documents import published_document
    from buildsheet.actions.desk.publish import Refused

    if isinstance(done, Refused):
        told.refuse(done.findings, as_json=as_json, what="nothing was published")
        return
    document: dict[str, Any] = published_document(done)
    if as_json:
        say_json({"ok": True, "edition": document})
        return
    when = "in force" if done.in_force else "starts"
    second = f", approved by {done.paper.approver}" if done.paper.approver else ""
    click.echo(
        f"Edition {done.edition.number} is published by {done.paper.author}{second}; {when} "
        f"{'since' if done.in_force else 'at'} {done.edition.house.starts}"
    )
    click.echo(f"  {done.edition.digest}")
    told.say_differences(document["differences"])
