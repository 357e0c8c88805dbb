"""``webhook``: who is told of events by post, and sending what is due."""

from __future__ import annotations

from pathlib import Path

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.group import Commands
from buildsheet.cli.speak import counted, say_json

webhook = Commands(
    "webhook",
    help="Other systems told of events: signed, in order, at least once.",
    where={
        "add": "buildsheet.cli.webhook:add",
        "list": "buildsheet.cli.webhook:receivers",
        "end": "buildsheet.cli.webhook:end",
        "send": "buildsheet.cli.webhook:send",
    },
)

_name = click.argument("name", metavar="NAME")
_by = click.option("--by", required=True, help="Who says so.")


@click.command()
@_name
@click.argument("url", metavar="URL")
@click.option(
    "--after", type=click.IntRange(0), help="Tell events after this one; else from now on."
)
@_by
@options.database
@options.as_json
def add(
    name: str, url: str, after: int | None, by: str, database: Path | None, as_json: bool
) -> None:
    """Tell URL of every event. The secret that signs them is shown once."""
    from buildsheet.actions.webhooks.receivers import add_receiver
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        secret = add_receiver(workshop, name, url, by=by, after=after)
    finally:
        workshop.close()
    if as_json:
        say_json({"name": name, "url": url, "secret": secret})
        return
    click.echo(f"{name} is told of events. Its secret, shown this once:")
    click.echo(secret)


@click.command("list")
@options.database
@options.as_json
def receivers(database: Path | None, as_json: bool) -> None:
    """Every receiver, and how far it got. No secret is shown."""
    from buildsheet.actions.webhooks.receivers import list_receivers
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        found = list_receivers(workshop)
    finally:
        workshop.close()
    if as_json:
        shown = (
            "name",
            "url",
            "added_by",
            "added_at",
            "sent_to",
            "failures",
            "trouble",
            "ended_at",
        )
        say_json({"receivers": [{each: getattr(one, each) for each in shown} for one in found]})
        return
    for one in found:
        state = f"ended {one.ended_at}" if one.ended_at else f"has events up to {one.sent_to}"
        trouble = f"; {counted(one.failures, 'failure')}: {one.trouble}" if one.trouble else ""
        click.echo(f"{one.name:<16} {one.url}  {state}{trouble}")
    if not found:
        click.echo("Nobody is told of events yet: buildsheet webhook add NAME URL --by WHO")


@click.command()
@_name
@_by
@options.database
@options.as_json
def end(name: str, by: str, database: Path | None, as_json: bool) -> None:
    """Tell NAME nothing any more."""
    from buildsheet.actions.webhooks.receivers import end_receiver
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        ended = end_receiver(workshop, name, by=by)
    finally:
        workshop.close()
    if as_json:
        say_json({"name": name, "ended": ended})
    else:
        click.echo(f"{name} is told nothing any more" if ended else f"there is no {name} to end")
    if not ended:
        raise Leave(REFUSED)


@click.command()
@options.database
@options.as_json
def send(database: Path | None, as_json: bool) -> None:
    """Send what is due, once; meant to be run every minute. Exit 1 where a receiver did not take it."""
    from buildsheet.actions.webhooks.send import send_due
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        sent = send_due(workshop)
    finally:
        workshop.close()
    if as_json:
        told = [{"name": each.name, "taken": each.taken, "trouble": each.trouble} for each in sent]
        say_json({"sent": told})
    else:
        for each in sent:
            click.echo(f"{each.name}: {counted(each.taken, 'event')} {each.trouble}".rstrip())
    if any(each.trouble for each in sent):
        raise Leave(REFUSED)
