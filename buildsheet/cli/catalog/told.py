"""Drafts and differences in words; and what is refused because somebody else was quicker."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

import click

from buildsheet.actions.desk.codes import desk_finding
from buildsheet.actions.desk.standing import DraftOpen, NoDraft, StaleDraft, as_finding
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.speak import counted, in_words, say_findings, say_json
from buildsheet.errors import CallerError
from buildsheet.findings import Finding

BY_VARIABLE: Final = "BUILDSHEET_BY"
NOT_NAMED: Final = "not named"
MOST_FIELDS: Final = 8
BEGIN: Final = "buildsheet catalog draft --begin"
"""The command that opens a draft."""

by = click.option(
    "--by",
    "by",
    metavar="NAME",
    default=lambda: os.environ.get(BY_VARIABLE, NOT_NAMED),
    help=f"Who does this (else ${BY_VARIABLE}).",
)
version = click.option(
    "--version",
    "version",
    metavar="N",
    type=click.IntRange(1, 999_999_999),
    help="The version of the draft that this was made from; refused where it has changed since.",
)


@contextmanager
def needs_draft() -> Iterator[None]:
    """Where no draft is open, the one line that is said of it names the command that opens one."""
    try:
        yield
    except NoDraft as trouble:
        raise CallerError(f"{trouble}: {BEGIN}") from trouble


@contextmanager
def desk(database: Path | None, *, as_json: bool, create: bool = False) -> Iterator[Workshop]:
    """The workshop file for one command; whoever was overtaken is refused with what changed since, and
    whoever needs a draft where none is open is told how one is begun."""
    workshop = open_workshop(options.database_path(database), create=create)
    try:
        with needs_draft():
            yield workshop
    except StaleDraft as overtaken:
        refuse((as_finding(overtaken),), as_json=as_json, what="nothing was changed")
    except DraftOpen as overtaken:
        finding = desk_finding(
            "data.draft-stale", "", f"{str(overtaken)[:1].upper()}{str(overtaken)[1:]}."
        )
        refuse((finding,), as_json=as_json, what="nothing was changed")
    finally:
        workshop.close()


def refuse(findings: Iterable[Finding], *, as_json: bool, what: str) -> None:
    """Say what is in the way, and leave."""
    said = [finding.as_json() for finding in findings]
    if as_json:
        say_json({"ok": False, "findings": said})
    else:
        blocks = sum(each["severity"] == "block" for each in said)
        click.echo(f"REFUSED: {counted(blocks, 'finding')} in the way; {what}.")
        say_findings(said)
    raise Leave(REFUSED)


def say_differences(differences: Mapping[str, Any]) -> None:
    """Every part, house figure and rule that differs."""
    for part in differences["parts"]:
        _say_table(f"{part['kind'].replace('_', ' ')} {part['code']}", part)
    for each in differences["house"]:
        click.echo(f"  house {_field(each)}")
    for rule in differences["rules"]:
        _say_table(f"rule {rule['id']}", rule)
    if not any(differences.values()):
        click.echo("  It says the same.")


def say_second_person(sentences: Iterable[str]) -> None:
    """What only two people may publish."""
    listed = list(sentences)
    if listed:
        click.echo("Wants a second person:")
    for sentence in listed:
        click.echo(f"  {sentence}")


def _say_table(name: str, table: Mapping[str, Any]) -> None:
    if table["what"] != "changed":
        click.echo(f"  {name} {table['what']}")
        return
    fields = table["fields"]
    click.echo(f"  {name}: " + "; ".join(_field(each) for each in fields[:MOST_FIELDS]))
    if len(fields) > MOST_FIELDS:
        click.echo(f"      and {len(fields) - MOST_FIELDS} more")


def _field(each: Mapping[str, Any]) -> str:
    return f"{each['key']} {in_words(each['old'])} -> {in_words(each['new'])}"
