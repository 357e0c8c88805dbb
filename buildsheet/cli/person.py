"""``person``: who signs in. Passwords are asked for at a prompt, or read from standard input."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from buildsheet.cli import options
from buildsheet.cli.group import Commands
from buildsheet.cli.speak import say_json
from buildsheet.errors import WorldError

ROLES = ("intake", "builder", "manager", "owner")
_MOST_BYTES = 4096

person = Commands(
    "person",
    help="People who sign in, and what they are here for.",
    where={
        "add": "buildsheet.cli.person:add",
        "list": "buildsheet.cli.person:everyone",
        "password": "buildsheet.cli.person:password",
        "end": "buildsheet.cli.person:end",
    },
)


@click.command()
@click.argument("name")
@click.option("--role", required=True, type=click.Choice(ROLES), help="What they are here for.")
@options.database
@options.as_json
def add(name: str, role: str, database: Path | None, as_json: bool) -> None:
    """Let NAME sign in. The password is asked for, or read from standard input where no terminal is."""
    from buildsheet.actions.people.persons import add_person
    from buildsheet.actions.people.roles import SAYS, Role
    from buildsheet.actions.people.standing import asks_nobody
    from buildsheet.actions.workshop import open_workshop

    chosen = _asked_password(name)
    workshop = open_workshop(options.database_path(database))
    try:
        first = asks_nobody(workshop)
        kept = add_person(workshop, name, Role(role), chosen)
    finally:
        workshop.close()
    if as_json:
        say_json({"name": kept, "role": role, "first": first})
        return
    click.echo(f"{kept} may sign in as {role}: {SAYS[Role(role)]}.")
    if first:
        click.echo(
            "From now on this workshop asks everybody who they are, also where it runs already."
        )


@click.command("list")
@options.database
@options.as_json
def everyone(database: Path | None, as_json: bool) -> None:
    """Everybody who signs in or once did."""
    from buildsheet.actions.people.persons import list_people
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        people = list_people(workshop)
    finally:
        workshop.close()
    if as_json:
        said = [
            {
                "name": each.name,
                "role": each.role,
                "added_at": each.added_at,
                "password_set_at": each.password_set_at,
                "ended_at": each.ended_at,
            }
            for each in people
        ]
        say_json({"people": said})
        return
    for each in people:
        ended = f", ended {each.ended_at}" if each.ended_at else ""
        click.echo(f"{each.role:<9}{each.name}, added {each.added_at}{ended}")
    if not people:
        click.echo("Nobody yet, so nobody is asked: buildsheet person add NAME --role owner")


@click.command()
@click.argument("name")
@options.database
@options.as_json
def password(name: str, database: Path | None, as_json: bool) -> None:
    """Give NAME another password, and sign them out everywhere."""
    from buildsheet.actions.people.persons import give_password
    from buildsheet.actions.workshop import open_workshop

    chosen = _asked_password(name)
    workshop = open_workshop(options.database_path(database), create=False)
    try:
        kept = give_password(workshop, name, chosen)
    finally:
        workshop.close()
    if as_json:
        say_json({"name": kept, "changed": True})
    else:
        click.echo(f"{kept} has another password and is signed out everywhere.")


@click.command()
@click.argument("name")
@options.database
@options.as_json
def end(name: str, database: Path | None, as_json: bool) -> None:
    """Let NAME sign in no more, and sign them out at once. What they did stays on record."""
    from buildsheet.actions.people.persons import end_person
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        gone = end_person(workshop, name)
    finally:
        workshop.close()
    if as_json:
        say_json({"name": gone, "ended": True})
    else:
        click.echo(f"{gone} signs in no more.")


def _asked_password(name: str) -> str:
    """The password, typed twice unseen, or the first line of standard input. Never an argument: those
    can be read by every user of the machine. Raises WorldError where there is none."""
    if sys.stdin.isatty():
        asked: str = click.prompt(
            f"Password for {name}", hide_input=True, confirmation_prompt="The same again", err=True
        )
        return asked
    line = sys.stdin.buffer.readline(_MOST_BYTES)
    try:
        given = line.decode("utf-8").rstrip("\r\n")
    except UnicodeDecodeError as trouble:
        raise WorldError("the password on standard input is not UTF-8") from trouble
    if not given:
        raise WorldError(
            "no password: type it at the prompt, or send it as a line of standard input"
        )
    return given
