"""The length plan of an edition, computed once in a process for each catalog it is asked of."""

from __future__ import annotations

import threading
from collections import OrderedDict
from typing import Final

from buildsheet.actions.desk.lengths import Lengths, plan_lengths
from buildsheet.catalog.edition import Edition

REMEMBERED: Final = 4

_plans: OrderedDict[tuple[str, bool], Lengths] = OrderedDict()
_planning = threading.Lock()


def known_lengths(edition: Edition, *, free: bool = False) -> Lengths:
    """The plan for this edition; ``free`` on a grid of 1 mm whatever a type's own step is.

    Against the lengths that each type is listed with, whatever lies on the shelves now.
    """
    key = (edition.digest, free)
    with _planning:
        if key not in _plans:
            _plans[key] = plan_lengths(edition, free=free)
        _plans.move_to_end(key)
        while len(_plans) > REMEMBERED:
            _plans.popitem(last=False)
        return _plans[key]
