"""A fresh workshop: the catalog loaded, every example order posted in turn, the sheets written."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from buildsheet.actions.bench.gauges import add_table, check_gauge
from buildsheet.actions.catalog_files import demo_directory
from buildsheet.actions.intake.earlier import Took
from buildsheet.actions.load_catalog import Loaded, load_catalog
from buildsheet.actions.print_sheet import Waits, sheet_pdf
from buildsheet.actions.show_wheel import known_wheel
from buildsheet.actions.stock.load import load_stock
from buildsheet.actions.stock.move import take_movements
from buildsheet.actions.stock.shelf import show_shelf
from buildsheet.actions.take_order import take_order
from buildsheet.actions.workshop import Workshop, open_workshop
from buildsheet.catalog.stock import STOCK_FILE
from buildsheet.errors import WorldError

MARK: Final = ".buildsheet-demo"
"""Lies in a directory that a demo made: only such a one is emptied by the next demo."""

DATABASE: Final = "workshop.db"
SHEETS: Final = "sheets"


@dataclass(frozen=True, slots=True)
class DemoOrder:
    """One example order and what became of it; ``answer`` is None where it was not taken."""

    path: Path
    took: Took
    answer: dict[str, Any] | None
    sheets: tuple[Path, ...]


def examples_directory() -> Path:
    """Where the example orders lie: ``examples`` beside the package. Raises WorldError without it."""
    path = Path(__file__).resolve().parents[2] / "examples"
    if not path.is_dir():
        raise WorldError(f"the example orders should lie in {path}, which is no directory")
    return path


def fresh_workshop(directory: Path) -> Workshop:
    """An empty workshop in this directory, in place of what an earlier demo left there.

    Raises WorldError where the directory holds anything that no demo made.
    """
    try:
        if directory.exists() and not directory.is_dir():
            raise WorldError(f"{directory} is no directory")
        directory.mkdir(parents=True, exist_ok=True)
        if not (directory / MARK).exists() and any(directory.iterdir()):
            raise WorldError(f"{directory} holds other files; name an empty or a new directory")
        (directory / MARK).write_text("This directory is emptied by the next demo.\n")
        for old in [*directory.glob(f"{DATABASE}*"), *(directory / SHEETS).glob("*.pdf")]:
            old.unlink()
        (directory / SHEETS).mkdir(exist_ok=True)
    except OSError as trouble:
        raise WorldError(f"{directory}: {trouble.strerror}") from trouble
    return open_workshop(directory / DATABASE)


def load_demo_catalog(workshop: Workshop) -> Loaded:
    """The catalog that comes with the program, loaded."""
    return load_catalog(workshop, demo_directory())


def fill_shelves(workshop: Workshop, examples: Path) -> int:
    """The demo's shelves counted in, and what is on its way; how many articles there are.

    Raises WorldError where a file cannot be read, or does not do what it was written for.
    """
    announced = examples / "stock" / "arrivals.json"
    file = demo_directory() / STOCK_FILE
    try:
        text, coming = file.read_text(encoding="utf-8"), announced.read_bytes()
    except OSError as trouble:
        raise WorldError(f"cannot read the demo's stock: {trouble}") from trouble
    for moved in (load_stock(workshop, text, by="demo"), take_movements(workshop, coming)):
        if moved.outcome != "entered":
            said = "; ".join(each.says for each in moved.findings)
            raise WorldError(f"the demo's stock is not entered: {said}")
    return len(show_shelf(workshop).lines)


def hang_gauges(workshop: Workshop, examples: Path) -> int:
    """The example gauges on the wall, each checked this morning; how many calibration tables they have.

    Raises WorldError where an example cannot be read.
    """
    tables = 0
    for file in sorted((examples / "bench" / "gauges").glob("*.json")):
        try:
            loaded = json.loads(file.read_text(encoding="utf-8"))
        except (OSError, ValueError) as trouble:
            raise WorldError(f"{file}: {trouble}") from trouble
        for table in loaded:
            add_table(workshop, json.dumps(table).encode())
            tables += 1
        check = {"gauge": file.stem, "good": True, "by": "demo"}
        check_gauge(workshop, json.dumps(check).encode())
    return tables


def take_examples(workshop: Workshop, examples: Path) -> Iterator[DemoOrder]:
    """The example orders in the order of their names, each as soon as it is done."""
    for file in sorted(examples.glob("*.json")):
        try:
            raw = file.read_bytes()
        except OSError as trouble:
            raise WorldError(f"{file}: {trouble.strerror}") from trouble
        took = take_order(workshop, raw)
        answer = json.loads(took.answered.text) if took.answered else None
        sheets = tuple(_write_sheets(workshop, answer)) if answer else ()
        yield DemoOrder(file, took, answer, sheets)


def _write_sheets(workshop: Workshop, answer: dict[str, Any]) -> Iterator[Path]:
    for wheel in answer["wheels"]:
        view = known_wheel(workshop, wheel["serial"])
        name = f"{answer['number']}-{wheel['position']}-{wheel['serial']}.pdf"
        path = workshop.path.parent / SHEETS / name
        with contextlib.suppress(Waits):
            document = sheet_pdf(workshop, view)
            write_file(path, document)
            yield path


def write_file(path: Path, content: bytes) -> None:
    """Write a file whole. Raises WorldError where the disk says no."""
    try:
        path.write_bytes(content)
    except OSError as trouble:
        raise WorldError(f"cannot write {path}: {trouble.strerror}") from trouble
