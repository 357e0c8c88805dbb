"""What no answer may be, whatever was asked; each fault is named in a sentence."""

from __future__ import annotations

import json
from typing import Final, NamedTuple
from urllib.parse import urlsplit

from tests.soak.fuzzing.loop import Fault

PROBLEM: Final = "application/problem+json"
ASKS_ONLY: Final = ("/orders/check", "/choices")
"""Posted to, and nothing is kept of it."""

BEATS: Final = "/healthz"
"""Asked for it, the service writes that it can write."""

MARKS: Final = ("<script>alert(1)", "<q9z>")
"""What inputs hold that must never stand in a page as it was typed."""


class Answer(NamedTuple):
    """One answer; ``changed`` says whether the workshop's file is another one since the last."""

    status: int
    kind: str
    text: str
    changed: bool
    location: str = ""


def judge(method: str, address: str, answer: Answer) -> None:
    """Raises Fault for an answer to a system that may never be given, or that left what it may not."""
    _whole(method, address, answer)
    if answer.status >= 400 and answer.kind != PROBLEM:
        raise Fault(f"{answer.status} as {answer.kind} for {method} {address}")
    stores = method != "GET" and not address.endswith(ASKS_ONLY)
    if answer.changed and (answer.status >= 400 or not stores) and BEATS not in address:
        raise Fault(f"{answer.status} for {method} {address} and the file has changed")
    if answer.kind.endswith("json"):
        json.loads(answer.text, parse_constant=_no_number)


def judge_page(method: str, path: str, answer: Answer) -> None:
    """The same for an answer to a browser: only what is sent on to another page has stored anything."""
    _whole(method, path, answer)
    if answer.status >= 400 and method != "HEAD" and answer.kind not in ("text/html", PROBLEM):
        raise Fault(f"{answer.status} as {answer.kind} for {method} {path}")
    if answer.changed and not (method == "POST" and answer.status == 303) and path != BEATS:
        raise Fault(f"{answer.status} for {method} {path} and the file has changed")
    if answer.kind == "text/html":
        for mark in MARKS:
            if mark in answer.text:
                raise Fault(f"what was typed is code in the page of {method} {path}")
    if not _is_here(answer.location):
        raise Fault(f"{method} {path} leads to another site: {answer.location[:80]}")


def judge_refusal(who: str, method: str, path: str, answer: Answer) -> None:
    """For what must be refused: sent from another site's page, or by somebody who may not."""
    to_the_door = answer.status == 303 and answer.location.startswith("/sign-in")
    if answer.status < 400 and not to_the_door:
        raise Fault(f"{who} is answered {answer.status} by {method} {path}")


def _whole(method: str, address: str, answer: Answer) -> None:
    if answer.status >= 500:
        said = answer.text[:200] if answer.kind != "text/html" else ""
        raise Fault(f"{answer.status} for {method} {address.partition('?')[0]}: {said}")
    if "Traceback (most recent" in answer.text:
        raise Fault(f"a traceback in the answer to {method} {address}")


def _is_here(location: str) -> bool:
    if not location:
        return True
    parts = urlsplit(location)
    local = not parts.netloc or parts.netloc == "localhost"
    return local and not location.startswith("//") and "\\" not in location


def _no_number(word: str) -> float:
    raise Fault(f"{word} in an answer")
