"""The entry for the route of choices."""

from __future__ import annotations

from buildsheet.web.openapi.choices_shapes import ChoicesAnswer, PartOfOrder
from buildsheet.web.openapi.route import Route

ROUTES: tuple[Route, ...] = (
    Route(
        "post",
        "/choices",
        "whatCanStillBeChosen",
        "What may still be chosen after any part of an order; stores nothing",
        {
            200: (
                "Every open place with its values. A part that leads nowhere is answered too: "
                "with no ways, and with findings that say what to change.",
                ChoicesAnswer,
            )
        },
        {
            400: "The body cannot be read as JSON.",
            413: "The body is larger than 64 KiB.",
            415: "The body is not sent as application/json.",
            422: "The part breaks the order's form; the findings say all of it.",
            503: "No catalog edition is loaded, or the workshop file cannot be used.",
        },
        body=PartOfOrder,
    ),
)
