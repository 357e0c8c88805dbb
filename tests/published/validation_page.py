"""The validation page, made from the published cases: `python -m tests.published.validation_page`."""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path

from tests.published.published_case import Case

FOLDER = Path(__file__).parent
PAGE = FOLDER / "README.md"

HEAD = """# What is checked against the outside

Made by `python -m tests.published.validation_page` from the cases that the tests run; a test fails when
this page is not what the cases say. One table a publication; `ours` is what the program computes now.

The mark says how the source was seen: *read*, *second-hand*, *from memory*, *common practice, no source*,
or *own calculation* (from a formula that is named, or by another program of ours). A tolerance and its
reason stand in the test beside the case. Movements and spoke forces of six whole wheels are held, besides,
against an independent finite-element library within 0.5 % (`reference/`), and the laws of `tests/laws/`
hold for any wheel.
"""


def published_modules() -> Iterator[tuple[str, str, tuple[Case, ...]]]:
    """Name, first docstring paragraph and cases of every test module here that has cases."""
    for file in sorted(FOLDER.glob("test_*.py")):
        if "CASES" not in file.read_text(encoding="utf-8"):
            continue
        module = importlib.import_module(f"tests.published.{file.stem}")
        cases = getattr(module, "CASES", ())
        if cases:
            title = " ".join((module.__doc__ or file.stem).split("\n\n")[0].split())
            yield file.name, title, tuple(cases)


def page() -> str:
    """The whole page as Markdown."""
    parts = [HEAD]
    count = 0
    for name, title, cases in published_modules():
        parts.append(f"\n## {_subject(name)}\n\n{title} (`{name}`)\n")
        parts.append("| case | source | mark | printed | ours | difference |")
        parts.append("|---|---|---|---|---|---|")
        parts.extend(_row(case) for case in cases)
        count += len(cases)
        notes = [f"- {case.what}: {case.note}" for case in cases if case.note]
        if notes:
            parts.append("\nWhere a source is known to be off, or says less than one would like:\n")
            parts.extend(notes)
    parts.append(f"\n{count} cases in all.")
    return "\n".join(parts) + "\n"


def _row(case: Case) -> str:
    printed, ours = case.printed, case.ours()
    unit = f" {case.unit}" if case.unit else ""
    apart = ours - printed
    share = f"{100.0 * apart / printed:+.2f} %" if printed else f"{apart:+.3g}"
    # the last digits may differ from machine to machine: five are shown, and a small difference is none
    share = "0.00 %" if share in {"+0.00 %", "-0.00 %"} else share
    cells = (case.what, case.source, case.mark, f"{printed:.6g}{unit}", f"{ours:.5g}", share)
    return "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def _subject(name: str) -> str:
    words = name.removesuffix(".py").removeprefix("test_").replace("_", " ")
    return words[:1].upper() + words[1:]


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
