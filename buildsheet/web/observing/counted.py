"""What the workers count: requests and how long they took, orders by what became of them, verdicts.

Every label is one of a list that the program knows: a name made up by a visitor never becomes one.
"""

from __future__ import annotations

import json
from typing import Final, cast

from flask import Flask, current_app
from prometheus_client import CollectorRegistry, Counter, Histogram, generate_latest
from prometheus_client.multiprocess import MultiProcessCollector

from buildsheet.web.observing.shared import directory_here

BOUNDS_S: Final = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
OUTCOMES: Final = ("taken", "replayed", "refused", "short", "conflict", "key-reused")
VERDICTS: Final = ("pass", "pass-with-remark", "rework", "stop", "not-judged")
NOWHERE: Final = "(none)"
"""The route of an address that is none of ours."""

OTHER: Final = "other"
METHODS: Final = frozenset({"GET", "HEAD", "POST", "PUT", "DELETE", "OPTIONS"})

_NAME: Final = "buildsheet-counted"


class Counted:
    """The counts of this process, or of all workers of this service where they share a directory."""

    def __init__(self) -> None:
        self._registry = CollectorRegistry()
        self._requests = Histogram(
            "buildsheet_request_duration_seconds",
            "Time from the request's first look to its answer, by route as the program writes it.",
            ("route", "method", "status"),
            buckets=BOUNDS_S,
            registry=self._registry,
        )
        self._orders = Counter(
            "buildsheet_posted_orders",
            "Orders posted to this service, by what became of them; a batch counts each.",
            ("outcome",),
            registry=self._registry,
        )
        self._passes = Counter(
            "buildsheet_passes",
            "Passes of readings posted to this service, by verdict; repeated ones count once.",
            ("verdict",),
            registry=self._registry,
        )
        # Finding a labelled count costs more than counting: each is looked up once.
        self._by_request: dict[tuple[str, str, int], Histogram] = {}
        self._by_outcome = {each: self._orders.labels(each) for each in OUTCOMES}
        self._by_verdict = {each: self._passes.labels(each) for each in VERDICTS}

    def request(self, route: str, method: str, status: int, took_s: float) -> None:
        """Count one answered request; ``route`` as the url map has it."""
        what = (route, method, status // 100)
        known = self._by_request.get(what)
        if known is None:
            known = self._requests.labels(route, method, f"{status // 100}xx")
            self._by_request[what] = known
        known.observe(took_s)

    def order(self, outcome: str) -> None:
        """Count one posted order; ``outcome`` as `actions.intake.earlier.Took` has it."""
        self._by_outcome[outcome].inc()

    def reading(self, outcome: str, answer: str) -> None:
        """Count one posted pass; both as `actions.bench.steps.Answer` has them."""
        if outcome == "kept":
            self._by_verdict[json.loads(answer)["verdict"]].inc()

    def text(self) -> bytes:
        """All counts in the text form that is scraped."""
        directory = directory_here()
        if directory is None:
            return generate_latest(self._registry)
        everyones = CollectorRegistry()
        MultiProcessCollector(everyones, directory)  # type: ignore[no-untyped-call]
        return generate_latest(everyones)


def put_counted(app: Flask) -> Counted:
    """Give the application its counts."""
    counted = Counted()
    app.extensions[_NAME] = counted
    return counted


def counted_here() -> Counted:
    """The counts of the application that serves this request."""
    return cast("Counted", current_app.extensions[_NAME])
