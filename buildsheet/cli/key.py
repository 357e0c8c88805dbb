"""``key``: what other systems prove themselves by. A key is shown once, when it is made."""

from __future__ import annotations

from pathlib import Path

import click

from buildsheet.cli import options
from buildsheet.cli.group import Commands
from buildsheet.cli.person import ROLES as OF_PEOPLE
from buildsheet.cli.speak import say_json

ROLES = (*OF_PEOPLE, "watch")

key = Commands(
    "key",
    help="Keys of other systems to the API.",
    where={
        "add": "buildsheet.cli.key:add",
        "list": "buildsheet.cli.key:every",
        "revoke": "buildsheet.cli.key:revoke",
    },
)


@click.command()
@click.option("--role", required=True, type=click.Choice(ROLES), help="What it is for.")
@click.option("--name", required=True, help="What people call it, such as shop-a.")
@click.option("--source", help="Role intake: whose orders it takes and sees (else its name).")
@options.database
@options.as_json
def add(role: str, name: str, source: str | None, database: Path | None, as_json: bool) -> None:
    """Make a key and show it, this once."""
    from buildsheet.actions.people.keys import add_key
    from buildsheet.actions.people.roles import Role
    from buildsheet.actions.people.standing import asks_nobody
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database))
    try:
        first = asks_nobody(workshop)
        made = add_key(workshop, name, Role(role), source)
    finally:
        workshop.close()
    stored = made.stored
    if as_json:
        said = {"prefix": stored.prefix, "name": name, "role": role, "source": stored.source}
        say_json({**said, "key": made.text, "first": first})
        return
    of = f", for the orders of {stored.source} only" if stored.source else ""
    click.echo(f"The key {name} of role {role}{of}. It is shown this once:")
    click.echo(made.text)
    if first:
        click.echo(
            "From now on this workshop asks everybody who they are, also where it runs already."
        )


@click.command("list")
@options.database
@options.as_json
def every(database: Path | None, as_json: bool) -> None:
    """Every key by its prefix: in use, or revoked and when."""
    from buildsheet.actions.people.keys import list_keys
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        known = list_keys(workshop)
    finally:
        workshop.close()
    if as_json:
        said = [
            {
                "prefix": each.prefix,
                "name": each.name,
                "role": each.role,
                "source": each.source,
                "made_at": each.made_at,
                "revoked_at": each.revoked_at,
            }
            for each in known
        ]
        say_json({"keys": said})
        return
    for each in known:
        gone = f", revoked {each.revoked_at}" if each.revoked_at else ""
        of = f" of {each.source}" if each.source else ""
        click.echo(f"{each.prefix}  {each.role:<9}{each.name}{of}, made {each.made_at}{gone}")
    if not known:
        click.echo("No key yet: buildsheet key add --role intake --name shop-a")


@click.command()
@click.argument("what", metavar="NAME-OR-PREFIX")
@options.database
@options.as_json
def revoke(what: str, database: Path | None, as_json: bool) -> None:
    """Let a key open nothing any more."""
    from buildsheet.actions.people.keys import revoke_key
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        gone = revoke_key(workshop, what)
    finally:
        workshop.close()
    if as_json:
        say_json({"prefix": gone.prefix, "name": gone.name, "revoked": True})
    else:
        click.echo(f"The key {gone.name} ({gone.prefix}…) opens nothing any more.")
