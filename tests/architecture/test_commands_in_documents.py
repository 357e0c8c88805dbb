"""What the documents tell a person to type at the command line is a command, with these options."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from buildsheet.cli import commands

ROOT = Path(__file__).parents[2]
DOCUMENTS = sorted(
    path for folder in (".", "docs", "catalog", "examples") for path in (ROOT / folder).glob("*.md")
)
_BLOCK = re.compile(r"^```(?:sh|ini)\n(.*?)^```", re.MULTILINE | re.DOTALL)
_CALL = re.compile(r"(?:^|bin/)buildsheet ([a-z].*)")


def calls(text: str) -> Iterator[list[str]]:
    """The words after `buildsheet` in every block of commands and of units."""
    for block in _BLOCK.findall(text):
        for line in block.replace("\\\n", " ").splitlines():
            for said in _CALL.findall(line):
                yield shlex.split(said.rstrip("'"), comments=True)


def wrong(words: list[str]) -> str | None:
    """What is wrong with a call; None where it can be made like this."""
    command: click.Command | None = commands
    rest = list(words)
    while isinstance(command, click.Group) and rest and not rest[0].startswith("-"):
        command = command.get_command(click.Context(command), rest.pop(0))
    if command is None:
        return "no such command"
    options = {name for each in command.params for name in each.opts}
    unknown = [word for word in rest if word.startswith("--") and word not in options]
    return f"does not take {', '.join(unknown)}" if unknown else None


def test_there_are_commands_to_look_at():
    assert sum(len(list(calls(each.read_text("utf-8")))) for each in DOCUMENTS) > 40


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_command_in_a_document_can_be_given(document: Path):
    faults = [
        f"buildsheet {' '.join(words)}: {fault}"
        for words in calls(document.read_text("utf-8"))
        if (fault := wrong(words)) is not None
    ]
    assert faults == []


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("catalog publish --by X", None),
        ("catalog publish --with X", "does not take --with"),
        ("catalog polish --by X", "no such command"),
        ("serve --port 8000 --workers 2", None),
    ],
)
def test_a_command_that_cannot_be_given_is_noticed(line: str, fault: str | None):
    (words,) = calls(f"```sh\n.venv-run/bin/buildsheet {line}   # a remark\n```\n")
    assert wrong(words) == fault
