"""What may be asked of a part of an order: each check with the few members that decide it.

`reads` says which members each check looks at; `asking` asks a check about those alone.
"""

from buildsheet.space.questions.asking import (
    ABSENCES,
    ASKINGS,
    Asking,
    askings_of,
    askings_within,
    only,
    reads_of,
)
from buildsheet.space.questions.reads import BUILD, MASSES, Reads

__all__ = [
    "ABSENCES",
    "ASKINGS",
    "BUILD",
    "MASSES",
    "Asking",
    "Reads",
    "askings_of",
    "askings_within",
    "only",
    "reads_of",
]
