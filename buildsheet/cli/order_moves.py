"""``order``: hold, approve, release, change, close, cancel; ``events``: what happened."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, WRONG, Leave
from buildsheet.cli.group import Commands
from buildsheet.cli.speak import say_findings, say_json
from buildsheet.errors import WorldError

if TYPE_CHECKING:
    from buildsheet.actions.moves.answers import Moved
    from buildsheet.actions.workshop import Workshop

order = Commands(
    "order",
    help="Show or move an order: every answer to a move says what would be lost.",
    where={
        "show": "buildsheet.cli.order_show:show",
        "hold": "buildsheet.cli.order_moves:hold",
        "approve": "buildsheet.cli.order_moves:approve",
        "release": "buildsheet.cli.order_moves:release",
        "change": "buildsheet.cli.order_moves:change",
        "close": "buildsheet.cli.order_moves:close",
        "cancel": "buildsheet.cli.order_moves:cancel",
    },
)

_id = click.argument("order_id", metavar="ORDER")
_by = click.option("--by", required=True, help="Who does it.")
_because = click.option("--because", required=True, help="Why.")
_approved = click.option("--approved-by", default=None, help="Who stands for what is lost.")
_dry = click.option("--dry-run", is_flag=True, help="Say what would be lost; do nothing.")


@click.command()
@_id
@_by
@_because
@_dry
@options.database
@options.as_json
def hold(
    order_id: str, by: str, because: str, dry_run: bool, database: Path | None, as_json: bool
) -> None:
    """Keep ORDER back: nothing of it is built until somebody approves."""
    _move("hold", order_id, {"by": by, "reason": because, "dry_run": dry_run}, database, as_json)


@click.command()
@_id
@_by
@_because
@_dry
@options.database
@options.as_json
def approve(
    order_id: str, by: str, because: str, dry_run: bool, database: Path | None, as_json: bool
) -> None:
    """Put a name and a reason to ORDER, which is on hold; both are printed on its sheets."""
    _move("approve", order_id, {"by": by, "reason": because, "dry_run": dry_run}, database, as_json)


@click.command()
@_id
@_by
@click.option("--because", default="", help="Why, where there is something to say.")
@_dry
@options.database
@options.as_json
def release(
    order_id: str, by: str, because: str, dry_run: bool, database: Path | None, as_json: bool
) -> None:
    """Give ORDER to the bench: its parts stay held for as long as it takes."""
    _move("release", order_id, {"by": by, "reason": because, "dry_run": dry_run}, database, as_json)


@click.command()
@_id
@_by
@click.option("--because", default="", help="Why, where there is something to say.")
@_dry
@options.database
@options.as_json
def close(
    order_id: str, by: str, because: str, dry_run: bool, database: Path | None, as_json: bool
) -> None:
    """Say that nothing is left to do for ORDER, which was shipped."""
    _move("close", order_id, {"by": by, "reason": because, "dry_run": dry_run}, database, as_json)


@click.command()
@_id
@_by
@_because
@_approved
@_dry
@options.database
@options.as_json
def cancel(
    order_id: str,
    by: str,
    because: str,
    approved_by: str | None,
    dry_run: bool,
    database: Path | None,
    as_json: bool,
) -> None:
    """Build ORDER no further."""
    said = {"by": by, "reason": because, "approved_by": approved_by, "dry_run": dry_run}
    _move("cancel", order_id, said, database, as_json)


@click.command()
@_id
@options.file_argument
@click.option("--old-revision", required=True, type=int, help="The revision that is replaced.")
@_by
@_because
@_approved
@_dry
@options.database
@options.as_json
def change(
    order_id: str,
    file: str,
    old_revision: int,
    by: str,
    because: str,
    approved_by: str | None,
    dry_run: bool,
    database: Path | None,
    as_json: bool,
) -> None:
    """Make ORDER what FILE says: the whole order, with a higher revision."""
    from buildsheet.orders.text import MOST_BYTES

    text = options.read_text(file, MOST_BYTES)
    try:
        json.loads(text)
    except (ValueError, RecursionError) as error:
        raise WorldError(f"{file} is not JSON: {error}") from error
    said = {
        "by": by,
        "reason": because,
        "approved_by": approved_by,
        "dry_run": dry_run,
        "old_revision": old_revision,
    }
    # The order goes along as it was written, so that the one reader of requests sees every slip in it.
    _move("change", order_id, said, database, as_json, f', "order": {text}}}')


@click.command()
@click.option("--after", default=0, show_default=True, type=click.IntRange(0), help="Last known.")
@click.option("--limit", default=100, show_default=True, type=click.IntRange(1, 1000))
@options.database
@options.as_json
def events(after: int, limit: int, database: Path | None, as_json: bool) -> None:
    """What happened after a number, in order and without gaps."""
    from buildsheet.actions.moves.happened import event_document, happened_since
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        found = happened_since(workshop, after, limit)
    finally:
        workshop.close()
    if as_json:
        last = found[-1].sequence if found else after
        say_json({"events": [event_document(each) for each in found], "next": last})
        return
    for each in found:
        about = " ".join(word for word in (each.order_id, each.serial) if word)
        click.echo(f"{each.sequence:>6}  {each.at}  {each.kind:<18} {about}")


def _move(
    move: str,
    order_id: str,
    said: dict[str, Any],
    database: Path | None,
    as_json: bool,
    end: str = "}",
) -> None:
    from buildsheet.actions.workshop import open_workshop

    raw = (json.dumps(said)[:-1] + end).encode()
    workshop = open_workshop(options.database_path(database), create=False)
    try:
        moved = _deeds()[move](workshop, order_id, raw)
    finally:
        workshop.close()
    if moved.outcome == "unknown":
        click.echo(f"buildsheet: there is no order {order_id}", err=True)
        raise Leave(WRONG)
    _say(moved, as_json)
    if moved.outcome not in ("done", "dry-run", "replayed"):
        raise Leave(REFUSED)


def _deeds() -> dict[str, Callable[[Workshop, str, bytes], Moved]]:
    from buildsheet.actions.moves.cancel import cancel_order
    from buildsheet.actions.moves.change import change_order
    from buildsheet.actions.moves.move import move_order

    return {
        "hold": lambda workshop, number, raw: move_order(workshop, number, "hold", raw),
        "approve": lambda workshop, number, raw: move_order(workshop, number, "approve", raw),
        "release": lambda workshop, number, raw: move_order(workshop, number, "release", raw),
        "close": lambda workshop, number, raw: move_order(workshop, number, "close", raw),
        "cancel": cancel_order,
        "change": change_order,
    }


def _say(moved: Moved, as_json: bool) -> None:
    findings = [each.as_json() for each in moved.findings]
    told: dict[str, Any] = json.loads(moved.answer) if moved.answer else {}
    if as_json:
        say_json(told or {"done": False, "findings": findings})
        return
    for each in told.get("lost", ()):
        click.echo(f"{each['position']:<6} {each['serial']} ({each['state']}): {each['says']}")
    for each in told.get("new_issue", ()):
        click.echo(
            f"{each['position']:<6} {each['serial']}: issue {each['issue']}, {each['void']} void"
        )
    if told.get("done"):
        click.echo(f"Order {told['number']}, revision {told['revision']}: {told['state']}")
    elif moved.outcome == "dry-run":
        click.echo(f"It would be {told['state']}, revision {told['revision']}. Nothing was done.")
    say_findings(findings)
