"""One entry for each route about what publishing does and what to stock."""

from __future__ import annotations

from typing import Final

from buildsheet.web.openapi import impact_shapes as shapes
from buildsheet.web.openapi.catalog_shapes import CODE
from buildsheet.web.openapi.route import Route, in_path, in_query

_NONE: Final = {503: "No catalog edition is loaded, or the workshop file cannot be used."}
_SPOKE: Final = in_path("spoke", "The code of a spoke type.") | {
    "schema": {"type": "string", "pattern": CODE}
}

ROUTES: tuple[Route, ...] = (
    Route(
        "get",
        "/catalog/draft/impact",
        "showImpact",
        "What publishing the draft would do: wheels, open orders, parts, lengths, drilling, shelves",
        {200: ("The draft against the edition it was made from.", shapes.ImpactAnswer)},
        {404: "No draft is open.", **_NONE},
        headers={200: {"ETag": "The draft's version."}},
    ),
    Route(
        "get",
        "/catalog/lengths",
        "planLengths",
        "The fewest spoke lengths that serve every wheel of the running edition or of the draft",
        {200: ("The plan, type by type, beside the shelves.", shapes.LengthsAnswer)},
        {
            400: "A parameter is out of range.",
            404: "No draft is open.",
            422: "The draft has faults: every one of them.",
            **_NONE,
        },
        parameters=(
            in_query(
                "wheels",
                "For how many wheels at once the order points keep parts.",
                {"type": "integer", "minimum": 1, "maximum": 1000},
            ),
            in_query(
                "grid",
                "Lengths as the types come, or on a free grid of 1 mm.",
                {"type": "string", "enum": ["type", "free"]},
            ),
            in_query(
                "of",
                "Of the running edition, or of the draft.",
                {"type": "string", "enum": ["edition", "draft"], "default": "edition"},
            ),
        ),
    ),
    Route(
        "get",
        "/catalog/lengths/{spoke}.svg",
        "drawLengths",
        "The lengths of one spoke type as a picture",
        {200: ("The picture.", "image/svg+xml")},
        {404: "No wheel takes such a spoke.", **_NONE},
        parameters=(_SPOKE,),
    ),
    Route(
        "get",
        "/catalog/programs",
        "planPrograms",
        "The drilling programs that every wheel of the running edition needs",
        {200: ("The programs, kind of rim by kind of rim.", shapes.ProgramsAnswer)},
        _NONE,
    ),
)
