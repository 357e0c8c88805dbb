"""What may be asked of a part of an order: each check with the few members that decide it.

`reads` says which members each check looks at; `asking` asks a check about those alone; `rules` does the
same for an edition's own rules.
"""

from buildsheet.catalog.edition import Edition
from buildsheet.space.questions.asking import (
    ABSENCES,
    ASKINGS,
    RULES_FAMILY,
    Asking,
    askings_within,
    only,
    reads_of,
)
from buildsheet.space.questions.reads import BUILD, MASSES, Reads
from buildsheet.space.questions.rules import RuleAsking, rule_askings

__all__ = [
    "ABSENCES",
    "ASKINGS",
    "BUILD",
    "MASSES",
    "RULES_FAMILY",
    "Asking",
    "Reads",
    "RuleAsking",
    "askings_of",
    "askings_within",
    "only",
    "reads_of",
    "rule_askings",
]


def askings_of(edition: Edition) -> tuple[Asking, ...]:
    """Every asking of an edition: those of the checks, then those of its rules.

    An order whose codes the edition knows is buildable exactly where its form is faultless and none of
    these blocks.
    """
    return (*ASKINGS, *rule_askings(edition))
