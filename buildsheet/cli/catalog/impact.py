"""``catalog impact``: what publishing would do, before it is done."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import click

from buildsheet.cli import options
from buildsheet.cli.catalog import told
from buildsheet.cli.edge import REFUSED, Leave
from buildsheet.cli.progress import progress_line
from buildsheet.cli.speak import counted, say_findings, say_json

_FIGURES: Final = {
    "length": "length",
    "stock_length": "stock length",
    "tension": "tension",
    "stop": "stop value",
    "limit": "limit",
    "mass": "mass",
    "program": "drilling program",
    "carries": "what it carries",
    "classes": "classes of use",
    "tyres": "tyres and pressures",
}
_TOLD_FIRST: Final = {
    "system_kg": "carries, kg",
    "use_classes": "classes of use",
    "stop_n": "no spoke above, N",
    "left_stock_mm": "left stock length, mm",
    "right_stock_mm": "right stock length, mm",
    "limit_n": "lowest maker's limit, N",
    "tyres": "tyres, mm and bar",
    "program": "drilling program",
    "mass_g": "mass, g",
}
"""Of what changes about an example, the first of these is told."""


@click.command()
@click.option(
    "--stock",
    type=click.Path(path_type=Path, file_okay=False),
    help="A directory with the stock list stock.csv, in place of the workshop's own shelves.",
)
@options.database
@options.as_json
def impact(stock: Path | None, database: Path | None, as_json: bool) -> None:
    """What publishing the draft would do: wheels, open orders, parts, lengths, drilling, shelves."""
    from buildsheet.actions.desk.impact import draft_impact
    from buildsheet.actions.desk.impact_document import impact_document

    with told.desk(database, as_json=as_json) as workshop:
        found = draft_impact(
            workshop, stock=stock, progress=progress_line("wheels of both editions")
        )
    findings = [each.as_json() for each in (*found.findings, *found.shelf_findings)]
    document = None if found.impact is None else impact_document(found.impact)
    if as_json:
        say_json({"version": found.version, "impact": document, "findings": findings})
    elif document is not None:
        say_impact(document)
    if not as_json:
        say_findings(findings)
    if document is None:
        raise Leave(REFUSED)


def say_impact(document: dict[str, Any]) -> None:
    """The impact in lines, what matters most first."""
    click.echo(f"Edition {document['draft']} after edition {document['edition']}:")
    if document["nothing"]:
        click.echo("  nothing changes that can be built, stocked or is on order.")
        return
    _say_configurations(document)
    _say_orders(document["orders"])
    _say_parts(document["parts"])
    say_rules(document["rules"]["idle"], document["rules"]["contradictions"])
    for each in document["lengths"]:
        before, after = each["fewest"]
        line = f"  {each['spoke']}: {before} lengths serve all, then {after}"
        line += f"; new {_listed(each['needed_mm'])} mm" if each["needed_mm"] else ""
        line += f"; {_listed(each['dead_mm'])} mm die" if each["dead_mm"] else ""
        click.echo(line)
    for each in document["drilling"]:
        say_drilling(each)
    for each in document["missing_decals"]:
        hands = " and ".join(each["hands"])
        click.echo(
            f"  {each['colour']} is missing in {each['size']} ({hands}): {_listed(each['rims'])}"
        )
    fresh = [each for each in document["stranded"] if each["new"]]
    for each in fresh:
        click.echo(
            f"  stranded: {each['quantity']} x {each['item']} in {each['bin']}, {each['why']}"
        )
    old = len(document["stranded"]) - len(fresh)
    if old:
        click.echo(f"  {counted(old, 'place')} on the shelves were of no use before and still are")


def _say_configurations(document: dict[str, Any]) -> None:
    wheels = document["configurations"]
    click.echo(
        f"  {wheels['appear']:,} configurations appear, {wheels['disappear']:,} disappear, "
        f"{wheels['change']:,} change: {wheels['before']:,} before, {wheels['after']:,} after"
    )
    changed = [
        f"{number:,} in {_FIGURES[name]}" for name, number in wheels["by_figure"].items() if number
    ]
    if changed:
        click.echo(f"    {', '.join(changed)}")
    for kind, examples in document["examples"].items():
        for each in examples[:2]:
            click.echo(f"    {kind}: {_wheel(each)}{_finishes(kind, each)}{_nearness(each)}")


def _wheel(example: dict[str, Any]) -> str:
    wheel, before, after = example["wheel"], example["before"], example["after"]
    said = f"{example['position']} {wheel['rim']}/{wheel['holes']} {wheel['hub']} {wheel['nipple']}"
    said += f" {wheel['spoke']['left']}/{wheel['spoke']['right']}"
    if before and after and example["changed"]:
        name = next(
            (each for each in _TOLD_FIRST if each in example["changed"]), example["changed"][0]
        )
        words = _TOLD_FIRST.get(name, name)
        said += f", {words}: {_number(before[name])} -> {_number(after[name])}"
    return said


def _number(value: object) -> str:
    if isinstance(value, list | tuple):
        return " ".join(map(_number, value))
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _finishes(kind: str, example: dict[str, Any]) -> str:
    """In how many of its colours and driver bodies a wheel comes or goes, where others stay."""
    some = example.get(kind, 0)
    return (
        f", in {some} of its {some + example['stay']} finishes" if some and example["stay"] else ""
    )


def _nearness(example: dict[str, Any]) -> str:
    if example["apart"] is None:
        return ""
    if example["apart"] == 0:
        return f" ({counted(example['orders'], 'open order')})"
    return f" ({counted(example['apart'], 'part')} from what is on order)"


def _say_orders(orders: dict[str, Any]) -> None:
    click.echo(f"  {orders['touched']} of {counted(orders['open'], 'open order')} touched")
    for state, proposals in orders["by_state"].items():
        said = ", ".join(f"{number} to {name}" for name, number in proposals.items())
        click.echo(f"    {state}: {said}")
    for each in orders["list"][:10]:
        name = f"{each['source']} {each['number']}"
        click.echo(f"    {each['proposal'].upper():<9} {name} ({each['state']}): {each['why']}")
    if len(orders["list"]) > 10:
        click.echo(f"    and {len(orders['list']) - 10} more: --json lists them all")


def _say_parts(parts: dict[str, Any]) -> None:
    for name, words in (("dead", "in no buildable wheel"), ("revived", "of use again")):
        for each in parts[name]:
            item = f"{each['code']}/{each['variant']}" if each["variant"] else each["code"]
            click.echo(f"  {item} ({each['kind']}): {words}")
    for each in parts["only_choices"]:
        click.echo(
            f"  {each['code']} becomes the only choice of {each['kind']} for "
            f"{each['position']} {each['rim']}/{each['holes']}"
        )


def say_rules(idle: list[dict[str, Any]], contradictions: list[dict[str, Any]]) -> None:
    """Rules that do nothing, and rules that leave nothing."""
    for each in idle:
        click.echo(f"  rule {each['id']} {each['says']}")
    for each in contradictions:
        click.echo(
            f"  rules {' and '.join(each['rules'])} together leave no {each['position']} wheel "
            f"of {each['rim']}"
        )


def say_drilling(need: dict[str, Any]) -> None:
    """One kind of drilled rim: what it lacks and what nobody uses."""
    name = f"{need['rim']} {need['holes']} {need['position']}, {need['drilling']}"
    if need["unserved"]:
        click.echo(
            f"  {name}: {counted(len(need['missing']), 'program')} missing for "
            f"{counted(need['unserved'], 'wheel')}"
        )
        for axes in need["missing"]:
            click.echo(
                f"    left {axes['left_lateral_deg']:.1f}, right {axes['right_lateral_deg']:.1f}, "
                f"along {axes['in_plane_deg']:.1f} degrees serves {axes['serves']} within "
                f"{axes['worst_deg']:.1f}"
            )
    if need["unused"]:
        click.echo(f"  {name}: nobody uses {_listed(need['unused'])}")


def _listed(values: list[Any]) -> str:
    return ", ".join(map(str, values))
