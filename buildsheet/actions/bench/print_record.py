"""A record on paper, from its document alone; a finished file is found again by what is on it."""

from __future__ import annotations

from collections.abc import Mapping
from hashlib import sha256

from buildsheet import __version__
from buildsheet.actions.print_sheet import PAPERS
from buildsheet.findings import Value
from buildsheet.sheet.as_built import as_built_pdf


def record_tag(document: Mapping[str, Value], paper: str) -> str:
    """A digest of all that stands on the paper, and of the program that draws it."""
    said = f"{__version__} {paper} {document['digest']}"
    return sha256(said.encode()).hexdigest()[:32]


def record_pdf(document: Mapping[str, Value], paper: str = "a4") -> bytes:
    """The record as PDF: the same bytes whenever it is printed again.

    Raises KeyError for an unknown paper, CannotCompute for a document that is not whole.
    """
    return as_built_pdf(document, PAPERS[paper])
