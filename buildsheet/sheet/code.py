"""The QR code of a sheet: rows of modules, error correction Q, for a page that gets dirty."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, Final

from qrcode.constants import ERROR_CORRECT_Q
from qrcode.main import QRCode

from buildsheet.errors import CannotCompute

QUIET_MODULES: Final = 4
"""White modules round the code [ISO/IEC 18004; from memory]."""

LONGEST_URL: Final = 150
"""Characters: more would make modules too small for the printed square."""

_MASK: Final = 2
"""Fixed, so that no search is needed: any mask is legal, and decoders undo whichever is named."""

Run = tuple[int, int, int]
"""A run of dark modules: row, first column, how many."""


@lru_cache(maxsize=256)
def dark_runs(url: str) -> tuple[int, tuple[Run, ...]]:
    """Modules along one side without the quiet zone, and the runs of dark modules, row by row.

    Raises CannotCompute for an address too long to stay readable.
    """
    if len(url.encode()) > LONGEST_URL:
        raise CannotCompute(f"a QR code for {len(url)} characters is too fine to print; 150 fit")
    code: QRCode[Any] = QRCode(
        version=None, error_correction=ERROR_CORRECT_Q, border=0, mask_pattern=_MASK
    )
    code.add_data(url, optimize=0)
    code.make(fit=True)
    rows = code.get_matrix()
    runs = [
        (row, start, length) for row, modules in enumerate(rows) for start, length in _runs(modules)
    ]
    return len(rows), tuple(runs)


def _runs(modules: list[bool]) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    start = None
    for column, dark in enumerate([*modules, False]):
        if dark and start is None:
            start = column
        elif not dark and start is not None:
            found.append((start, column - start))
            start = None
    return found
