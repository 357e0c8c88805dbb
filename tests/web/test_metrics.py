"""Figures for a scraper: every request is counted, every state told, nothing sent is in them."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from prometheus_client.parser import text_string_to_metric_families

from buildsheet.actions.people.keys import add_key
from buildsheet.actions.people.roles import Role
from buildsheet.actions.webhooks import receivers
from buildsheet.actions.workshop import Workshop
from buildsheet.errors import WorldError
from buildsheet.storage.migrations import steps
from buildsheet.web.app import create_app
from buildsheet.web.observing.shared import VARIABLE, directory_here, shared_counts
from tests.actions.moves.asking import cancel
from tests.workshops import example, raw

JSON = "application/json"
Samples = dict[tuple[str, tuple[tuple[str, str], ...]], float]


def scraped(client: FlaskClient, **headers: str) -> Samples:
    """Every figure by name and labels, as a scraper reads them."""
    answer = client.get("/metrics", headers=headers)
    assert answer.status_code == 200
    assert answer.content_type == "text/plain; version=0.0.4; charset=utf-8"
    return {
        (sample.name, tuple(sorted(sample.labels.items()))): sample.value
        for family in text_string_to_metric_families(answer.text)
        for sample in family.samples
    }


def figure(samples: Samples, name: str, **labels: str) -> float:
    return samples[f"buildsheet_{name}", tuple(sorted(labels.items()))]


def requests_of(samples: Samples, route: str, method: str, status: str) -> float:
    labels = {"route": route, "method": method, "status": status}
    return figure(samples, "request_duration_seconds_count", **labels)


def post(client: FlaskClient, document: object, **headers: str) -> int:
    path = "/api/v1/orders"
    return client.post(path, data=raw(document), content_type=JSON, headers=headers).status_code


def test_requests_are_counted_by_route_method_and_class(client: FlaskClient):
    for number in range(3):
        client.get(f"/api/v1/orders/A31-9999{number}-X")
    client.get("/api/v1/orders")
    samples = scraped(client)
    assert requests_of(samples, "/api/v1/orders/<order_id>", "GET", "4xx") == 3
    assert requests_of(samples, "/api/v1/orders", "GET", "2xx") == 1
    buckets = [
        value
        for (name, labels), value in samples.items()
        if name.endswith("_bucket") and ("route", "/api/v1/orders") in labels
    ]
    assert buckets == sorted(buckets)
    assert buckets[-1] == 1


def test_orders_are_counted_by_what_became_of_them(client: FlaskClient):
    order = example("D-1001")
    codes = [post(client, order), post(client, order), post(client, example("D-1005"))]
    codes.append(post(client, {**order, "note": "another text under the same number"}))
    assert codes == [201, 201, 422, 409]
    samples = scraped(client)
    counts = {
        outcome: figure(samples, "posted_orders_total", outcome=outcome)
        for outcome in ("taken", "replayed", "refused", "short", "conflict", "key-reused")
    }
    assert counts == {
        "taken": 1,
        "replayed": 1,
        "refused": 1,
        "short": 0,
        "conflict": 1,
        "key-reused": 0,
    }


def test_each_order_of_a_batch_and_of_a_page_counts(client: FlaskClient):
    both = {"orders": [example("D-1001"), example("D-1005")]}
    client.post("/api/v1/orders/batch", data=raw(both), content_type=JSON)
    client.post(
        "/orders/new",
        data={"order": raw(example("D-1002")).decode(), "deed": "take"},
        headers={"Sec-Fetch-Site": "same-origin"},
    )
    samples = scraped(client)
    assert figure(samples, "posted_orders_total", outcome="taken") == 2
    assert figure(samples, "posted_orders_total", outcome="refused") == 1


def test_the_state_of_the_file_is_asked_when_somebody_scrapes(
    client: FlaskClient, workshop: Workshop
):
    before = scraped(client)
    assert figure(before, "orders", state="accepted") == 0
    assert figure(before, "webhook_receivers", state="well") == 0
    receivers.add_receiver(workshop, "erp", "http://127.0.0.1:9/", by="O. Owner")
    post(client, example("D-1001"))
    after = scraped(client)
    assert figure(after, "orders", state="accepted") == 1
    assert figure(after, "wheels", state="planned") == 2
    cancel(workshop, client.get("/api/v1/orders").json["orders"][0]["id"])
    gone = scraped(client)
    for name, count in (("orders", 1), ("wheels", 2)):
        assert figure(gone, name, state="done") == count
        assert (
            sum(value for (each, _), value in gone.items() if each == f"buildsheet_{name}") == count
        )
    assert figure(after, "webhook_receivers", state="well") == 1
    happened = figure(after, "events_total") - figure(before, "events_total")
    assert happened >= 1
    assert 1 <= figure(after, "webhook_events_pending") <= happened
    assert figure(after, "edition") == 16
    assert figure(after, "schema") == max(int(step.name[:4]) for step in steps._migrations)
    assert figure(after, "database_bytes", part="file") == workshop.path.stat().st_size
    assert figure(after, "database_bytes", part="log") > 0
    assert figure(after, "database_readable") == 1


def test_every_figure_is_explained_and_no_other(client: FlaskClient):
    told = {
        name.removeprefix("buildsheet_").removesuffix("_count")
        for name, _ in scraped(client)
        if not name.endswith(("_bucket", "_sum", "_created"))
    }
    page = (Path(__file__).parents[2] / "docs" / "running.md").read_text(encoding="utf-8")
    table = [line for line in page.splitlines() if line.startswith("| `buildsheet_")]
    explained = {name for line in table for name in re.findall(r"`buildsheet_(\w+)`", line)}
    assert explained == told | {"request_duration_seconds"}


def test_a_file_that_cannot_be_read_leaves_the_counts(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
):
    def broken(*given: object) -> None:
        raise WorldError("disk I/O error")

    client.get("/api/v1/orders")
    monkeypatch.setattr("buildsheet.web.observing.standing.standing", broken)
    samples = scraped(client)
    assert figure(samples, "database_readable") == 0
    assert requests_of(samples, "/api/v1/orders", "GET", "2xx") == 1
    assert ("buildsheet_edition", ()) not in samples


def test_no_visitor_makes_up_a_label(client: FlaskClient):
    def labels() -> set[str]:
        names = {word for _, pairs in scraped(client) for _, word in pairs}
        return {word for word in names if not re.fullmatch(r"[0-9.]+|\+Inf", word)}

    labels()  # scraping is a request too, and has a label of its own
    for path in ("/a", "/w/SECRETCODE", "/api/v1/a", "/api/v1/orders/A31-00001-X"):
        for method in ("GET", "POST", "MADEUP"):
            client.open(path, method=method)
    first = labels()
    assert not [word for word in first if "SECRET" in word or "A31" in word or "MADE" in word]
    for number in range(40):
        client.open(f"/made-up-{number}", method=f"M{number}")
        client.get(f"/w/CODE{number}")
    assert labels() == first


def test_a_closed_workshop_tells_figures_to_owners_and_to_watching_keys(workshop: Workshop):
    keys = {role: add_key(workshop, f"key-{role}", role).text for role in Role}
    client = create_app(workshop).test_client()
    for role, key in keys.items():
        answer = client.get("/metrics", headers={"Authorization": f"Bearer {key}"})
        allowed = role in {Role.OWNER, Role.WATCH}
        assert answer.status_code == (200 if allowed else 403), role
    nobody = client.get("/metrics")
    assert (nobody.status_code, nobody.mimetype) == (401, "application/problem+json")
    assert nobody.headers["WWW-Authenticate"].startswith("Bearer")


def test_counts_lie_where_the_service_was_given_room_and_go_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.delenv(VARIABLE, raising=False)
    monkeypatch.setenv("RUNTIME_DIRECTORY", f"{tmp_path}:/elsewhere")
    with shared_counts() as directory:
        assert directory.parent == tmp_path
        assert directory_here() == str(directory)
    assert directory_here() is None
    assert list(tmp_path.iterdir()) == []
    monkeypatch.setenv("RUNTIME_DIRECTORY", str(tmp_path / "not-there"))
    with shared_counts() as directory:
        assert directory.is_dir()


def test_workers_that_share_a_directory_are_summed(tmp_path: Path):
    """Two processes count; whichever is asked tells the sum, also once one of them is gone."""
    script = (
        "from buildsheet.web.observing.counted import Counted\n"
        "counted = Counted()\n"
        "counted.order('taken')\n"
        "counted.request('/', 'GET', 200, 0.004)\n"
        "print(counted.text().decode())\n"
    )

    def run() -> str:
        return subprocess.run(
            [sys.executable, "-c", script],
            env={"PROMETHEUS_MULTIPROC_DIR": str(tmp_path), "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout

    assert 'buildsheet_posted_orders_total{outcome="taken"} 1.0' in run()
    second = run()
    assert 'buildsheet_posted_orders_total{outcome="taken"} 2.0' in second
    assert 'route="/",status="2xx"} 2.0' in second
