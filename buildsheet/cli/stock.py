"""``stock``: goods in, corrections with a reason, deliveries announced, what is free."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.group import Commands
from buildsheet.cli.speak import counted, say_findings, say_json

if TYPE_CHECKING:
    from buildsheet.actions.stock.move import Moved

MOST_BYTES = 1_000_000

stock = Commands(
    "stock",
    help="The shelves: goods in, corrections with a reason, what is free.",
    where={
        "receive": "buildsheet.cli.stock:receive",
        "count": "buildsheet.cli.stock:count",
        "expect": "buildsheet.cli.stock:expect",
        "show": "buildsheet.cli.stock:show",
    },
)

_what = click.argument("what", metavar="FILE|PART")
_pieces = click.argument("pieces", metavar="[PIECES]", type=click.IntRange(0), required=False)
_by = click.option("--by", default="workshop", show_default=True, help="Who says so.")
_bin = click.option("--bin", "bin_", default=None, help="Where it lies.")


@click.command()
@_what
@_pieces
@_bin
@click.option("--unannounced", is_flag=True, help="It is another delivery than the announced one.")
@_by
@options.database
@options.as_json
def receive(
    what: str,
    pieces: int | None,
    bin_: str | None,
    unannounced: bool,
    by: str,
    database: Path | None,
    as_json: bool,
) -> None:
    """Goods in: PIECES of PART (such as SSB9/267), or every line of FILE (stock.csv)."""
    more = {"bin": bin_, "announced": not unannounced}
    _move("received", what, pieces, more, by, "", database, as_json)


@click.command()
@_what
@_pieces
@click.option("--reason", required=True, help="Why the record was wrong.")
@_bin
@_by
@options.database
@options.as_json
def count(
    what: str,
    pieces: int | None,
    reason: str,
    bin_: str | None,
    by: str,
    database: Path | None,
    as_json: bool,
) -> None:
    """A count: so many PIECES of PART lie on the shelf, whatever the record says; or every line of FILE."""
    _move("counted", what, pieces, {"bin": bin_}, by, reason, database, as_json)


@click.command()
@click.argument("part", metavar="PART")
@click.argument("pieces", metavar="PIECES", type=click.IntRange(1))
@click.option("--on", "day", required=True, help="The day it is due: 2031-05-15.")
@_by
@options.database
@options.as_json
def expect(part: str, pieces: int, day: str, by: str, database: Path | None, as_json: bool) -> None:
    """A delivery of PIECES of PART is announced for a day."""
    _move("expected", part, pieces, {"due_on": day}, by, "", database, as_json)


@click.command()
@click.argument("part", metavar="[PART]", required=False)
@options.database
@options.as_json
def show(part: str | None, database: Path | None, as_json: bool) -> None:
    """What lies on the shelves, is held, is free and comes; PART narrows it (SSB9, SSB9/267)."""
    from buildsheet.actions.stock.shelf import show_shelf
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        shelf = show_shelf(workshop, part)
        today = workshop.clock().date().isoformat()
    finally:
        workshop.close()
    if as_json:
        say_json(shelf.as_json())
        return
    if not shelf.kept:
        click.echo("No stock is kept yet: buildsheet stock receive FILE")
        return
    click.echo(f"{'part':<22}{'bin':<12}{'shelf':>8}{'held':>8}{'free':>8}  comes")
    for line in shelf.lines:
        level = line.level
        row = f"{level.item:<22}{level.bin:<12}{level.shelf:>8}{level.held:>8}{level.free:>8}"
        click.echo(f"{row}  {_comes(line.coming, today)}".rstrip())


def _comes(coming: Iterable[tuple[str, int]], today: str) -> str:
    """What is expected of an article and when, the earliest first; what should have come is late."""
    return ", ".join(
        f"{pieces} on {day}{' (late)' if day < today else ''}" for day, pieces in coming
    )


def _move(
    kind: Literal["received", "counted", "expected"],
    what: str,
    pieces: int | None,
    more: dict[str, Any],
    by: str,
    reason: str,
    database: Path | None,
    as_json: bool,
) -> None:
    from buildsheet.actions.stock.load import fresh_key, load_stock
    from buildsheet.actions.stock.move import take_movements
    from buildsheet.actions.workshop import open_workshop

    text = options.read_text(what, MOST_BYTES) if pieces is None else ""
    workshop = open_workshop(options.database_path(database), create=False)
    try:
        if pieces is None:
            whole: Literal["received", "counted"] = "counted" if kind == "counted" else "received"
            announced = more.get("announced", True)
            moved = load_stock(
                workshop, text, by=by, kind=whole, reason=reason, announced=announced
            )
        else:
            line = {"kind": kind, "part": what, "pieces": pieces}
            line |= {name: value for name, value in more.items() if value is not None}
            document = {"by": by, "reason": reason, "movements": [line]}
            document["key"] = fresh_key(workshop)
            moved = take_movements(workshop, json.dumps(document).encode())
        today = workshop.clock().date().isoformat()
    finally:
        workshop.close()
    _say(moved, today, as_json)


def _say(moved: Moved, today: str, as_json: bool) -> None:
    findings = [each.as_json() for each in moved.findings]
    answer = json.loads(moved.answer) if moved.answer else None
    if as_json:
        say_json({"outcome": moved.outcome, "answer": answer, "findings": findings})
    else:
        if answer:
            click.echo(f"{counted(answer.get('movements', 0), 'movement')} entered")
            for each in answer["parts"][:8]:
                click.echo(
                    f"  {each['part']:<22}{each['shelf']} on the shelf, {each['held']} held, "
                    f"{each['free']} free"
                )
                if each["coming"]:
                    comes = _comes([(one["on"], one["pieces"]) for one in each["coming"]], today)
                    click.echo(f"  {'':<22}{each['expected']} expected: {comes}")
        say_findings(findings)
    if answer is None:
        raise Leave(REFUSED)
