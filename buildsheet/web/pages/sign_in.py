"""Signing in and out, one's own password, and who is here."""

from __future__ import annotations

from flask import Blueprint, abort, render_template, request, url_for
from flask import Response as FlaskResponse
from werkzeug.wrappers import Response as AnyResponse

from buildsheet.actions.people.keys import list_keys
from buildsheet.actions.people.passwords import LONGEST, SHORTEST, WeakPassword
from buildsheet.actions.people.persons import LONGEST_NAME, list_people
from buildsheet.actions.people.roles import SAYS, Role
from buildsheet.actions.people.signing_in import (
    TooManyTries,
    change_password,
    sign_in,
    sign_out,
)
from buildsheet.actions.people.visitor import Visitor
from buildsheet.web.access.cookie import give, session_of_request, take_back
from buildsheet.web.access.who import is_open, visitor_here
from buildsheet.web.problems import refusal
from buildsheet.web.workshop_here import workshop_here

_WRONG = "This name and this password do not belong together."
_DIFFERENT = "The new password was not typed the same twice."
_NOT_OLD = "The password that counts until now is another one."


def add_routes(blueprint: Blueprint) -> None:
    """The routes of this file."""
    blueprint.get("/sign-in")(sign_in_form)
    blueprint.post("/sign-in")(sign_in_posted)
    blueprint.post("/sign-out")(signed_out)
    blueprint.get("/account")(account)
    blueprint.post("/account")(password_posted)
    blueprint.get("/people")(people_page)


def sign_in_form() -> str:
    """Name and password."""
    return _form(back=request.args.get("next", ""), changed="changed" in request.args)


def sign_in_posted() -> AnyResponse | tuple[str, int]:
    """To where the visitor wanted, or the form again."""
    name, back = request.form.get("name", ""), request.form.get("next", "")
    old = session_of_request()
    try:
        signed = sign_in(workshop_here(), name, request.form.get("password", ""), _address())
    except TooManyTries as often:
        return _wait(often)
    if signed is None:
        return _form(back=back, wrong=_WRONG), 422
    if old is not None:
        sign_out(workshop_here(), old)
    response = FlaskResponse(status=303, headers={"Location": place_after(back, signed.visitor)})
    give(response, signed.secret)
    return response


def signed_out() -> AnyResponse:
    """The session is over, here and in the file."""
    secret = session_of_request()
    if secret is not None:
        sign_out(workshop_here(), secret)
    response = FlaskResponse(status=303, headers={"Location": url_for("pages.sign_in_form")})
    take_back(response)
    return response


def account() -> str:
    """Who is signed in, and another password for them."""
    return _account("")


def password_posted() -> AnyResponse | tuple[str, int]:
    """Another password; every session of the person is over then, this one too."""
    visitor = _person()
    new = request.form.get("new", "")
    if new != request.form.get("again", ""):
        return _account(_DIFFERENT), 422
    old = request.form.get("old", "")
    try:
        changed = change_password(workshop_here(), visitor, old, new, _address())
    except WeakPassword as weak:
        return _account(str(weak)), 422
    except TooManyTries as often:
        return _wait(often)
    if not changed:
        return _account(_NOT_OLD), 422
    place = url_for("pages.sign_in_form", changed="yes")
    response = FlaskResponse(status=303, headers={"Location": place})
    take_back(response)
    return response


def people_page() -> str:
    """Everybody and every key, with roles; secrets are shown nowhere."""
    workshop = workshop_here()
    return render_template(
        "people.html", people=list_people(workshop), keys=list_keys(workshop), roles=SAYS
    )


def place_after(back: str, visitor: Visitor) -> str:
    """Where somebody goes who has signed in: where they wanted, if that is a place of this service.

    >>> builder = Visitor("B. Builder", Role.BUILDER)
    >>> place_after("/w/ABC?do=kit", builder), place_after("//elsewhere.example", builder)
    ('/w/ABC?do=kit', '/')
    >>> place_after("", Visitor("I. Intake", Role.INTAKE))
    '/orders'
    """
    plain = back.isascii() and back.isprintable() and "\\" not in back and len(back) <= 500
    if plain and back.startswith("/") and not back.startswith("//"):
        return back
    return "/orders" if visitor.role is Role.INTAKE else "/"


def _form(back: str, wrong: str = "", *, changed: bool = False) -> str:
    """The page; what was typed as a password is never shown again, nor kept."""
    return render_template(
        "sign_in.html",
        back=back[:500],
        wrong=wrong,
        changed=changed,
        nobody=is_open(),
        here=visitor_here(),
        longest=LONGEST,
        longest_name=LONGEST_NAME,
    )


def _account(wrong: str) -> str:
    return render_template(
        "account.html",
        here=visitor_here(),
        roles=SAYS,
        wrong=wrong,
        shortest=SHORTEST,
        longest=LONGEST,
    )


def _person() -> Visitor:
    visitor = visitor_here()
    if visitor is None or visitor.person_id is None:
        abort(404)  # nobody is signed in where nobody is asked
    return visitor


def _address() -> str:
    return request.remote_addr or "unknown"


def _wait(often: TooManyTries) -> AnyResponse:
    minutes = -(-often.wait_s // 60)
    says = f"Try again in {minutes} {'minute' if minutes == 1 else 'minutes'}."
    return refusal("too-many-tries", says, headers={"Retry-After": str(often.wait_s)})
