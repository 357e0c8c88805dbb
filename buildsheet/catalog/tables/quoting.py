"""Texts that a spreadsheet would change, or that would not come back as they are: written in double
quotes as JSON writes them."""

from __future__ import annotations

import json
import re
from typing import Final

DITTO: Final = frozenset(
    {
        *(
            '"',
            "''",
            "\u3003",
            "\u201c",
            "\u201d",
            '-"-',
            "ditto",
            "dito",
            "idem",
            "same",
            "s.o.",
            "s. o.",
        ),
        *("as above", "same as above", "see above"),
    }
)
"""Cells that stand for the one above."""

FORMULA_SIGNS: Final = "=+-@\t\r"
"""What a spreadsheet takes for the beginning of a formula when it is typed or read from text."""

_ESCAPES: Final = re.compile(r"_x[0-9A-Fa-f]{4}_|x005F_", re.ASCII)
"""How workbooks spell characters by number; a text that looks like it would be changed."""


def is_ditto(text: str) -> bool:
    """True for a cell that means 'as above'.

    >>> is_ditto(' "'), is_ditto("Same as above"), is_ditto("Ondrel 33 D")
    (True, True, False)
    """
    return text.strip().lower() in DITTO


def neutral(text: str) -> str:
    r"""The text as a cell may hold it.

    >>> neutral("Ondrel 33 D"), neutral("=1+1"), neutral(" x")
    ('Ondrel 33 D', '"=1+1"', '" x"')
    """
    plainly = (
        text
        and text == text.strip()
        and text[0] not in FORMULA_SIGNS + "'\""
        and text.isprintable()
        and not is_ditto(text)
        and not _ESCAPES.search(text)
    )
    if plainly:
        return text
    quoted = json.dumps(text, ensure_ascii=not text.isprintable())
    return quoted.replace("_", "\\u005f") if _ESCAPES.search(text) else quoted


def restored(cell: str) -> str:
    r"""What a cell means: unquoted, an apostrophe before a formula's sign taken off, else without the
    spaces around it. `neutral` undone.

    >>> restored('"=1+1"'), restored("'=1+1"), restored(" Ondrel 33 D "), restored('28" wheel')
    ('=1+1', '=1+1', 'Ondrel 33 D', '28" wheel')
    """
    text = cell.strip()
    if len(text) >= 2 and text[0] == text[-1] == '"':
        try:
            quoted = json.loads(text)
        except (ValueError, RecursionError):
            return text
        return quoted if isinstance(quoted, str) else text
    if len(text) >= 2 and text[0] == "'" and text[1] in FORMULA_SIGNS:
        return text[1:]
    return text
