"""The rules of the running edition, for reading."""

from __future__ import annotations

from flask import Blueprint, abort, render_template

from buildsheet.actions.desk.show_rules import facts_of
from buildsheet.actions.editions import running_edition
from buildsheet.catalog.rules.judge import reads
from buildsheet.catalog.rules.rule import Scope
from buildsheet.web.workshop_here import workshop_here

SCOPES: tuple[Scope, ...] = ("part", "wheel", "set", "order")


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/rules")(rules_page)
    blueprint.get("/catalog/rules/<name>")(rule_page)
    blueprint.get("/catalog/facts")(facts_page)


def rules_page() -> str:
    """Every rule with what it asks."""
    return render_template("catalog/rules.html", edition=running_edition(workshop_here()))


def rule_page(name: str) -> str:
    """One rule with its reason, source, owner and examples."""
    edition = running_edition(workshop_here())
    rule = edition.rules.get(name)
    if rule is None:
        abort(404)
    return render_template(
        "catalog/rule.html", edition=edition, rule=rule, read=sorted(reads(rule))
    )


def facts_page() -> str:
    """What rules may read, by scope."""
    return render_template("catalog/facts.html", facts={scope: facts_of(scope) for scope in SCOPES})
