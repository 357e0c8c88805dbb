"""Records on pages: one wheel as built, and how the bench does over many."""

from __future__ import annotations

from dataclasses import replace

from flask import Blueprint, render_template
from markupsafe import Markup

from buildsheet.actions.bench.show_record import bench_pictures, show_record
from buildsheet.actions.bench.statistics import bench_statistics
from buildsheet.web.workshop_here import workshop_here


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/wheels/<serial>/record")(record_page)
    blueprint.get("/bench/pictures")(pictures_page)


def record_page(serial: str) -> str | tuple[str, int]:
    """One wheel as it was built, with what its rider has to know."""
    found = show_record(workshop_here(), serial)
    if found is None:
        return render_template("find.html", typed=serial, orders=()), 404
    # Our own pen draws these, and escapes what it writes.
    drawn = replace(found, tension=Markup(found.tension), run_out=Markup(found.run_out))  # noqa: S704
    return render_template("record.html", record=drawn)


def pictures_page() -> str:
    """First-pass yield, reasons and masses."""
    statistics = bench_statistics(workshop_here())
    pictures = bench_pictures(statistics)
    drawn = replace(
        pictures,
        first_pass=Markup(pictures.first_pass),  # noqa: S704
        mass=Markup(pictures.mass),  # noqa: S704
    )
    return render_template("pictures.html", statistics=statistics, pictures=drawn)
