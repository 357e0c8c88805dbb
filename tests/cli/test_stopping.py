"""The service is stopped, and loses a worker: what was asked is answered, and nothing is half there."""

from __future__ import annotations

import os
import signal
import socket
from typing import Any

from buildsheet.actions.workshop import Workshop
from tests.cli.served import PATIENCE_S, held_up, order, serving, starting, taken, until
from tests.workshops import raw


def troubles(lines: list[dict[str, Any]]) -> list[str]:
    """What went wrong, and whom the server lost its patience with."""
    said = [line for line in lines if "says" in line]
    return [
        line["says"]
        for line in said
        if line["level"] == "error" or "refused to gracefully stop" in line["says"]
    ]


def test_told_to_stop_it_answers_what_was_asked_and_nobody_new(workshop: Workshop):
    path = workshop.path
    with serving(path) as served:
        body = raw(order("SLOW-1"))
        head = (
            "POST /api/v1/orders HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
            f"Content-Length: {len(body)}\r\nConnection: close\r\n\r\n"
        )
        with socket.create_connection(("127.0.0.1", served.port), PATIENCE_S) as slow:
            with held_up(path):
                # More than there are threads, so that some of them only wait for one.
                for number in range(20):
                    served.post(f"G-{number}")
                slow.sendall(head.encode() + body[:100])
                until(lambda: served.has_read(21))
                served.process.send_signal(signal.SIGTERM)
                until(served.is_refused)
                served.process.send_signal(signal.SIGTERM)
                slow.sendall(body[100:])
                assert set(served.answers.values()) == {None}
            slow_answer = slow.recv(12, socket.MSG_WAITALL)
        served.all_sent()
        lines = served.lines()
    assert served.process.returncode == 0
    assert slow_answer == b"HTTP/1.1 201"
    assert served.answers == {f"G-{number}": 201 for number in range(20)}
    assert taken(path) == {"SLOW-1", *served.answers}
    asked = [line for line in lines if line.get("route") == "/api/v1/orders"]
    assert [line["status"] for line in asked] == [201] * 21
    assert [line for line in lines if line["level"] != "info"] == []


def test_told_to_stop_while_it_starts_it_does_not_wait_for_its_limit(workshop: Workshop):
    with starting(workshop.path, stop_limit_s=50.0) as served:
        until(lambda: served.said("Spawning worker-2"))
        served.process.send_signal(signal.SIGTERM)
        assert troubles(served.lines()) == []
    assert served.process.returncode == 0


def test_what_takes_longer_than_the_limit_is_not_stored_and_not_answered(workshop: Workshop):
    path = workshop.path
    with serving(path, stop_limit_s=1.0) as served:
        with held_up(path):
            served.post("LATE-1")
            until(lambda: served.has_read(1))
            served.process.send_signal(signal.SIGTERM)
            served.process.wait(PATIENCE_S)
        served.all_sent()
        lines = served.lines()
    assert served.process.returncode == 0
    assert served.answers == {"LATE-1": None}
    assert taken(path) == set()
    assert troubles(lines)[0].startswith("Killing worker")


def test_a_worker_that_is_killed_is_replaced_and_the_counts_go_on(workshop: Workshop):
    path = workshop.path
    with serving(path) as served:
        served.post("K-1")
        served.all_sent()
        first, second = served.workers()
        with held_up(path):
            for number in range(2, 8):
                served.post(f"K-{number}")
            until(lambda: served.has_read(6))
            os.kill(first, signal.SIGKILL)
            until(lambda: first not in served.workers() and len(served.workers()) == 2)
            assert second in served.workers()
        served.all_sent()
        served.post("K-8")
        served.all_sent()
        counted = served.ask("GET", "/metrics")[1].decode()
        served.process.send_signal(signal.SIGTERM)
        served.lines()
    assert served.process.returncode == 0
    answered = {number for number, status in served.answers.items() if status == 201}
    assert {"K-1", "K-8"} <= answered
    assert taken(path) == answered, "whoever was killed waited, and had stored nothing"
    assert f'posted_orders_total{{outcome="taken"}} {len(answered)}.0' in counted
