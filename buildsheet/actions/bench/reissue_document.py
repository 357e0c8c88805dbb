"""What a request for a new issue says."""

from __future__ import annotations

from typing import Annotated, Final

from pydantic import Field

from buildsheet.bench.document import Member, Person
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.documents.form import Read, read
from buildsheet.documents.kind import Kind

REISSUE: Final = Kind("a request for a new issue", "data", DOCUMENT_CODES)


class ReissueDocument(Member):
    """``edition``: the wheel under another edition; ``erd_mm``: for the rim as it was measured."""

    by: Person
    because: Annotated[str, Field(min_length=5, max_length=200)]
    edition: Annotated[int, Field(ge=1, le=1_000_000)] | None = None
    erd_mm: Annotated[float, Field(ge=200.0, le=720.0)] | None = None


def read_reissue(raw: bytes) -> Read[ReissueDocument]:
    """The request, or every fault of its form."""
    return read(raw, ReissueDocument, REISSUE)
