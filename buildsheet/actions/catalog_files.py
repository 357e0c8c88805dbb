"""A catalog directory on disk, read into an edition or into every fault in it."""

from __future__ import annotations

import os
from pathlib import Path

from buildsheet.catalog.edition import Edition
from buildsheet.catalog.faults import Place, fault
from buildsheet.catalog.reading import LARGEST_FILE, read_catalog
from buildsheet.catalog.stock import STOCK_FILE, StockLine, read_stock
from buildsheet.errors import WorldError
from buildsheet.findings import Finding, in_stable_order

DIRECTORY_VARIABLE = "BUILDSHEET_CATALOG"
"""Environment variable that names another catalog directory."""

BYTES_A_CHARACTER = 4
"""UTF-8 needs at most this many; a larger file is too large whatever it holds."""


def demo_directory() -> Path:
    """Where the catalog lies: `BUILDSHEET_CATALOG`, else the ``catalog`` beside the package.

    Raises WorldError where neither is a directory.
    """
    named = os.environ.get(DIRECTORY_VARIABLE)
    path = Path(named) if named else Path(__file__).resolve().parents[2] / "catalog"
    if not path.is_dir():
        said = f"{DIRECTORY_VARIABLE} names" if named else "The catalog should lie in"
        raise WorldError(f"{said} {path}, which is no directory.")
    return path


def read_directory(path: Path) -> tuple[Edition | None, tuple[Finding, ...]]:
    """The edition in a directory, or None and every fault of all its files.

    Reads ``house.toml`` and every ``.toml`` beside it and in ``parts``; rules and stock are read by
    others. Raises WorldError where the directory or a file cannot be opened.
    """
    texts, faults = read_texts(path)
    edition, found = read_catalog(texts)
    if not faults:
        return edition, found
    # A file that could not be read is no missing file: it has said its own fault.
    unread = {each.at for each in faults}
    told = [each for each in found if each.at not in unread]
    return None, in_stable_order([*faults, *told])


def read_texts(path: Path) -> tuple[dict[str, str], list[Finding]]:
    """Name -> text of the catalog files in a directory, and a fault for each that is no text.

    Raises WorldError where the directory or a file cannot be opened.
    """
    if not path.is_dir():
        raise WorldError(f"There is no catalog directory {path}.")
    texts: dict[str, str] = {}
    faults: list[Finding] = []
    for file in _files(path):
        name = file.relative_to(path).as_posix()
        text = _text(file, name)
        if isinstance(text, Finding):
            faults.append(text)
        else:
            texts[name] = text
    return texts, faults


def read_stock_file(
    path: Path, edition: Edition
) -> tuple[tuple[StockLine, ...], tuple[Finding, ...]]:
    """What lies on the shelves by the directory's ``stock.csv``: every line, or no line and every
    fault. No file is an empty shelf. Raises WorldError where the file cannot be opened."""
    file = path / STOCK_FILE
    if not file.is_file():
        return (), ()
    text = _text(file, STOCK_FILE)
    return ((), (text,)) if isinstance(text, Finding) else read_stock(text, edition)


def _files(path: Path) -> list[Path]:
    # Every one, wherever it lies: a file that nobody would read must be refused, not passed over.
    found = set(path.rglob("*.toml"))
    return sorted(file for file in found if file.is_file())


def _text(file: Path, name: str) -> str | Finding:
    """The file's text without a byte-order mark, or the fault that keeps it from being text."""
    try:
        with file.open("rb") as opened:
            data = opened.read(LARGEST_FILE * BYTES_A_CHARACTER + 1)
    except OSError as error:
        raise WorldError(f"Cannot read {file}: {error.strerror}.") from error
    if len(data) > LARGEST_FILE * BYTES_A_CHARACTER:
        says = f"more than {LARGEST_FILE * BYTES_A_CHARACTER} bytes."
        return fault("data.unreadable", Place(name), says)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        says = f"byte {data[error.start]:#04x} in line {line} is not UTF-8; save the file as UTF-8."
        return fault("data.unreadable", Place(name), says, have={"line": line})
