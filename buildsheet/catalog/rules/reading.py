"""From rule files to rules, or to every fault in them: form, conditions, sentence, place, examples."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from buildsheet.catalog.faults import Place, fault, nearest, plain, said, shown
from buildsheet.catalog.model_faults import checked
from buildsheet.catalog.rules.examples import Shelf, example_faults
from buildsheet.catalog.rules.facts import (
    ORDER_MEMBERS,
    WHEEL_MEMBERS,
    root_of,
)
from buildsheet.catalog.rules.judge import reads
from buildsheet.catalog.rules.language import Condition, condition
from buildsheet.catalog.rules.mending import explained
from buildsheet.catalog.rules.rule import LONGEST_EXPRESSION, Rule, Scope
from buildsheet.catalog.rules.saying import sentence_troubles
from buildsheet.findings import Change, Finding, Value

RULE_FILE: Final = re.compile(r"rules/[a-z][a-z0-9_-]{0,40}\.toml")
"""One file a subject, of any name in small letters."""

MOST_RULES: Final = 500
MOST_FAULTS: Final = 300
"""Told of all rules together: what is wrong with an expression takes long to say well."""

KEY: Final = "rule"


def read_rules(
    tables: Mapping[str, Mapping[str, Any] | None], shelf: Shelf, faults: list[Finding]
) -> dict[str, Rule]:
    """The sound rules by id, sorted; every fault goes to ``faults``.

    ``tables``: file name -> its parsed tables, None where the file could not be read.
    """
    rules: dict[str, Rule] = {}
    first: dict[str, Place] = {}
    rows = [row for name, table in sorted(tables.items()) for row in _rows(name, table, faults)]
    if len(rows) > MOST_RULES:
        says = f"{len(rows)} rules; allowed are {MOST_RULES}."
        faults.append(fault("data.wrong-count", rows[MOST_RULES][0], says))
        rows = rows[:MOST_RULES]
    told = len(faults)
    for place, values in rows:
        if len(faults) - told > MOST_FAULTS:
            says = (
                f"more than {MOST_FAULTS} faults stand in rules above; the rest was not looked at."
            )
            faults.append(fault("data.wrong-count", place, says, need={"most_faults": MOST_FAULTS}))
            break
        rule, trouble = _rule(place, values, shelf)
        faults.extend(trouble)
        name = values.get("id")
        if isinstance(name, str) and name in first:
            says = f"the rule {plain(name)} stands in {first[name].file} already."
            faults.append(fault("data.duplicate", place, says, also=(first[name],)))
        elif isinstance(name, str):
            first[name] = place
        if rule is not None:
            rules[rule.id] = rule
    return dict(sorted(rules.items()))


def _rows(
    file: str, table: Mapping[str, Any] | None, faults: list[Finding]
) -> Iterator[tuple[Place, Mapping[str, Any]]]:
    """Each rule's table with its place: by its id, else by its row."""
    for key, value in (table or {}).items():
        if key != KEY:
            says = f"no such key; a rule file holds [[{KEY}]] tables."
            found: dict[str, Value] = {"found": plain(key)}
            faults.append(fault("data.unknown-key", Place(file, (key,)), says, have=found))
        elif not isinstance(value, tuple) or not all(isinstance(each, dict) for each in value):
            says = f"found {said(value)}; allowed are [[{KEY}]] tables."
            faults.append(
                fault("data.wrong-type", Place(file, (key,)), says, have={"found": shown(value)})
            )
        else:
            for row, each in enumerate(value):
                name = each.get("id")
                keys = (name,) if isinstance(name, str) and name else (KEY, row)
                yield Place(file, keys), each


def _rule(
    place: Place, values: Mapping[str, Any], shelf: Shelf
) -> tuple[Rule | None, list[Finding]]:
    rule, faults = checked(Rule, values, place)
    faults.extend(_expressions(values, place))
    if rule is None:
        return None, faults
    for trouble in sentence_troubles(rule.says, rule.scope):
        faults.append(fault("data.rule-expression", place.under("says"), trouble))
    if not faults:
        faults.extend(_place(rule, place))
    if not faults:
        faults.extend(example_faults(rule, place, shelf))
    return rule, faults


def _expressions(values: Mapping[str, Any], place: Place) -> Iterator[Finding]:
    """What is wrong with the conditions, told also where another key of the rule is at fault."""
    scope = _scope(values.get("scope"))
    if scope is None:
        return
    for key in ("when", "needs"):
        text = values.get(key)
        if not isinstance(text, str) or not 0 < len(text) <= LONGEST_EXPRESSION:
            continue  # the form has said it
        found = condition(text, scope)
        if isinstance(found, Condition):
            continue
        here = place.under(key)
        for each in explained(text, scope, found):
            where = "" if each.line is None else f"line {each.line}, column {each.column}: "
            have: dict[str, Value] = {"expression": text[:400]}
            if each.marked is not None:
                have.update(line=each.line, column=each.column, caret=each.marked)
            hint = f" Try {each.mended}" if each.mended else ""
            way_out = (Change(here.at, (each.mended,)),) if each.mended else ()
            says = f"{where}{each.says}{hint}"
            yield fault("data.rule-expression", here, says, have=have, try_=way_out)


def _scope(found: object) -> Scope | None:
    scopes: tuple[Scope, ...] = ("part", "wheel", "set", "order")
    return next((each for each in scopes if each == found), None)


def _place(rule: Rule, place: Place) -> Iterator[Finding]:
    """``at`` is a member that the scope has; a part rule reads one kind and points at it."""
    # A rule that is asked of two wheels points into each: two findings at one place would be one.
    members: tuple[str, ...] = ORDER_MEMBERS if rule.scope == "order" else WHEEL_MEMBERS
    if rule.scope == "part":
        kinds = sorted({root_of(name) for name in reads(rule)})
        if len(kinds) != 1:
            what = f"{' and '.join(kinds)} together" if kinds else "no part"
            says = f"a rule of scope part reads one kind of part; this one reads {what}."
            yield fault("data.rule-expression", place.under("needs"), says)
            return
        members = (kinds[0],)
    if rule.at not in members:
        meant = nearest(rule.at, members)
        hint = f' Try "{meant}".' if meant else ""
        says = f"found {said(rule.at)}; allowed is a member of scope {rule.scope}.{hint}"
        enum: list[Value] = [*members]
        yield fault(
            "data.unknown-word",
            place.under("at"),
            says,
            have={"found": shown(rule.at)},
            need={"enum": enum},
            try_=(Change(place.under("at").at, (meant,)),) if meant else (),
        )
