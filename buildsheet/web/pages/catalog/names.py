"""Who types at the desk: a name in every form, remembered by the browser that sent it.

A typed name is no proof of a person. Where people sign in, the name is that of whoever is signed in,
whatever was typed.
"""

from __future__ import annotations

from typing import Final
from urllib.parse import quote, unquote

from flask import request
from werkzeug.wrappers import Response

from buildsheet.web.access.who import signed_in

COOKIE: Final = "desk-name"
LONGEST: Final = 60
NO_NAME: Final = "Your name is missing: the draft keeps who changed what."
ONE_WEEK_S: Final = 7 * 24 * 3600


def typed_name() -> str:
    """Who is signed in, else the name in the form that was sent; '' where none was typed."""
    return signed_in() or request.form.get("_by", "").strip()[:LONGEST]


def remembered_name() -> str:
    """Who is signed in, else the name that this browser sent last, for the next form."""
    return signed_in() or unquote(request.cookies.get(COOKIE, ""))[:LONGEST]


def remember(response: Response, name: str) -> Response:
    """The same answer, with which the browser keeps the name."""
    response.set_cookie(
        COOKIE, quote(name), max_age=ONE_WEEK_S, httponly=True, samesite="Strict", path="/catalog"
    )
    return response
