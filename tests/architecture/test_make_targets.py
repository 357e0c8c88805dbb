"""What the documents tell a person to type is there, and the list of commands is complete."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
DOCUMENTS = sorted([*ROOT.glob("*.md"), *ROOT.glob("docs/*.md")])


def targets() -> set[str]:
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    return set(re.findall(r"^([a-z-]+):", makefile, re.MULTILINE))


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda path: path.name)
def test_every_make_command_in_a_document_exists(document: Path):
    named = re.findall(
        r"(?:`|^\s*\$?\s*)make (?:-C \S+ )?([a-z-]+)", document.read_text("utf-8"), re.MULTILINE
    )
    assert set(named) <= targets()


def test_make_help_lists_every_command():
    printed = subprocess.run(
        ["make", "--no-print-directory", "help"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert set(re.findall(r"^  make ([a-z-]+) ", printed, re.MULTILINE)) == targets()
