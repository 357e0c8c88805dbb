"""``catalog standing``: parts and rules that do nothing."""

from __future__ import annotations

from pathlib import Path

import click

from buildsheet.cli import options
from buildsheet.cli.against import edition_against
from buildsheet.cli.catalog.impact import say_rules
from buildsheet.cli.speak import say_json


@click.command()
@click.argument(
    "directory", metavar="[DIR]", required=False, type=click.Path(path_type=Path, file_okay=False)
)
@options.database
@options.as_json
def standing(directory: Path | None, database: Path | None, as_json: bool) -> None:
    """Dead parts, only choices, idle rules and contradictions of the running edition, or of DIR."""
    from buildsheet.actions.desk.impact_document import standing_document

    with edition_against(database, directory) as against:
        document = standing_document(against.edition)
    if as_json:
        say_json(document)
        return
    click.echo(f"Edition {document['edition']}:")
    for each in document["dead_parts"]:
        item = f"{each['code']}/{each['variant']}" if each["variant"] else each["code"]
        click.echo(f"  {item} ({each['kind']}) is in no buildable wheel")
    for each in document["only_choices"]:
        place = f"{each['position']} {each['rim']}/{each['holes']}"
        click.echo(f"  {each['code']} is the only choice of {each['kind']} for {place}")
    say_rules(document["idle_rules"], document["contradictions"])
