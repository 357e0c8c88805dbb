"""Forms as browsers send them, and as nobody should: found on the service's own pages, and for what no
page shows right now in its map of addresses, so that a new form is among them.

Asked of each answer: no fault of the program; stored only where the visitor is sent on; nothing at all
for what another site's page sent or somebody who may not; what was stored can be shown.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from random import Random
from typing import Any, Final
from urllib.parse import quote

from werkzeug.test import create_environ, run_wsgi_app
from werkzeug.wrappers import Response

from buildsheet.actions.editions import newest_number
from buildsheet.actions.people.signing_in import session_holder
from buildsheet.web.access.matrix import MATRIX
from tests.soak.fuzzing.answers import Answer, judge, judge_page, judge_refusal
from tests.soak.fuzzing.fields import FieldBender, shortened
from tests.soak.fuzzing.found import COUNTS_ALL, Found, route_of
from tests.soak.fuzzing.loop import Fault, Input, Told
from tests.soak.fuzzing.message import (
    OWN_PAGE,
    URLENCODED,
    WAYS,
    Message,
    Pairs,
    message_of,
    written,
)
from tests.soak.fuzzing.pages import Page, shape
from tests.soak.fuzzing.posted import ODD_PLACES, orders
from tests.soak.fuzzing.trees import Bender, known_values
from tests.soak.fuzzing.workshop import COOKIE, House, with_reason
from tests.workshops import raw

LONGEST_ADDRESS: Final = 4000
"""What the server reads of an address; a longer one never comes to the application."""

MOST_ALIKE: Final = 30
"""Forms of one route that are remembered."""

MOST_BYTES: Final = 4_000_000
"""More than any form may carry."""

CHOOSE: Final = "/catalog/choose"
COUNTS_TRIES: Final = ("/sign-in", "/account")
"""What is refused here has counted one try: the one thing that a refusal keeps."""

TRIES: Final = "sign_in_attempts"
VISITORS: Final = (
    *["owner"] * 40,
    "manager",
    "manager",
    "builder",
    "builder",
    "intake",
    "nobody",
    "stranger",
)
HEADERS: Final[tuple[dict[str, str], ...]] = (
    *[OWN_PAGE] * 30,
    *[{"Origin": "http://localhost"}] * 4,
    {"Sec-Fetch-Site": "none"},
    {"Sec-Fetch-Site": "cross-site"},
    {"Sec-Fetch-Site": "same-site", "Origin": "http://localhost"},
    {"Sec-Fetch-Site": "Same-Origin"},
    {"Sec-Fetch-Site": ""},
    {"Origin": "http://localhost.elsewhere.example"},
    {"Origin": "https://localhost"},
    {"Origin": "http://localhost:81"},
    {"Origin": "null"},
    {"Origin": ""},
    {"Origin": "\u00fc"},
    {"Referer": "http://localhost/orders/new"},
    {},
    {**OWN_PAGE, "Host": "elsewhere.example"},
    {**OWN_PAGE, "Host": ""},
    {**OWN_PAGE, "Host": "localhost:99999999"},
    {**OWN_PAGE, "X-Request-Id": "x" * 70},
    {**OWN_PAGE, "Content-Encoding": "gzip"},
    {**OWN_PAGE, "Authorization": "Bearer \u00fc"},
    {**OWN_PAGE, "X-HTTP-Method-Override": "DELETE"},
)
KINDS: Final = (
    *("", "text/html", "application/json", "multipart/form-data", "multipart/form-data; boundary="),
    *(
        f"multipart/form-data; boundary={'x' * 300}",
        'multipart/form-data; boundary="a b"',
        "image/png",
    ),
    *(
        f"{URLENCODED}; charset=nonsense",
        f"{URLENCODED}; charset=\u00fc",
        f"{URLENCODED};;;=",
        "x" * 3000,
    ),
)
LENGTHS: Final = ("", "-1", "0", "3", "99999999", "9" * 30, "abc", "1.5", "\u0663")
METHODS: Final = ("PUT", "PATCH", "DELETE", "HEAD", "OPTIONS", "BREW", "GET")


class Forms:
    """Every form of the service."""

    name = "forms"

    def __init__(self, house: House) -> None:
        self._house, self._found = house, Found(house)
        self._messages = self._found.messages()
        self._complaints = [
            *self._found.broken,
            *(f"nobody sends the form of {each}" for each in self._found.lacking(self._messages)),
        ]
        self._routes: dict[str, list[Message]] = {}
        self._shapes: set[object] = set()
        for each in self._messages:
            self._learn(each)
        known = known_values([raw(each).decode() for each in orders()])
        self._fields = FieldBender(self._found.known, Bender(known, sorted(known)))
        self._turn = 0

    def _learn(self, message: Message) -> None:
        # By route: a kind of part with many forms is asked no more often than signing in.
        route = f"{message.where.partition(' ')[0]} {route_of(self._house.app, message.where)}"
        alike = self._routes.setdefault(route, [])
        if len(alike) < MOST_ALIKE:
            alike.append(message)

    def seeds(self) -> Sequence[Input]:
        """Each form as a browser would send it."""
        filled = (replace(each, pairs=self._found.filled(each.pairs)) for each in self._messages)
        return [each.input() for each in filled]

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        """A form, or one that said something new, bent; mostly from the own page and by who may."""
        self._turn += 1
        base = self._base(dice, corpus)
        pairs = self._fresh(dice, base.pairs)
        if dice.random() < 0.8:
            pairs = self._fields.bent(dice, pairs)
        most = LONGEST_ADDRESS if base.where.startswith("GET ") else MOST_BYTES
        message = replace(
            base,
            pairs=shortened(pairs, most),
            visitor=dice.choice(VISITORS),
            headers=dice.choice(HEADERS),
            environ={},
        )
        return self._odd(dice, self._packed(dice, message)).input()

    def _base(self, dice: Random, corpus: Sequence[Input]) -> Message:
        if dice.random() < 0.7:
            routes = [
                each for each in self._routes if each.startswith("POST ") or dice.random() < 0.3
            ]
            base = dice.choice(self._routes[dice.choice(routes)])
            return replace(base, pairs=self._found.filled(base.pairs, dice))
        base = message_of(dice.choice(corpus))
        return replace(base, damage=None, kind=None, way="parts" if base.files else "form")

    def _fresh(self, dice: Random, pairs: Pairs) -> Pairs:
        """Keys that nobody used, and the version of now."""
        now = {"key": f"k-{self._turn:08d}", "_version": str(self._house.draft_version())}
        if dice.random() < 0.1:
            return pairs
        return tuple((name, now.get(name, text)) for name, text in pairs)

    def _packed(self, dice: Random, message: Message) -> Message:
        if dice.random() < 0.75:
            return message
        way = dice.choice([*WAYS])
        kind = dice.choice(KINDS) if dice.random() < 0.2 else None
        damage = dice.randrange(1_000_000) if dice.random() < 0.3 else None
        return replace(message, way=way, kind=kind, damage=damage)

    def _odd(self, dice: Random, message: Message) -> Message:
        """Another method, another place, a length that is none: now and then."""
        chance, where = dice.random(), message.where
        method, _, path = where.partition(" ")
        if chance < 0.02:
            return replace(message, where=f"{dice.choice(METHODS)} {path}")
        if chance < 0.05:
            parts = path.split("/")
            parts[dice.randrange(1, len(parts))] = quote(dice.choice(ODD_PLACES))
            return replace(message, where=f"{method} {'/'.join(parts)}")
        if chance < 0.07:
            return replace(message, environ={"CONTENT_LENGTH": dice.choice(LENGTHS)})
        return message

    def ask(self, one: Input) -> Told:
        """Sent, judged, and where the visitor is sent on, followed."""
        message = message_of(one)
        method, _, path = message.where.partition(" ")
        counts = path in COUNTS_TRIES
        before = self._rows() if counts else {}
        answer = self._answered(method, path, message)
        if counts and self._rows() == before:
            answer = answer._replace(changed=False)
        with with_reason(answer):
            if path.startswith("/api/"):
                judge(method, path, answer)
            else:
                judge_page(method, path, answer)
        if why := self._must_refuse(message):
            judge_refusal(why, method, path, answer)
        if answer.status == 303:
            self._follow(answer)
        elif method == "POST" and answer.kind == "text/html" and answer.status in (200, 409):
            self._look_for_forms(path, answer)
        self._stay_signed_in(message.visitor)
        route = route_of(self._house.app, message.where) or ""
        said = frozenset({str(answer.status), route, message.visitor})
        return Told(answer.status < 400, said, counts_all=self._counts_all(route))

    def _counts_all(self, route: str) -> bool:
        """Whether the page is about all that there is; the first to choose from a new edition finds it."""
        is_new = newest_number(self._house.workshop) != self._house.facts["edition"]
        return route in COUNTS_ALL or (route == CHOOSE and is_new)

    def _answered(self, method: str, path: str, message: Message) -> Answer:
        data, kind = message.body()
        address = path
        if method == "GET":
            data, address = (
                b"",
                f"{path}?{written(message.pairs).decode()}" if message.pairs else path,
            )
        environ: dict[str, Any] = create_environ(address, method=method, data=data)
        sessions = {**self._house.facts["sessions"], "stranger": "x" * 43}
        if secret := sessions.get(message.visitor):
            environ["HTTP_COOKIE"] = f"{COOKIE}={secret}"
        if method != "GET":
            environ["CONTENT_TYPE"] = _as_sent(kind)
        for name, value in message.headers.items():
            environ[f"HTTP_{name.upper().replace('-', '_')}"] = _as_sent(value)
        # From somewhere else each time: what is counted by address would soon answer all with the same.
        environ["REMOTE_ADDR"] = f"10.0.{self._turn // 250 % 250}.{self._turn % 250}"
        found, status, headers = run_wsgi_app(self._house.app, {**environ, **message.environ})
        return self._house.answer_of(Response(found, status, headers))

    def _must_refuse(self, message: Message) -> str:
        """Why this must not be done; nothing where it may."""
        method, _, path = message.where.partition(" ")
        if method == "POST" and message.is_foreign() and not path.startswith("/api/"):
            return "another site's page"
        route = route_of(self._house.app, message.where)
        allowed = MATRIX.get(f"{method} {route}", frozenset())
        who = {"nobody": "", "stranger": ""}.get(message.visitor, message.visitor)
        if route is None or allowed is None or method not in ("GET", "POST"):
            return ""
        return "" if who in {each.value for each in allowed} else who or "nobody"

    def _look_for_forms(self, path: str, answer: Answer) -> None:
        """The second of two steps stands on the answer to the first."""
        for form in Page(answer.text, path).forms:
            if form.method == "post" and shape(form) not in self._shapes:
                self._shapes.add(shape(form))
                for each in self._found.sent(form):
                    self._learn(each)

    def _follow(self, answer: Answer) -> None:
        """What was stored can be shown."""
        address = answer.location.removeprefix("http://localhost")
        found = self._answered("GET", address, Message(f"GET {address}"))
        with with_reason(found):
            judge_page("GET", address.partition("?")[0], found)

    def _stay_signed_in(self, visitor: str) -> None:
        """Where somebody's session has ended, another copy of the workshop is begun."""
        secret = self._house.facts["sessions"].get(visitor)
        if secret and session_holder(self._house.workshop, secret) is None:
            self._house.rest()

    def _rows(self) -> dict[str, int]:
        return {name: count for name, count in self._house.rows().items() if name != TRIES}

    def rest(self) -> None:
        """The file is audited and begun anew. Raises Fault also for a page that was broken before anything
        was sent, and for a form that nobody sends."""
        self._house.rest()
        if self._complaints:
            raise Fault("; ".join(self._complaints))


def _as_sent(text: str) -> str:
    """A header's text as it arrives: bytes, each a letter."""
    return text.encode("utf-8").decode("latin-1")
