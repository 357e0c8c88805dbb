"""The state of the workshop file in the text form that is scraped; asked when somebody scrapes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, get_args

from prometheus_client import CollectorRegistry, generate_latest
from prometheus_client.core import CounterMetricFamily, GaugeMetricFamily, Metric
from prometheus_client.registry import Collector

from buildsheet import __version__
from buildsheet.actions.figures import DONE, Figures, standing
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.states import OrderState, WheelState

_ENDS: Final = frozenset({"shipped", "closed", "cancelled", "stock"})
ORDER_STATES: Final = (*(each for each in get_args(OrderState) if each not in _ENDS), DONE)
WHEEL_STATES: Final = (*(each for each in get_args(WheelState) if each not in _ENDS), DONE)


def standing_text(workshop: Workshop) -> bytes:
    """The figures of this moment; where the file cannot be read, only that it cannot."""
    try:
        figures = standing(workshop)
    except WorldError:
        figures = None
    registry = CollectorRegistry()
    registry.register(_Told(figures))
    return generate_latest(registry)


class _Told(Collector):
    """The figures as families of the counting library."""

    def __init__(self, figures: Figures | None) -> None:
        self._figures = figures

    def collect(self) -> Iterator[Metric]:
        yield _by("build_info", "The program that answers.", "version", {__version__: 1})
        readable = int(self._figures is not None)
        yield _one(
            "database_readable", "1 where the workshop file could be read just now.", readable
        )
        if self._figures is not None:
            yield from _families(self._figures)


def _families(seen: Figures) -> Iterator[Metric]:
    says = "Orders by state; done: shipped, closed and cancelled ones."
    orders = {state: seen.orders.get(state, 0) for state in ORDER_STATES}
    yield _by("orders", says, "state", orders)
    says = "Wheels by state; done: shipped and cancelled ones, and those set aside."
    wheels = {state: seen.wheels.get(state, 0) for state in WHEEL_STATES}
    yield _by("wheels", says, "state", wheels)
    yield _one("holds", "Wheels that parts are set aside for.", seen.holds)
    free = {"some": seen.articles_free, "none": seen.articles_out, "owed": seen.articles_owed}
    says = "Articles by whether pieces are free; owed: more is held than lies there."
    yield _by("stock_articles", says, "free", free)
    events = CounterMetricFamily("buildsheet_events", "Events since the workshop file was begun.")
    events.add_metric([], seen.events)
    yield events
    well = seen.receivers - seen.receivers_failing
    told = {"well": well, "failing": seen.receivers_failing}
    says = "Receivers of events, by whether they took the last one."
    yield _by("webhook_receivers", says, "state", told)
    says = "Events still to be sent, once for each receiver."
    yield _one("webhook_events_pending", says, seen.events_to_send)
    says = "The edition that orders are held to now; 0 before the first."
    yield _one("edition", says, seen.edition or 0)
    yield _one("schema", "The newest step that the tables have had.", seen.schema)
    sizes = {"file": seen.file_bytes, "log": seen.log_bytes}
    yield _by("database_bytes", "The workshop file on the disk, and its log.", "part", sizes)


def _one(name: str, says: str, value: int) -> Metric:
    return GaugeMetricFamily(f"buildsheet_{name}", says, value=value)


def _by(name: str, says: str, label: str, values: dict[str, int]) -> Metric:
    family = GaugeMetricFamily(f"buildsheet_{name}", says, labels=[label])
    for word, value in values.items():
        family.add_metric([word], value)
    return family
