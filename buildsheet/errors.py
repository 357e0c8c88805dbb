"""The exception tree: what a caller did wrong, or what the world would not do.

    BuildsheetError
    ├── CallerError            the program was called in a way it cannot serve
    │   ├── CannotLace         bare dimensions that no spoke pattern can join
    │   ├── CannotCompute      numbers outside what a formula holds for
    │   └── CannotCount        a space that is not one, or too entangled for the memory
    └── WorldError             disk, database, network; caught once, at the edge

A mistake in somebody's *data* (an order, a catalog file, a reading) is never an exception: it is a
`buildsheet.findings.Finding`, gathered with all the others to the end.
"""

from __future__ import annotations


class BuildsheetError(Exception):
    """Anything this program raises on purpose."""


class CallerError(BuildsheetError):
    """The call cannot be served as made; the message says what, the limit, and what to try."""


class CannotLace(CallerError):
    """No spoke pattern joins this hub and this rim.

    ``slug`` is a stable word for the reason, ``have`` what was asked, ``need`` what would fit.
    """

    def __init__(
        self,
        slug: str,
        says: str,
        *,
        have: dict[str, object] | None = None,
        need: dict[str, object] | None = None,
    ) -> None:
        super().__init__(says)
        self.slug = slug
        self.have = have or {}
        self.need = need or {}


class CannotCompute(CallerError):
    """A number lies outside what the formula holds for."""


class CannotCount(CallerError):
    """The choices and factors do not fit each other, or would need a table beyond the limit."""


class WorldError(BuildsheetError):
    """Disk, database or network said no; the message is one clean line for a person."""
