"""A spreadsheet of parts put into the draft: first what it would do, then, if wanted, all of it.

The file of the first step travels with the page to the second, so that what is put into the draft is
what was looked at; the server keeps nothing between the two.
"""

from __future__ import annotations

import base64
import binascii
from dataclasses import dataclass
from typing import Final

from flask import Blueprint, Response, make_response, redirect, render_template, request, url_for
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.desk.draft import NoDraft, StaleDraft
from buildsheet.actions.desk.export_table import export_table
from buildsheet.actions.desk.import_table import TableImport, import_table, try_table
from buildsheet.actions.editions import running_edition
from buildsheet.catalog.tables.grid import MOST_BYTES
from buildsheet.web.pages.catalog.form.words import KIND_WORDS
from buildsheet.web.pages.catalog.names import NO_NAME, remember, remembered_name, typed_name
from buildsheet.web.pages.catalog.overtaken import Late, late
from buildsheet.web.pages.whole_number import whole_number
from buildsheet.web.workshop_here import workshop_here

UPLOAD_BYTES: Final = MOST_BYTES + MOST_BYTES // 2
"""A file at its largest, sent back in base 64 (four letters for three bytes) with the form around it."""

UPLOAD_FIELDS: Final = 12
LONGEST_FILE_NAME: Final = 120
XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@dataclass(frozen=True, slots=True)
class Upload:
    """A file as it came: its name, its bytes, the kind of parts that was said."""

    name: str
    data: bytes
    kind: str | None

    @property
    def letters(self) -> str:
        """The bytes in letters, for the page that asks whether to go on."""
        return base64.b64encode(self.data).decode("ascii")


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/catalog/draft/import")(import_form)
    blueprint.post("/catalog/draft/import")(import_posted)
    blueprint.get("/catalog/parts.xlsx")(exported)


def import_form() -> AnyResponse:
    """Asks for a file."""
    return _page()


def import_posted() -> AnyResponse:
    """What the file would do; or, where that was looked at and wanted, the file put into the draft."""
    request.max_content_length = UPLOAD_BYTES
    request.max_form_memory_size = UPLOAD_BYTES
    request.max_form_parts = UPLOAD_FIELDS
    try:
        upload = _upload()
    except RequestEntityTooLarge:
        says = f"The file has more than {MOST_BYTES // 1000} kB, the most that is read."
        return _page(problem=says, by=remembered_name(), status=413)
    if upload is None:
        return _page(problem="No file was chosen.", status=422)
    if request.form.get("_deed") != "apply":
        tried = try_table(workshop_here(), upload.name, upload.data, upload.kind)
        return _page(upload, tried, status=422 if tried.findings else 200)
    return _applied(upload)


def _applied(upload: Upload) -> AnyResponse:
    workshop, version = workshop_here(), None
    if "_version" in request.form:
        # What is no number is no version either, and never "whatever the draft is by now".
        version = request.form.get("_version", 0, type=whole_number)
    if not typed_name():
        tried = try_table(workshop, upload.name, upload.data, upload.kind)
        return _page(upload, tried, problem=NO_NAME, status=422)
    try:
        done = import_table(
            workshop, upload.name, upload.data, upload.kind, version=version, by=typed_name()
        )
    except (StaleDraft, NoDraft) as trouble:
        tried = try_table(workshop, upload.name, upload.data, upload.kind)
        overtaken = late(trouble) if isinstance(trouble, StaleDraft) else None
        return _page(upload, tried, overtaken=overtaken, status=409)
    if done.applied is None:
        return _page(upload, done, status=422 if done.findings else 200)
    return remember(redirect(url_for("pages.draft_page"), 303), typed_name())


def _upload() -> Upload | None:
    """The file that was chosen, or the one that an earlier page carried; None where there is none."""
    kind = request.form.get("_kind") or None
    kind = kind if kind in KIND_WORDS else None
    chosen = request.files.get("file")
    if chosen is not None and chosen.filename:
        with chosen.stream:  # a large one lies in a temporary file, which goes with it
            return Upload(chosen.filename[-LONGEST_FILE_NAME:], chosen.read(), kind)
    carried = request.form.get("_carried", "")
    try:
        data = base64.b64decode(carried, validate=True)
    except (binascii.Error, ValueError):
        return None
    name = request.form.get("_name", "")[-LONGEST_FILE_NAME:]
    return Upload(name, data, kind) if data and name else None


def exported() -> Response:
    """The parts of the running edition as a spreadsheet."""
    workshop = workshop_here()
    response = Response(export_table(workshop), mimetype=XLSX)
    name = f"parts-edition-{running_edition(workshop).number}.xlsx"
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _page(
    upload: Upload | None = None,
    tried: TableImport | None = None,
    *,
    problem: str = "",
    overtaken: Late | None = None,
    by: str | None = None,
    status: int = 200,
) -> AnyResponse:
    page = render_template(
        "catalog/import.html",
        upload=upload,
        tried=tried,
        problem=problem,
        filled={"late": overtaken},
        kinds=KIND_WORDS,
        most_kb=MOST_BYTES // 1000,
        by=typed_name() or remembered_name() if by is None else by,
    )
    return make_response(page, status)
