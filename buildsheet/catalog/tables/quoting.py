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


_POWER: Final = re.compile(r"\d+([.,]\d+)?[eE]\+\d+", re.ASCII)
_DATE: Final = re.compile(
    r"\d{4}-\d{2}-\d{2}|\d{1,2}([./])\d{1,2}\1(\d{2}|\d{4})?"
    r"|\d{1,4}[-. /]+(jan|feb|m[a\u00e4]r|apr|ma[iy]|jun|jul|aug|sep|o[ck]t|nov|de[cz])\w*\.?"
    r"([-. /]+\d{2,4})?",
    re.IGNORECASE,
)


def retyped(cell: str) -> str:
    """What a text looks like that a spreadsheet has made of something else; '' for any other text.

    >>> retyped("3-Dec"), retyped(" 2031-12-03 "), retyped("1.2E+11"), retyped("3-12"), retyped("OR33D")
    ('a date', 'a date', 'a power of ten', '', '')
    """
    text = cell.strip()
    if _POWER.fullmatch(text):
        return "a power of ten"
    return "a date" if _DATE.fullmatch(text) else ""


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
        and not retyped(text)
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
