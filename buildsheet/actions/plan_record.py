"""A plan as it is kept: the document that was answered, and a record that gives the same plan back.

A sheet printed next year must show what was answered today, so a stored plan is read, never computed
again. Numbers keep every digit on the way (JSON text of a float reads back as the same float).
"""

from __future__ import annotations

import json
from functools import lru_cache
from hashlib import sha256
from typing import TYPE_CHECKING

from buildsheet.plan.document import plan_document
from buildsheet.plan.plan import Plan
from buildsheet.storage.wheels import StoredPlan

if TYPE_CHECKING:
    from pydantic import TypeAdapter

_REMEMBERED = 4096


@lru_cache(maxsize=1)
def _form() -> TypeAdapter[Plan]:
    # Built on first use: it takes longer than a command that keeps no plan should wait.
    from pydantic import TypeAdapter

    return TypeAdapter(Plan)


_kept: dict[str, StoredPlan] = {}


def kept(plan: Plan) -> StoredPlan:
    """The plan as stored. In one process a fingerprint stands for one plan, so the text is made once."""
    known = _kept.get(plan.fingerprint)
    if known is None:
        document = compact(plan_document(plan))
        record = _form().dump_json(plan).decode()
        digest = "sha256:" + sha256(f"{document}\n{record}".encode()).hexdigest()
        known = StoredPlan(digest, title(plan), document, record)
        if len(_kept) >= _REMEMBERED:
            _kept.clear()
        _kept[plan.fingerprint] = known
    return known


def title(plan: Plan) -> str:
    """A wheel in a few words: rim, holes, hub, spokes of both sides."""
    left, right = plan.spokes.left, plan.spokes.right
    types = left.type if left.type == right.type else f"{left.type} left, {right.type} right"
    lengths = f"{left.stock_mm or '?'} / {right.stock_mm or '?'} mm"
    return f"{plan.rim}, {plan.holes} holes, {plan.hub}, {types}, {lengths}"


@lru_cache(maxsize=256)
def read_back(stored: StoredPlan) -> Plan:
    """The plan that was kept, equal in every digit."""
    return _form().validate_json(stored.record)


def compact(document: object) -> str:
    """JSON text without blanks, every letter as it is."""
    return json.dumps(document, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
