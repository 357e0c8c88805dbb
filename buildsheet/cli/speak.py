"""Findings and plans in the words of the workshop, for a terminal."""

from __future__ import annotations

import json
import shutil
import sys
import textwrap
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Final

import click

from buildsheet.units import kgf

MARKS: Final = {"block": "STOP", "approval": "RELEASE", "caution": "MIND", "note": "NOTE"}
_WORD: Final = 9
"""Width of the column of marks."""


def say_json(document: object) -> None:
    """A document as JSON text, every digit kept."""
    click.echo(json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False))


def as_called(command: str) -> str:
    """A command as the reader can give it: by the path that was called where the shell does not know the
    program by its name."""
    called = Path(sys.argv[0])
    if called.name == "buildsheet" and shutil.which("buildsheet") is None:
        return f"{called} {command}"
    return f"buildsheet {command}"


def say_findings(findings: Iterable[Mapping[str, Any]]) -> None:
    """Every finding: what is wrong, why, what to try, where and under which code."""
    for finding in findings:
        for line in finding_lines(finding):
            click.echo(line)


def say_in_short(findings: Iterable[Mapping[str, Any]], all_of_it: str) -> None:
    """What stands in the way or has to be minded, without reasons; notes are only counted.

    ``all_of_it`` is the command that says everything.
    """
    notes = 0
    for finding in findings:
        if finding["severity"] == "note":
            notes += 1
            continue
        for line in finding_lines(finding, with_reason=False):
            click.echo(line)
    if notes:
        click.echo(f"  {'':<{_WORD}}{counted(notes, 'note')} besides: {all_of_it}")


def finding_lines(finding: Mapping[str, Any], *, with_reason: bool = True) -> list[str]:
    """One finding in lines, the shop's words first."""
    places = " with ".join([finding["at"] or "the whole document", *finding["also"]])
    lines = _wrapped(MARKS[finding["severity"]], finding["says"])
    lines += _marked(finding.get("have", {}).get("caret"))
    if with_reason:
        lines += _wrapped("", f"why: {finding['reason']}", hang=5)
    for change in finding["try"]:
        values = " or ".join(in_words(value) for value in change["values"])
        lines += _wrapped("", f"way out: {change['at']} = {values}", hang=9)
    for changes in finding.get("together", ()):
        both = " and ".join(f"{at} = {in_words(value)}" for at, value in changes.items())
        lines += _wrapped("", f"way out: {both}", hang=9)
    return lines + _wrapped("", f"at {places}  [{finding['code']}]", hang=3)


def _marked(line: object) -> list[str]:
    """A line of an expression with the caret under it, neither wrapped nor closed up."""
    shown = line.split("\n") if isinstance(line, str) else []
    return [f"  {'':<{_WORD}}  {each}" for each in shown]


def plan_lines(plan: Mapping[str, Any]) -> list[str]:
    """One wheel's plan: parts, then each side with its spokes and its tension."""
    tension = plan["tension"]
    parts = [f"{plan['rim']} {plan['holes']} holes", plan["hub"]]
    parts += [f"driver {plan['driver']}"] if plan["driver"] else []
    parts += [f"{plan['nipple']} {plan['nipple_colour']}"]
    parts += [f"washer {plan['washer']}"] if plan["washer"] else []
    lines = [f"{plan['position']:<6} {', '.join(parts)}"]
    for side in ("left", "right"):
        spokes = plan["spokes"][side]
        length = f"{spokes['stock_mm']} mm" if spokes["stock_mm"] else "no length in stock"
        lines.append(
            f"       {side:<5} {spokes['feature']:<10} {spokes['count']:>2} x {length}  "
            f"{spokes['type']:<6} {force(tension[f'{side}_n'])}"
        )
    return [*lines, f"       no spoke above {force(tension['stop_n'])}; {plan['mass_g']:.0f} g"]


def force(force_n: float) -> str:
    """Newtons with kilogram-force.

    >>> force(1150.0)
    '1150 N (117 kgf)'
    """
    return f"{force_n:.0f} N ({kgf(force_n):.0f} kgf)"


def in_words(value: object) -> str:
    """A value as it is typed into an order.

    >>> in_words("KF2"), in_words(None), in_words({"left": 2, "right": 3})
    ('KF2', 'nothing', 'left 2, right 3')
    """
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        return ", ".join(f"{name} {in_words(each)}" for name, each in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(in_words(each) for each in value)
    return str(value)


def counted(number: int, thing: str) -> str:
    """A number with its thing.

    >>> counted(1, "finding"), counted(3, "finding")
    ('1 finding', '3 findings')
    """
    return f"{number} {thing}{'' if number == 1 else 's'}"


def _wrapped(mark: str, text: str, hang: int = 0) -> list[str]:
    width = min(max(shutil.get_terminal_size((100, 24)).columns, 50), 110)
    return textwrap.wrap(
        text,
        width,
        initial_indent=f"  {mark:<{_WORD}}",
        subsequent_indent=" " * (2 + _WORD + hang),
        break_long_words=False,
        break_on_hyphens=False,
    )
