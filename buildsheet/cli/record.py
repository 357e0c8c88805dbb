"""``record``, ``verify``, ``recall``: what was built, whether a record is whole, and where else it went."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click

from buildsheet.cli import options
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.speak import counted, say_json
from buildsheet.errors import WorldError

MOST_BYTES = 4 * 1024 * 1024
MOST_PLACES = 8
RECALLED = (
    "rim-batch",
    "rim-serial",
    "hub-serial",
    "part-batch",
    "gauge",
    "builder",
    "edition",
    "order",
)


@click.command()
@click.argument("serial", metavar="SERIAL")
@click.option(
    "--out",
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="Write the record there, as JSON and as PDF.",
)
@options.database
@options.as_json
def record(serial: str, out: Path | None, database: Path | None, as_json: bool) -> None:
    """The as-built record of one wheel."""
    from buildsheet.actions.bench.record import record_of
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        made = record_of(workshop, serial)
        if made is None:
            click.echo(f"No wheel has the serial {serial}.")
            raise Leave(REFUSED)
        written = _write(made, out) if out is not None else []
    finally:
        workshop.close()
    if as_json:
        say_json(made)
        return
    click.echo(
        f"{made['serial']}: {made['verdict']}" + ("" if made["certificate"] else ", no certificate")
    )
    click.echo(f"digest {made['digest']}")
    for path in written:
        click.echo(str(path))


def _write(made: dict[str, Any], out: Path) -> list[Path]:
    from buildsheet.actions.bench.print_record import record_pdf
    from buildsheet.actions.demo import write_file

    out.mkdir(parents=True, exist_ok=True)
    text = json.dumps(made, ensure_ascii=False, indent=1, allow_nan=False) + "\n"
    name = f"{made['serial']}-record"
    files = {out / f"{name}.json": text.encode("utf-8"), out / f"{name}.pdf": record_pdf(made)}
    for path, content in files.items():
        write_file(path, content)
    return [*files]


@click.command()
@click.argument("file", metavar="FILE")
@click.option(
    "--original",
    is_flag=True,
    help="Hold it against the workshop's own record too: a digest alone can be made anew.",
)
@options.database
@options.as_json
def verify(file: str, original: bool, database: Path | None, as_json: bool) -> None:
    """Whether the record in FILE (JSON) is whole: a changed figure is noticed."""
    from buildsheet.bench.record import faults

    text = options.read_text(file, MOST_BYTES)
    try:
        loaded = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise WorldError(f"{file} is not JSON: {error}") from error
    wrong = faults(loaded)
    if original and not wrong:
        wrong = _against_original(loaded, database)
    if as_json:
        say_json({"whole": not wrong, "faults": list(wrong)})
    else:
        same = ", the same as the workshop's" if original else ""
        for each in wrong or (f"Whole{same}: {loaded['serial']}, {loaded['digest']}",):
            click.echo(each)
    if wrong:
        raise Leave(REFUSED)


def _against_original(loaded: dict[str, Any], database: Path | None) -> tuple[str, ...]:
    """Where a whole record says something else than the workshop's own, as it stands now."""
    from buildsheet.actions.bench.record import record_of
    from buildsheet.actions.workshop import open_workshop
    from buildsheet.bench.record import differences

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        own = record_of(workshop, str(loaded.get("serial")))
    finally:
        workshop.close()
    if own is None:
        return (f"This workshop has no wheel {loaded.get('serial')}.",)
    places = differences(loaded, own)
    if not places:
        return ()
    shown = ", ".join(places[:MOST_PLACES]) + (", ..." if len(places) > MOST_PLACES else "")
    return (
        f"The workshop's own record says something else at {shown}: the wheel went on since, or this "
        "file was changed and sealed anew.",
    )


@click.command()
@click.option("--by", "way", type=click.Choice(RECALLED), required=True, help="What is known.")
@click.argument("what", metavar="WHAT")
@options.database
@options.as_json
def recall(way: str, what: str, database: Path | None, as_json: bool) -> None:
    """Every wheel that has WHAT in it: serial, order, state."""
    from buildsheet.actions.bench.find_wheels import find_wheels
    from buildsheet.actions.workshop import open_workshop

    workshop = open_workshop(options.database_path(database), create=False)
    try:
        found = find_wheels(workshop, way, what)
    finally:
        workshop.close()
    if as_json:
        say_json({"by": way, "what": what, "wheels": [each.as_json() for each in found]})
        return
    for each in found:
        click.echo(
            f"{each.serial}  {each.number} of {each.source}, {each.position}, {each.state}: {each.title}"
        )
    click.echo(f"{counted(len(found), 'wheel')} with {way} {what}")
