"""The least that taking an order could cost: the same framework and server parse the same document by
the same model and commit one row, durably, through the same connection settings and the same lock."""

from __future__ import annotations

import os
from pathlib import Path

from flask import Flask, Response, request
from pydantic import ValidationError

from buildsheet.orders.document import Order
from buildsheet.storage.database import Database

ROWS = (
    "create table if not exists posted (id integer not null primary key, body text not null) strict"
)


def from_environment() -> Flask:
    """The application over the file that BUILDSHEET_DB names."""
    database = Database(Path(os.environ["BUILDSHEET_DB"]))
    with database.writing() as section:
        section.run(ROWS)
    app = Flask("bare")

    @app.post("/api/v1/orders")
    def post() -> Response:
        body = request.get_data()
        try:
            Order.model_validate_json(body)
        except ValidationError as error:
            return Response(str(error), 422)
        with database.writing() as section:
            section.run("insert into posted (body) values (?)", body.decode())
        return Response('{"taken": true}', 201, mimetype="application/json")

    return app
