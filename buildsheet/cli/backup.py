"""``backup``: a consistent copy while the service runs. ``restore``: a copy put back."""

from __future__ import annotations

from pathlib import Path

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.speak import counted, say_json

_file = click.argument("file", metavar="FILE", type=click.Path(path_type=Path))


@click.command()
@_file
@options.database
@options.as_json
def backup(file: Path, database: Path | None, as_json: bool) -> None:
    """Copy the workshop file to FILE while others work, look the copy through, and say its digest."""
    from buildsheet.actions.backup import backup as copy_to

    made = copy_to(options.database_path(database), file)
    if as_json:
        say_json(made.as_json())
        return
    rows = made.sizes
    click.echo(
        f"{made.path}: sound, {counted(rows['orders'], 'order')}, {counted(rows['wheels'], 'wheel')}, "
        f"{counted(made.last_event, 'event')}, {counted(made.bytes, 'byte')}"
    )
    click.echo(made.digest)


@click.command()
@_file
@click.option("--digest", default=None, metavar="DIGEST", help="What backup said of FILE.")
@click.option(
    "--over-newer",
    is_flag=True,
    help="Replace a workshop file that knows more than FILE, or that cannot be read.",
)
@options.database
@options.as_json
def restore(
    file: Path, digest: str | None, over_newer: bool, database: Path | None, as_json: bool
) -> None:
    """Put the copy FILE in the place of the workshop file, which is set aside beside it.

    Refused (exit 1) where the workshop file knows something that FILE does not.
    """
    from buildsheet.actions.restore import restore as put_back
    from buildsheet.actions.workshop import now

    path = options.database_path(database)
    done = put_back(file, path, moment=now(), digest=digest, over_newer=over_newer)
    if as_json:
        aside = str(done.aside) if done.aside else None
        told = {"done": done.done, "newer": [*done.newer], "aside": aside}
        say_json({"database": str(path), "copy": done.copy.as_json(), **told})
    else:
        for line in done.newer:
            click.echo(f"{path}: {line}")
        if done.done:
            said = f"; the file that was there is {done.aside}" if done.aside else ""
            click.echo(f"{path}: restored up to event {done.copy.last_event}{said}")
        else:
            click.echo("not restored: these would be lost (--over-newer restores all the same)")
    if not done.done:
        raise Leave(REFUSED)
