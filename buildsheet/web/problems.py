"""Every refusal, as a problem document (RFC 9457) for systems and as a page for people.

``type`` is a reference to the page ``/problems``, where each kind is explained; ``findings`` is
always there, empty where the trouble is not in a document.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from http import HTTPStatus
from typing import Final

from flask import Flask, Response, g, render_template, request
from werkzeug.exceptions import HTTPException

from buildsheet.actions.codes import recorded
from buildsheet.actions.editions import NoEdition
from buildsheet.actions.plan_record import compact
from buildsheet.errors import WorldError
from buildsheet.findings import Finding, Value
from buildsheet.orders.codes import found
from buildsheet.orders.text import MOST_BYTES
from buildsheet.web.addresses import is_for_systems
from buildsheet.web.guards import request_id

MEDIA_TYPE: Final = "application/problem+json"
log = logging.getLogger("buildsheet.web")


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of refusal: its slug, its status, its title, and what the sender can do."""

    slug: str
    status: int
    title: str
    remedy: str


KINDS: Final[Mapping[str, Kind]] = {
    kind.slug: kind
    for kind in (
        Kind(
            "not-readable",
            400,
            "The body cannot be read as an order document",
            "Send one JSON object in UTF-8; the finding names the place where reading ended.",
        ),
        Kind(
            "bad-request",
            400,
            "The request cannot be understood",
            "Compare the request with the description at /api/v1/openapi.json.",
        ),
        Kind(
            "unknown-host",
            400,
            "This service is not called that",
            "Use the address that the workshop gave you; names are set with: serve --allow-host NAME",
        ),
        Kind(
            "not-signed-in",
            401,
            "Sign in first",
            "A person signs in at /sign-in; a system sends its key: Authorization: Bearer KEY.",
        ),
        Kind(
            "not-allowed",
            403,
            "Your role does not do this",
            "Ask whoever may, or have a key or a person of another role added.",
        ),
        Kind(
            "other-name",
            403,
            "You are signed in under another name",
            "What you do is kept under your own name: say that one as `by`.",
        ),
        Kind(
            "needs-tls",
            403,
            "This service answers over TLS only",
            "Begin the address with https.",
        ),
        Kind(
            "other-origin",
            403,
            "This form was sent from another site",
            "Open the form on this server's own page and send it from there.",
        ),
        Kind(
            "not-found",
            404,
            "There is nothing at this address",
            "Look for a slip in the address, the serial or the order number.",
        ),
        Kind(
            "method",
            405,
            "This address does not do that",
            "The header Allow names what it does.",
        ),
        Kind(
            "order-taken",
            409,
            "The order is taken already",
            "Ask for the order that the finding names; a change is a new revision of it.",
        ),
        Kind(
            "stock-short",
            409,
            "Parts of the order are not there",
            "Nothing was held. Change the order as a finding offers, or post it again when more comes.",
        ),
        Kind(
            "move-refused",
            409,
            "The order cannot be moved so, as it stands now",
            "Each finding says what stands in the way; ask first with dry_run what would be lost.",
        ),
        Kind(
            "waits-for-release",
            409,
            "The order waits for an approval by name, or is cancelled",
            "Somebody who may do so has to approve it with a reason before a sheet is printed.",
        ),
        Kind(
            "no-draft",
            404,
            "No draft is open",
            "Begin one with: POST /api/v1/catalog/draft",
        ),
        Kind(
            "draft-open",
            409,
            "A draft is open already",
            "There is one draft at a time: publish it or throw it away first.",
        ),
        Kind(
            "draft-faulty",
            422,
            "The draft has faults",
            "Every finding is one of them; clear them all and ask again.",
        ),
        Kind(
            "draft-stale",
            412,
            "The draft has changed since the version that was brought back",
            "Read the draft again, see what the finding lists, and make the edit from there.",
        ),
        Kind(
            "too-large",
            413,
            "The body is larger than any order",
            f"An order has at most {MOST_BYTES} bytes.",
        ),
        Kind(
            "media-type",
            415,
            "The body is not sent as JSON",
            "Send the header Content-Type: application/json.",
        ),
        Kind(
            "order-refused",
            422,
            "The order cannot be built as posted",
            "Every finding says what is wrong and, where a single change helps, what to try.",
        ),
        Kind(
            "document-refused",
            422,
            "The document breaks its form",
            "Every finding points into what was sent and says what is wanted there.",
        ),
        Kind(
            "issue-refused",
            422,
            "No new issue of the sheet is made",
            "The sheet that the wheel has stays in force; every finding is one reason.",
        ),
        Kind(
            "edit-refused",
            422,
            "The edit cannot be made as it is written",
            "Every finding points into what was sent and says what is wanted there.",
        ),
        Kind(
            "edition-refused",
            422,
            "It is not published",
            "Every finding is one reason; clear them all and publish again.",
        ),
        Kind(
            "part-refused",
            422,
            "The part of an order breaks the form",
            "Every finding names a member and what is wanted there; members may be left out.",
        ),
        Kind(
            "key-reused",
            422,
            "The Idempotency-Key belongs to another request",
            "Use a new key for a new document, and the same key only to repeat the same one.",
        ),
        Kind(
            "version-missing",
            428,
            "An edit brings back the version it was made from",
            "Send the ETag of the draft back as If-Match.",
        ),
        Kind(
            "too-many-tries",
            429,
            "Too many tries to sign in",
            "Wait as long as the header Retry-After says; trying on does not make it longer.",
        ),
        Kind(
            "fault",
            500,
            "The program has a fault",
            "Nothing was stored. Report the number of the request.",
        ),
        Kind(
            "no-edition",
            503,
            "No catalog edition is loaded",
            "Load one with: buildsheet catalog load DIR",
        ),
        Kind(
            "record-unavailable",
            503,
            "The workshop file cannot be used right now",
            "Nothing was stored. Try again; the server's log says what the disk said.",
        ),
    )
}

