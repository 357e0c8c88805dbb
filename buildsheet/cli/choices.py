"""``choices``: what may still be chosen after a part of an order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import click

from buildsheet.actions.choices import choices_of
from buildsheet.cli import options
from buildsheet.cli.against import Against, edition_against
from buildsheet.cli.edge import REFUSED, WRONG, Leave
from buildsheet.cli.order import UNREADABLE, catalog_option
from buildsheet.cli.speak import counted, in_words, say_findings, say_json
from buildsheet.orders.text import MOST_BYTES
from buildsheet.space.choices import Choices


@click.command()
@options.file_argument
@options.database
@catalog_option
@click.option("--why", is_flag=True, help="Say of every closed value what closes it.")
@options.as_json
def choices(
    file: str, database: Path | None, catalog: Path | None, why: bool, as_json: bool
) -> None:
    """What may still be chosen after the part of an order in FILE (- is standard input).

    {} is a part too. Stores nothing. Exit 0: something can be built; 1: nothing, and what to change;
    2: no part of an order could be read.
    """
    raw = options.read_bytes(file, MOST_BYTES)
    with edition_against(database, catalog) as against:
        answer = choices_of(raw, against.edition)
    document = answer.as_json()
    if as_json:
        say_json(document)
    else:
        _say(answer, document, against, why=why)
    if answer.ways == 0:
        unreadable = any(each.code in UNREADABLE for each in answer.findings)
        raise Leave(WRONG if unreadable else REFUSED)


def _say(answer: Choices, document: Mapping[str, Any], against: Against, *, why: bool) -> None:
    click.echo(f"Edition {answer.edition} ({against.place})")
    if answer.broken:
        click.echo(
            f"CANNOT BE READ AS A PART OF AN ORDER: {counted(len(answer.findings), 'fault')}"
        )
    elif answer.ways:
        click.echo(f"{counted(answer.ways, 'complete order')} can be made of it")
    else:
        click.echo("NOTHING CAN BE BUILT OF IT as it stands")
    for at, value in answer.assumed.items():
        click.echo(f"assumed: {at} = {in_words(value)}")
    if document["findings"]:
        click.echo()
        say_findings(document["findings"])
    for at, ways in document["open"].items():
        click.echo()
        click.echo(at)
        for line in _value_lines(ways, document["closed"].get(at, ()), why=why):
            click.echo(line)


def _value_lines(
    ways: Iterable[Mapping[str, Any]], closed: Iterable[Mapping[str, Any]], *, why: bool
) -> Iterable[str]:
    """Each open value with its ways, then the closed ones, each with what closes it where asked."""
    for each in ways:
        yield f"  {in_words(each['value']):<28}  {each['ways']}"
    shut = list(closed)
    if why:
        yield from (
            f"  {in_words(each['value']):<28}  - {each['finding']['says']}" for each in shut
        )
    elif shut:
        yield f"  closed: {'; '.join(in_words(each['value']) for each in shut)}"
