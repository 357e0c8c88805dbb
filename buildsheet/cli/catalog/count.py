"""``catalog count``: how many wheels and sets can be built, exactly."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from buildsheet.cli import options
from buildsheet.cli.catalog import told
from buildsheet.cli.speak import say_json

Progress = Callable[[int, int], None]


@click.command()
@click.argument("directory", metavar="[DIR]", required=False, type=click.Path(path_type=Path))
@click.option("--draft", "is_draft", is_flag=True, help="The draft of the next edition instead.")
@options.database
@options.as_json
def count(directory: Path | None, is_draft: bool, database: Path | None, as_json: bool) -> None:
    """How many wheels the running edition can build, exactly: in every nipple and decal colour, with
    every driver body, for at least one use.

    Without a workshop file: the catalog beside the program. With DIR: the files there.
    """
    from buildsheet.actions.desk.count import count_edition, edition_in

    if is_draft and directory is not None:
        raise click.UsageError("--draft and DIR exclude each other")
    where = options.database_path(database)
    with told.needs_draft():
        edition, findings = edition_in(directory, where, is_draft=is_draft)
    if edition is None:
        told.refuse(findings, as_json=as_json, what="nothing was counted")
        return
    with _shown_progress() as progress:
        counted = count_edition(edition, progress)
    if as_json:
        say_json(counted.as_json())
        return
    click.echo(f"Edition {counted.edition}: {counted.buildable:,} buildable wheels")
    click.echo(f"  of {counted.combinations:,} combinations on its lists")
    for rim, number in counted.by_rim.items():
        click.echo(f"  {rim:<24} {number:>14,}")
    click.echo(f"  {'sets of two':<24} {counted.sets:>14,}")


@contextmanager
def _shown_progress() -> Iterator[Progress | None]:
    """Progress on the terminal's own stream, where somebody is looking; nothing stays behind."""
    if not sys.stderr.isatty():
        yield None
        return

    def show(done: int, of: int) -> None:
        click.echo(f"\r{done} of {of} rims with hubs ", nl=False, err=True)

    try:
        yield show
    finally:
        click.echo("\r\x1b[K", nl=False, err=True)
