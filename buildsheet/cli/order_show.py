"""``order show``: one order as it stands, and what was done to it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from buildsheet.cli import options
from buildsheet.cli.edge import WRONG, Leave
from buildsheet.cli.speak import say_json

if TYPE_CHECKING:
    from buildsheet.actions.show_order import OrderView
    from buildsheet.storage.moves import StoredMove


@click.command()
@click.argument("order_id", metavar="ORDER")
@options.database
@options.as_json
def show(order_id: str, database: Path | None, as_json: bool) -> None:
    """ORDER as it stands: its wheels, and every move with who, when and why."""
    from buildsheet.actions.show_order import show_order
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        view = show_order(workshop, order_id)
    finally:
        workshop.close()
    if view is None:
        click.echo(f"buildsheet: there is no order {order_id}", err=True)
        raise Leave(WRONG)
    if as_json:
        say_json(view.as_json())
        return
    _say(view)


def _say(view: OrderView) -> None:
    order = view.stored
    click.echo(f"Order {order.number} of {order.source}, {order.id}, revision {order.revision}")
    click.echo(f"State {order.state}, edition {order.edition}, taken {order.taken_at}")
    for wheel in view.wheels:
        click.echo(f"{wheel.position:<6} {wheel.serial}  {wheel.state}, sheet {wheel.sheet.issue}")
    for each in view.moves:
        click.echo(_move_line(each))


def _move_line(move: StoredMove) -> str:
    """One move in one line.

    Who approved is said where it is somebody else than who asked.
    """
    stands = (
        f", approved by {move.approved_by}" if move.approved_by not in (None, move.done_by) else ""
    )
    why = f": {move.reason}" if move.reason else ""
    went = f"{move.before} -> {move.after}, revision {move.revision}"
    return f"{move.done_at}  {move.move:<8} {went}, by {move.done_by}{stands}{why}"
