"""``check`` and ``sheet``: one order file, judged and drawn."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import click

from buildsheet.actions.check_order import check_order, with_shelves
from buildsheet.cli import options
from buildsheet.cli.against import Against, edition_against
from buildsheet.cli.edge import DONE, REFUSED, WRONG, Leave
from buildsheet.cli.speak import counted, plan_lines, say_findings, say_json
from buildsheet.orders.check import Checked
from buildsheet.orders.text import MOST_BYTES

UNREADABLE: Final = frozenset(
    {"order.not-json", "order.not-utf8", "order.too-deep", "order.too-large"}
)
"""What is no order document at all: wrong input, not a refused order."""

catalog_option = click.option(
    "--catalog",
    type=click.Path(path_type=Path),
    help="Check against the catalog files in this directory instead of the workshop's edition.",
)


@click.command()
@options.file_argument
@options.database
@catalog_option
@options.as_json
def check(file: str, database: Path | None, catalog: Path | None, as_json: bool) -> None:
    """Every finding about the order in FILE (- is standard input) and the plans of its wheels.

    Stores nothing. Exit 0: can be built; 1: cannot; 2: no order could be read.
    """
    raw = options.read_bytes(file, MOST_BYTES)
    with edition_against(database, catalog) as against:
        checked = check_order(raw, against.edition)
        if against.workshop is not None:
            checked = with_shelves(against.workshop, checked)
        document = checked.as_json()
    if as_json:
        say_json(document)
    else:
        _say(checked, document, against)
    raise Leave(exit_code(checked))


@click.command()
@options.file_argument
@click.option("--out", required=True, type=click.Path(path_type=Path), help="Where the PDFs go.")
@click.option("--paper", type=click.Choice(["a4", "letter"], case_sensitive=False), default="a4")
@options.database
@catalog_option
@options.as_json
def sheet(
    file: str,
    out: Path,
    paper: str,
    database: Path | None,
    catalog: Path | None,
    as_json: bool,
) -> None:
    """The sheets of the order in FILE as PDF, one for each wheel.

    An order that the workshop has taken is printed with its serials, any other marked as not taken.
    """
    from buildsheet.actions.demo import write_file
    from buildsheet.actions.draw_sheets import draw_sheets
    from buildsheet.actions.print_sheet import Waits

    raw = options.read_bytes(file, MOST_BYTES)
    with edition_against(database, catalog) as against:
        checked = check_order(raw, against.edition)
        document = checked.as_json()
        if not checked.buildable:
            if as_json:
                say_json({**document, "sheets": []})
            else:
                _say(checked, document, against)
            raise Leave(exit_code(checked))
        try:
            drawn = draw_sheets(against.workshop, checked, against.edition, paper.lower())
        except Waits as waits:
            if as_json:
                say_json({**document, "sheets": []})
            else:
                _say(checked, document, against)
                click.echo(f"\nNo sheet: {waits}")
            raise Leave(REFUSED) from waits
    out.mkdir(parents=True, exist_ok=True)
    for each in drawn:
        write_file(out / each.file_name, each.pdf)
    if as_json:
        sheets = [
            {"position": each.position, "serial": each.serial, "file": str(out / each.file_name)}
            for each in drawn
        ]
        say_json({**document, "sheets": sheets})
        return
    for each in drawn:
        taken = f"serial {each.serial}" if each.serial else "not taken, no serial"
        click.echo(f"{out / each.file_name}  ({each.position}, {taken})")
    _say_minor(document)


def exit_code(checked: Checked) -> int:
    """What a checked order means to whoever started the command."""
    if checked.buildable:
        return DONE
    unreadable = any(finding.code in UNREADABLE for finding in checked.findings)
    return WRONG if unreadable else REFUSED


def verdict(document: dict[str, Any]) -> str:
    """The outcome of a check in a few words."""
    blocks = sum(finding["severity"] == "block" for finding in document["findings"])
    if not document["buildable"]:
        return f"CANNOT BE BUILT: {counted(blocks, 'finding')} in the way"
    approvals = sum(finding["severity"] == "approval" for finding in document["findings"])
    if approvals:
        return f"CAN BE BUILT AFTER AN APPROVAL BY NAME ({counted(approvals, 'finding')})"
    return "CAN BE BUILT"


def _say(checked: Checked, document: dict[str, Any], against: Against) -> None:
    order = checked.order
    if order is not None:
        click.echo(f"Order {order.number} of {order.source}, revision {order.revision}")
    click.echo(f"Edition {against.edition.number} ({against.place})")
    click.echo(verdict(document))
    if document["findings"]:
        click.echo()
        say_findings(document["findings"])
    for plan in document["plans"].values():
        click.echo()
        for line in plan_lines(plan):
            click.echo(line)


def _say_minor(document: dict[str, Any]) -> None:
    if document["findings"]:
        click.echo()
        say_findings(document["findings"])
