"""What may be asked of a part of an order: each check with the few members that decide it.

`asking` asks a check about the members alone that `orders.reads` says it looks at; `rules` does the same
for an edition's own rules.
"""

from buildsheet.catalog.edition import Edition
from buildsheet.orders.reads import BUILD, MASSES, RULES_FAMILY, Reads, reads_of
from buildsheet.space.questions.asking import ABSENCES, ASKINGS, Asking, askings_within, only
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
