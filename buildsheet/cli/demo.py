"""``demo``: a fresh workshop with its orders, told as it happens."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from buildsheet.cli import options
from buildsheet.cli.catalog.told import say_differences
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.speak import (
    as_called,
    counted,
    plan_lines,
    say_findings,
    say_in_short,
    say_json,
)

if TYPE_CHECKING:
    from buildsheet.actions.demo import DemoOrder
    from buildsheet.actions.demo_editions import PlayedEditions

DIRECTORY = Path("var/demo")


@click.command()
@click.option(
    "--dir",
    "directory",
    type=click.Path(path_type=Path),
    default=DIRECTORY,
    show_default=True,
    help="Where the demo workshop is made anew.",
)
@options.database
@options.as_json
def demo(directory: Path, database: Path | None, as_json: bool) -> None:  # noqa: ARG001
    """Make a fresh workshop, take the example orders, write their sheets, prepare the next editions,
    and say what happened."""
    from buildsheet.actions.demo import (
        SHEETS,
        examples_directory,
        fill_shelves,
        fresh_workshop,
        hang_gauges,
        load_demo_catalog,
        take_examples,
    )
    from buildsheet.actions.demo_editions import play_editions
    from buildsheet.actions.desk.documents import published_document

    workshop = fresh_workshop(directory)
    try:
        loaded = load_demo_catalog(workshop)
        if loaded.edition is None:
            say_findings(finding.as_json() for finding in loaded.findings)
            raise Leave(REFUSED)
        edition = loaded.edition
        if not as_json:
            click.echo(f"{edition.house.workshop}, edition {edition.number}")
        articles = fill_shelves(workshop, examples_directory())
        if not as_json:
            click.echo(f"{counted(articles, 'article')} on the shelves\n")
        hang_gauges(workshop, examples_directory())
        done: list[dict[str, Any]] = []
        for each in take_examples(workshop, examples_directory()):
            told = _told(each)
            done.append(told)
            if not as_json:
                _say(told)
        played = play_editions(workshop, examples_directory())
        if not as_json:
            _say_editions(played)
    finally:
        workshop.close()
    if as_json:
        say_json(
            {
                "directory": str(directory),
                "database": str(workshop.path),
                "sheets": str(directory / SHEETS),
                "edition": edition.number,
                "orders": done,
                "next": published_document(played.published),
                "draft": {
                    "number": played.draft.number,
                    "version": played.draft.version,
                    "findings": [each.as_json() for each in played.draft.findings],
                },
            }
        )
        return
    taken = sum(each["outcome"] == "taken" for each in done)
    sheets = sum(len(each["sheets"]) for each in done)
    click.echo(f"{counted(len(done), 'order')}: {taken} taken, {len(done) - taken} not.")
    click.echo(f"{counted(sheets, 'sheet')} in    {directory / SHEETS}")
    click.echo(f"workshop file  {workshop.path}")
    click.echo(f"the desk       {as_called('catalog draft')} --db {workshop.path}")
    click.echo(f"look at it     {as_called('serve')} --db {workshop.path}")
    click.echo("               and open http://127.0.0.1:8000/")


def _say_editions(played: PlayedEditions) -> None:
    done = played.published
    click.echo(f"Edition {done.edition.number}, published, starts {done.edition.house.starts}")
    click.echo(f"  by {done.paper.author}, approved by {done.paper.approver}: {done.paper.reason}")
    say_differences(done.differences.as_json())
    click.echo("  Orders taken already keep their edition. Under it, D-1005.json is refused with")
    click.echo(f"  {counted(len(played.under_it), 'finding')} at once:")
    for finding in played.under_it:
        click.echo(f"    {finding.code:<18} {finding.at}")
    click.echo(f"Edition {played.draft.number}, a draft that is not to be published:")
    say_findings(each.as_json() for each in played.draft.findings)
    click.echo()


def _told(order: DemoOrder) -> dict[str, Any]:
    answer = order.answer or {}
    return {
        "file": order.path.name,
        "path": str(order.path),
        "outcome": order.took.outcome,
        "id": answer.get("id"),
        "state": answer.get("state"),
        "source": answer.get("source"),
        "number": answer.get("number"),
        "wheels": answer.get("wheels", []),
        "plans": answer.get("plans", {}),
        "holds": answer.get("holds", []),
        "findings": answer.get("findings", [each.as_json() for each in order.took.findings]),
        "sheets": [str(path) for path in order.sheets],
    }


def _say(told: dict[str, Any]) -> None:
    blocks = sum(finding["severity"] == "block" for finding in told["findings"])
    words = {
        "taken": f"taken as {told['id']}",
        "replayed": f"taken already as {told['id']}: the first answer again, nothing made twice",
        "conflict": "NOT TAKEN",
        "key-reused": "NOT TAKEN",
        "short": "NOT TAKEN: parts are not there",
        "refused": f"REFUSED: {counted(blocks, 'finding')} in the way",
    }
    click.echo(f"{told['file']}  {words[told['outcome']]}")
    if told["outcome"] == "replayed":
        click.echo()
        return
    if told["state"] == "on-hold":
        click.echo("  waits for an approval by name; no sheet before that")
    for wheel in told["wheels"]:
        for place, line in enumerate(plan_lines(told["plans"][wheel["position"]])):
            click.echo(f"  {line}" + (f"  serial {wheel['serial']}" if place == 0 else ""))
    say_in_short(told["findings"], as_called(f"check {_from_here(told['path'])}"))
    if told["holds"]:
        click.echo(f"  parts are held until {told['holds'][0]['expires_at']}")
    for path in told["sheets"]:
        click.echo(f"  sheet    {path}")
    click.echo()


def _from_here(path: str) -> str:
    """A path as it is typed in this directory, where it lies below it."""
    here = Path.cwd()
    return str(Path(path).relative_to(here)) if Path(path).is_relative_to(here) else path
