"""``GET /metrics``: what the workers counted, and how the workshop file stands."""

from __future__ import annotations

from flask import Flask, Response
from prometheus_client.exposition import CONTENT_TYPE_PLAIN_0_0_4

from buildsheet.web.addresses import METRICS
from buildsheet.web.observing.counted import counted_here
from buildsheet.web.observing.standing import standing_text
from buildsheet.web.workshop_here import workshop_here


def add_routes(app: Flask) -> None:
    """The route of this file."""
    app.get(METRICS)(metrics)


def metrics() -> Response:
    """All figures, in the text form 0.0.4."""
    text = counted_here().text() + standing_text(workshop_here())
    return Response(text, content_type=CONTENT_TYPE_PLAIN_0_0_4)
