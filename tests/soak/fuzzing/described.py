"""Requests made up from the description itself, right ones and wrong ones, asked by every role: each gets
an answer that the description promises, or is turned away as the matrix says."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable
from random import Random
from time import monotonic, process_time
from typing import Any, Final

import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode, checks

from buildsheet.actions.people.roles import Role
from buildsheet.web.access.matrix import MATRIX
from buildsheet.web.openapi.routes import ROUTES
from tests.soak.fuzzing.loop import (
    HANGS_S,
    SLOW_S,
    Fault,
    Figures,
    Input,
    Ledger,
    TooLong,
    broke,
    patiently,
    shown,
)
from tests.soak.fuzzing.workshop import House
from tests.web.test_contract import beyond_description, operation_named

NAME: Final = "described requests"
ROLES: Final = (Role.OWNER, Role.OWNER, Role.OWNER, Role.MANAGER, Role.BUILDER, Role.INTAKE)
COUNTS_ALL: Final = (
    "showImpact",
    "planLengths",
    "planPrograms",
    "drawLengths",
    "publishDraft",
    "rollBack",
)
"""Operations that look at everything that can be ordered: seconds where an edition or a draft is new."""

MOST_COUNTED: Final = 12


class Described:
    """Every operation of the description, asked both ways."""

    def __init__(self, house: House, figures: Figures, ledger: Ledger) -> None:
        self._house, self.figures, self._ledger = house, figures, ledger
        self._seen: set[str] = set()
        self._statuses: Counter[str] = Counter()
        self.asked: Counter[str] = Counter()
        self._description = schemathesis.openapi.from_wsgi(
            "/api/v1/openapi.json", self._app, headers=house.key()
        )
        facts = house.facts
        self._there: dict[str, list[str]] = {
            "serial": [*facts["serials"]],
            "order_id": [*facts["orders"].values()],
            "number": ["16"],
            "code": ["OR33D", "SJB9", "NA12", "KF2"],
            "rule_id": ["few-spokes-heavy-rider"],
            "key": ["tension.gauge_error"],
            "spoke": ["SJB9"],
        }

    def _app(self, environ: Any, start: Any) -> Iterable[bytes]:
        """The application of this round."""
        return self._house.app(environ, start)

    def run(self, count: int, number: int) -> Figures:
        """So many requests, shared out among the operations."""
        began = monotonic()
        each = max(2, count // (2 * len(ROUTES)))
        for route in ROUTES:
            for mode in GenerationMode:
                some = min(each, MOST_COUNTED) if route.name in COUNTS_ALL else each
                self._operation(route.name, mode, some, number)
            self._rest()
        self.figures.seconds = monotonic() - began
        return self.figures

    def _operation(self, name: str, mode: GenerationMode, count: int, number: int) -> None:
        operation, dice = operation_named(self._description, name), Random(f"{number} {name}")

        @seed(number)
        @settings(
            max_examples=count,
            deadline=None,
            database=None,
            phases=(Phase.generate,),
            suppress_health_check=list(HealthCheck),
        )
        @given(operation.as_strategy(generation_mode=mode))
        def asked(case: schemathesis.Case[Any]) -> None:
            self._one(case, dice, name, is_right=mode is GenerationMode.POSITIVE)

        try:
            asked()
        except Unsatisfiable:
            return  # a route that takes nothing has nothing to be asked wrongly

    def _one(self, case: Any, dice: Random, name: str, *, is_right: bool) -> None:
        places = case.path_parameters or {}
        if is_right and dice.random() < 0.7:
            for place in {*places} & {*self._there}:
                places[place] = dice.choice(self._there[place])
        role = dice.choice(ROLES)
        if is_right and "If-Match" in (case.headers or {}) and dice.random() < 0.6:
            case.headers["If-Match"] = f'"{self._house.draft_version()}"'
        body = case.body if isinstance(case.body, (bytes, str)) else repr(case.body)
        one = Input(
            f"{case.method} {case.formatted_path} as {role}",
            str(body)[:50_000].encode("utf-8", "replace"),
        )
        self._ledger.about(one)
        before = process_time()
        try:
            patiently(lambda: self._judged(case, role), HANGS_S, self.figures)
        # Several failures of one answer come as a group that is no Exception.
        except (Exception, BaseExceptionGroup, TooLong) as trouble:  # noqa: BLE001 - it is looked for
            broke(self.figures, self._seen, trouble, one, self._ledger)
        taken = process_time() - before
        if taken > self.figures.slowest_s and name not in COUNTS_ALL:
            self.figures.slowest_s, self.figures.slowest = taken, shown(one)
        if taken > SLOW_S and name not in COUNTS_ALL:
            broke(self.figures, self._seen, Fault(f"took {taken:.1f} s"), one, self._ledger)
        self.figures.inputs += 1

    def _judged(self, case: Any, role: Role) -> None:
        response = case.call(headers=self._house.key(role.value))
        self._house.look_at(case.method, case.formatted_path, _Plain(response))
        self._statuses[str(response.status_code)] += 1
        place = _ROUTE_PLACE.sub(r"<\1>", case.path)
        route = f"{case.method.upper()} /api/v1{place}"
        allowed = MATRIX.get(route)
        if response.status_code == 403 and allowed is not None and role not in allowed:
            return
        if allowed is not None and role not in allowed and response.status_code not in (404, 405):
            raise Fault(f"{role} is answered {response.status_code} by {route}")
        if response.status_code == 403:
            return  # a key of a sender's own orders, or a name that is somebody else's
        self.figures.accepted += response.status_code < 400
        excluded = [*beyond_description(case), *_not_asked()]
        if response.status_code == 413:
            # Refused for its size, before anybody looked at its form: refused all the same.
            excluded.append(checks.negative_data_rejection)
        case.validate_response(response, excluded_checks=excluded)

    def _rest(self) -> None:
        try:
            self._house.rest()
        except Exception as trouble:  # noqa: BLE001 - as above
            broke(self.figures, self._seen, trouble, Input("after a round", b""), self._ledger)


_ROUTE_PLACE: Final = re.compile(r"\{(\w+)\}")


class _Plain:
    """A response in the words of the application's own client."""

    def __init__(self, response: Any) -> None:
        self.status_code = response.status_code
        self.mimetype = (response.headers.get("content-type") or [""])[0].split(";")[0]
        self._content = response.content

    def get_data(self) -> bytes:
        return bytes(self._content or b"")


def _not_asked() -> list[Callable[..., Any]]:
    """What needs further requests of its own, or a person who is nobody."""
    names = ("ignored_auth", "use_after_free", "ensure_resource_availability")
    return [getattr(checks, name) for name in names if hasattr(checks, name)]
