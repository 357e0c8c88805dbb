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
        # Who approved is said where it is somebody else than who asked.
        stands = each.approved_by if each.approved_by != each.done_by else None
        click.echo(
            f"{each.done_at}  {each.move:<8} {each.before} -> {each.after}, revision {each.revision}, "
            f"by {each.done_by}"
            + (f", approved by {stands}" if stands else "")
            + (f": {each.reason}" if each.reason else "")
        )