_BY_STATUS: Final = {
    400: "bad-request",
    401: "not-signed-in",
    403: "other-origin",
    404: "not-found",
    405: "method",
    413: "too-large",
    415: "media-type",
    428: "version-missing",
}


def problem(
    slug: str,
    detail: str = "",
    findings: Sequence[Finding] = (),
    headers: Mapping[str, str] | None = None,
) -> Response:
    """The problem document of one kind."""
    kind = KINDS[slug]
    g.problem = slug
    body = compact(
        {
            "type": f"/problems#{kind.slug}",
            "title": kind.title,
            "status": kind.status,
            "detail": detail or kind.remedy,
            "request": request_id(),
            "findings": [finding.as_json() for finding in findings],
        }
    )
    response = Response(body, status=kind.status, mimetype=MEDIA_TYPE)
    response.headers.update(headers or {})
    return response


def answer_problems(app: Flask) -> None:
    """Give every error of the application its problem document or its page."""
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(NoEdition, _no_edition)
    app.register_error_handler(WorldError, _world)
    app.register_error_handler(Exception, _fault)


def _http(error: HTTPException) -> Response:
    status = error.code or 500
    if 300 <= status < 400:
        return Response(status=status, headers=_own_headers(error))
    slug = _BY_STATUS.get(status, "bad-request" if status < 500 else "fault")
    findings = {"too-large": _too_large, "media-type": _media_type}.get(slug, _nothing)()
    return refusal(slug, "", findings, _own_headers(error))


def _own_headers(error: HTTPException) -> dict[str, str]:
    """The headers that belong to a status: Allow on 405, Location on a redirection."""
    wanted = {"allow", "location", "retry-after"}
    return {name: value for name, value in error.get_headers() if name.lower() in wanted}


def _no_edition(error: NoEdition) -> Response:
    log.error("%s", error, extra=_which())
    return refusal("no-edition", "", (), {"Retry-After": "60"})


def _world(error: WorldError) -> Response:
    log.error("%s", error, extra=_which())
    return refusal("record-unavailable", "", (), {"Retry-After": "5"})


def _fault(error: Exception) -> Response:
    log.error("a fault of the program", exc_info=error, extra=_which())
    return refusal("fault", "", (), {})


def _which() -> dict[str, str]:
    """Which request a line of the log is about."""
    # The route, not the address: the code of a sheet stands in one.
    return {"request": request_id(), "route": str(request.url_rule)}


def refusal(
    slug: str,
    detail: str = "",
    findings: Sequence[Finding] = (),
    headers: Mapping[str, str] | None = None,
) -> Response:
    """The refusal of one kind: a problem document for the API, a page for people."""
    if is_for_systems(request.path):
        return problem(slug, detail, findings, headers)
    kind = KINDS[slug]
    g.problem = slug
    page = render_template(
        "problem.html",
        kind=kind,
        detail=detail,
        phrase=HTTPStatus(kind.status).phrase,
        findings=findings,
        number=request_id(),
    )
    return Response(page, status=kind.status, headers=dict(headers or {}), mimetype="text/html")


def _nothing() -> tuple[Finding, ...]:
    return ()


def _too_large() -> tuple[Finding, ...]:
    most = request.max_content_length or MOST_BYTES
    says = f"The body is larger than {most} bytes; nothing that is sent here is."
    need: dict[str, Value] = {"most_bytes": most}
    return (found("order.too-large", "block", "", says, need=need, edition=None),)


def _media_type() -> tuple[Finding, ...]:
    given = request.mimetype[:60]
    says = f"The body came as {given or 'nothing in particular'}; application/json is wanted."
    return (recorded("order.media-type", "", says, edition=None),)
