"""Every code that a finding can carry, with what it means: the public list."""

from __future__ import annotations

from functools import lru_cache

from buildsheet.actions.codes import RECORD_CODES
from buildsheet.actions.desk.codes import DESK_CODES
from buildsheet.actions.editions import NoEdition, running_edition
from buildsheet.actions.moves.codes import MOVE_CODES
from buildsheet.actions.workshop import Workshop
from buildsheet.bench.codes import CODES as BENCH_CODES
from buildsheet.catalog.codes import FAULT_CODES, FaultCode
from buildsheet.catalog.rules.rule import Rule
from buildsheet.documents.codes import DOCUMENT_CODES
from buildsheet.findings import SEVERITIES, Value
from buildsheet.orders.codes import CODES, CodeEntry
from buildsheet.orders.reservation.codes import STOCK_CODES
from buildsheet.plan.wheel_file import WHEEL_FILE_CODES
from buildsheet.space.choices.codes import CHOICE_CODES


@lru_cache(maxsize=1)
def finding_codes() -> tuple[dict[str, Value], ...]:
    """One document per code, by code.

    A code that orders and wheel files share is described as for orders, with the severities of both.
    """
    listed: dict[str, CodeEntry | FaultCode] = {
        **DOCUMENT_CODES,
        **BENCH_CODES,
        **CODES,
        **CHOICE_CODES,
        **RECORD_CODES,
        **MOVE_CODES,
        **STOCK_CODES,
        **DESK_CODES,
        **FAULT_CODES,
    }
    documents = {code: each.as_json() for code, each in listed.items()}
    for code, each in WHEEL_FILE_CODES.items():
        document = documents.setdefault(code, each.as_json())
        both = {*each.severities, *_severities(document)}
        document["severities"] = [severity for severity in SEVERITIES if severity in both]
    return tuple(documents[code] for code in sorted(documents))


def codes_in_force(workshop: Workshop) -> tuple[dict[str, Value], ...]:
    """The same, and beside them the rules of the running edition as ``rule.<id>``."""
    try:
        rules = running_edition(workshop).rules
    except NoEdition:
        return finding_codes()
    both = [*finding_codes(), *map(_of_rule, rules.values())]
    return tuple(sorted(both, key=lambda document: str(document["code"])))


def _of_rule(rule: Rule) -> dict[str, Value]:
    """A rule as a code. It blocks, whatever its severity, where a part does not say what it reads."""
    severities: list[Value] = [
        severity for severity in SEVERITIES if severity in ("block", rule.severity)
    ]
    return {
        "code": rule.code,
        "severities": severities,
        "says": rule.says,
        "reason": rule.reason,
        "source": rule.source,
    }


def _severities(document: dict[str, Value]) -> list[Value]:
    given = document["severities"]
    return given if isinstance(given, list) else []
