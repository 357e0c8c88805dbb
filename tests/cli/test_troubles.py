"""The world's troubles: one clean line on standard error, the right code, never a traceback."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from buildsheet.actions.workshop import Workshop
from buildsheet.storage import database
from tests.workshops import EXAMPLES

ORDER = EXAMPLES / "D-1001.json"
COMMAND = (sys.executable, "-c", "from buildsheet.cli import main; main()")


def in_one_line(err: str) -> bool:
    return err.startswith("buildsheet: ") and err.count("\n") == 1 and "Traceback" not in err


@pytest.mark.parametrize("file", ["absent.json", ".", "absent/order.json", "x" * 300])
@pytest.mark.parametrize("words", [("check",), ("sheet", "--out", "out"), ("wheel",)])
def test_a_file_that_cannot_be_read(said, tmp_path: Path, monkeypatch, words, file: str):
    monkeypatch.chdir(tmp_path)
    answer = said(*words, file)
    assert answer.code == 2
    assert in_one_line(answer.err)
    assert answer.out == ""
    assert list(tmp_path.iterdir()) == []


def test_a_workshop_that_is_named_must_be_there(said, tmp_path: Path):
    answer = said("check", ORDER, "--db", tmp_path / "absent.db")
    assert answer.code == 2
    assert in_one_line(answer.err)
    assert "no workshop file" in answer.err


def test_a_workshop_that_is_no_database(said, tmp_path: Path):
    file = tmp_path / "workshop.db"
    file.write_text("a shopping list " * 100)
    for words in (("check", ORDER), ("serve",), ("catalog", "load", tmp_path)):
        answer = said(*words, "--db", file)
        assert answer.code == 2
        assert in_one_line(answer.err)
        assert "not a database" in answer.err


def test_a_workshop_without_a_catalog(said, empty_workshop: Workshop):
    answer = said("check", ORDER, "--db", empty_workshop.path)
    assert answer.code == 2
    assert in_one_line(answer.err)
    assert "buildsheet catalog load" in answer.err


def test_a_workshop_that_another_program_holds(
    said, workshop: Workshop, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    monkeypatch.setattr(database, "BUSY_TIMEOUT_MS", 20)
    other = sqlite3.connect(str(workshop.path), isolation_level=None)
    other.execute("begin immediate")
    answer = said("serve", "--db", workshop.path)
    other.execute("rollback")
    other.close()
    assert answer.code == 2
    assert in_one_line(answer.err)
    assert "locked" in answer.err


def test_a_directory_that_cannot_take_the_sheets(said, workshop: Workshop, tmp_path: Path):
    (tmp_path / "out").write_text("a file stands here")
    for out in ("out", "out/deeper"):
        answer = said("sheet", ORDER, "--out", tmp_path / out, "--db", workshop.path)
        assert answer.code == 2
        assert in_one_line(answer.err)


@pytest.mark.parametrize(
    "words",
    [
        ("no-such-command",),
        ("check",),
        ("check", "a", "b"),
        ("check", "a", "--no-such-option"),
        ("sheet", "a"),
        ("sheet", "a", "--out", "b", "--paper", "a3"),
        ("catalog", "no-such-command"),
        ("serve", "--port", "0"),
        ("serve", "--workers", "many"),
    ],
)
def test_wrong_use_leaves_with_2_and_says_how(said, words):
    answer = said(*words)
    assert answer.code == 2
    assert "Error" in answer.err
    assert answer.out == ""


@pytest.mark.parametrize(
    "words", [(), ("check",), ("sheet",), ("wheel",), ("demo",), ("serve",), ("catalog",)]
)
def test_every_command_helps(said, words):
    answer = said(*words, "--help")
    assert answer.code == 0
    assert "Usage: buildsheet" in answer.out


def test_a_reader_that_leaves_is_no_trouble(workshop: Workshop):
    command = subprocess.Popen(
        [*COMMAND, "check", str(ORDER), "--db", str(workshop.path), "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert command.stdout is not None
    assert command.stderr is not None
    command.stdout.close()
    err = command.stderr.read()
    command.stderr.close()
    assert (command.wait(timeout=60), err) == (141, b"")


def test_a_full_disk_behind_standard_output(workshop: Workshop):
    if not Path("/dev/full").exists():
        pytest.fail("this machine has no /dev/full")
    with Path("/dev/full").open("wb") as full:
        command = subprocess.run(
            [*COMMAND, "check", str(ORDER), "--db", str(workshop.path)],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            timeout=60,
            check=False,
        )
    assert command.returncode == 2
    assert in_one_line(command.stderr)
    assert "No space left" in command.stderr


def test_an_interrupted_command_leaves_without_a_traceback(workshop: Workshop):
    # It waits for standard input, which never comes.
    command = subprocess.Popen(
        [*COMMAND, "check", "-", "--db", str(workshop.path)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    time.sleep(1.5)
    command.send_signal(signal.SIGINT)
    out, err = command.communicate(timeout=60)
    assert (command.returncode, out, err) == (130, b"", b"")


def test_a_fault_of_the_program_is_one_line_too(said, monkeypatch: pytest.MonkeyPatch):
    def broken(*given: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr("buildsheet.cli.order.check_order", broken)
    answer = said("check", ORDER)
    assert answer.code == 2
    assert in_one_line(answer.err)
    assert "a fault of the program: ZeroDivisionError" in answer.err
    monkeypatch.setenv("BUILDSHEET_TRACE", "1")
    with pytest.raises(ZeroDivisionError):
        said("check", ORDER)


def test_a_port_that_is_taken(said, workshop: Workshop):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        answer = said("serve", "--port", port, "--db", workshop.path)
    assert answer.code == 2
    assert in_one_line(answer.err)
    assert f"port {port}" in answer.err


def test_the_service_answers_and_stops_when_it_is_told(workshop: Workshop):
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = subprocess.Popen(
        [*COMMAND, "serve", "--db", str(workshop.path), "--port", str(port), "--workers", "1"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        health = None
        for _ in range(150):
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/healthz") as answer:
                    health = json.load(answer)
                break
            except OSError:
                time.sleep(0.2)
        assert health is not None
        assert (health["database"], health["edition"]) == ("writable", 16)
    finally:
        server.terminate()
        code = server.wait(timeout=60)
    assert code == 0
