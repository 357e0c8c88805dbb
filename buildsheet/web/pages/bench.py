"""What a sheet's code opens at the stand: this wheel, its targets, and whether the sheet still counts."""

from __future__ import annotations

from flask import Blueprint, render_template

from buildsheet.actions.plan_again import plan_of
from buildsheet.actions.show_wheel import show_sheet
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/w/<code>")(bench_page)


def bench_page(code: str) -> str | tuple[str, int]:
    """The wheel that a code was printed for."""
    found = show_sheet(workshop_here(), code)
    if found is None:
        return render_template("no_sheet.html"), 404
    sheet, view = found
    plan = plan_of(workshop_here(), view)
    return render_template("bench.html", sheet=sheet, view=view, plan=plan)
