"""Which builds an edition's own rules let pass, whatever the use and the colours."""

from __future__ import annotations

import numpy as np

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.orders.changes import changed
from buildsheet.space.builds.build import Builds, Truths
from buildsheet.space.builds.planned import plans_at, plans_pass
from buildsheet.space.builds.seen import seen_at
from buildsheet.space.questions import BUILD, RuleAsking, rule_askings


def sound(builds: Builds, edition: Edition) -> Truths:
    """For each build, (B,), whether no rule of the edition blocks it that reads nothing but the build.

    Rules that read the use, a colour, a driver body or the other wheel are not asked here.
    """
    passes = np.ones(len(builds), dtype=np.bool_)
    own = frozenset(f"/{builds.position}/{member}" for member in BUILD)
    for asking in rule_askings(edition):
        if asking.question.position == builds.position and own.issuperset(asking.reads):
            passes &= _passes(asking, builds, edition)
    return passes


def _passes(asking: RuleAsking, builds: Builds, edition: Edition) -> Truths:
    wheel: dict[str, Value] = {builds.position: {}}
    if asking.planned:
        plans = plans_at(builds, asking.beside, asking.planned)
        return np.asarray(plans_pass(asking, plans, edition, wheel)[plans.which], dtype=np.bool_)
    seen = seen_at(builds, asking.reads)
    answers = [
        asking.block(changed(wheel, said.items()), edition) is None for said in seen.different
    ]
    return np.array(answers, dtype=np.bool_)[seen.which]
