"""The fuzz soak finds what is planted: applications and functions that do what none may are named."""

from __future__ import annotations

import functools
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import Any, Final

import pytest
from flask import Flask, abort, request
from schemathesis import GenerationMode

from buildsheet.actions.workshop import Workshop
from buildsheet.web.app import create_app
from tests.soak import fuzz
from tests.soak.fuzzing.described import Described
from tests.soak.fuzzing.loop import Bounds, Course, Fault, Figures, Input, Ledger, Target, Told
from tests.soak.fuzzing.posted import targets
from tests.soak.fuzzing.processes import Worker
from tests.soak.fuzzing.workshop import House, made

CHECK: Final = "/api/v1/gauges/check"
SHORT: Final = Bounds(hangs_s=1.0)
"""For what hangs; all else has the time that the soak gives it, on a machine with other work as well."""


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any]]:
    """A workshop's file with everything in it, and what is there."""
    path = tmp_path_factory.mktemp("fuzz") / "template.db"
    return path, made(path)


Planting = Callable[[Callable[[Workshop], object]], House]


@pytest.fixture
def planted(template: tuple[Path, dict[str, Any]], tmp_path: Path) -> Iterator[Planting]:
    """A house whose application does something else first, for every request that its guards let in."""
    houses: list[House] = []

    def house(deed: Callable[[Workshop], object]) -> House:
        def application(workshop: Workshop) -> Flask:
            app = create_app(workshop)

            def first() -> Any:
                return deed(workshop)

            app.before_request(first)
            return app

        houses.append(House(*template, tmp_path, application))
        return houses[-1]

    yield house
    for each in houses:
        each.close()


@contextmanager
def ledger_in(folder: Path, name: str) -> Iterator[Ledger]:
    ledger = Ledger(folder, name)
    yield ledger
    ledger.close()


def faults_of(house: House, folder: Path, bounds: Bounds | None = None) -> list[str]:
    """What the soak says of an application, asked with every sound document about gauges."""
    target = targets(house)["gauges"]
    with ledger_in(folder, "gauges") as ledger:
        return Course(target, 1, ledger, bounds).run(len(target.seeds())).faults


def at_a_check(deed: Callable[[Workshop], object]) -> Callable[[Workshop], object]:
    return lambda workshop: deed(workshop) if request.path == CHECK else None


def test_a_sound_application_has_no_fault(planted: Planting, tmp_path: Path):
    assert faults_of(planted(lambda _: None), tmp_path) == []


def test_an_application_that_breaks_at_an_input_is_named_with_it(planted: Planting, tmp_path: Path):
    def broken(_: Workshop) -> None:
        if b'"good": false' in request.get_data():
            raise RuntimeError("planted")

    (fault,) = faults_of(planted(broken), tmp_path)
    assert fault.startswith("gauges: RuntimeError at test_judge.py:")
    assert f"500 for POST {CHECK}" in fault
    assert "planted" in fault
    (kept,) = tmp_path.glob("gauges-0-1.bin")
    assert kept.read_bytes().startswith(f"POST {CHECK}\n".encode())
    assert "RuntimeError: planted" in kept.with_suffix(".txt").read_text()


def test_an_application_that_hangs_is_named(planted: Planting, tmp_path: Path):
    (fault,) = faults_of(planted(at_a_check(lambda _: time.sleep(60))), tmp_path, SHORT)
    assert "TooLong at" in fault
    assert "more than 1 s by the clock" in fault
    assert f"POST {CHECK}" in fault


def test_a_process_that_only_stood_still_is_asked_again(tmp_path: Path):
    naps = [60.0]

    def napping(number: int) -> None:
        if number == 17 and naps:
            time.sleep(naps.pop())

    with ledger_in(tmp_path, "numbers") as ledger:
        figures = Course(Doctored(napping), 1, ledger, SHORT).run(60)
    assert (figures.faults, figures.stood_still, figures.inputs) == ([], 1, 60)


def test_an_application_that_is_slow_is_named(planted: Planting, tmp_path: Path):
    def slow(_: Workshop) -> None:
        end = time.process_time() + 0.6
        while time.process_time() < end:
            pass

    bounds = Bounds(slow_s=0.5, hangs_s=60.0)
    (fault,) = faults_of(planted(at_a_check(slow)), tmp_path, bounds)
    assert "s of processor time" in fault
    assert f"POST {CHECK}" in fault


def test_an_application_that_stores_something_of_what_it_refuses_is_named(
    planted: Planting, tmp_path: Path
):
    def half(workshop: Workshop) -> None:
        with workshop.database.writing() as section:
            section.run("update stock_levels set bin = 'X'")
        abort(400)

    (fault,) = faults_of(planted(at_a_check(half)), tmp_path)
    assert f"400 for POST {CHECK} and the file has changed" in fault


def test_an_application_that_stores_half_of_what_it_takes_is_named(
    planted: Planting, tmp_path: Path
):
    def half(workshop: Workshop) -> None:
        with workshop.database.writing() as section:
            section.run("update stock_levels set held = held + 1 where item = 'OR33D/24'")

    (fault,) = faults_of(planted(at_a_check(half)), tmp_path)
    assert "in an audit" in fault
    assert "OR33D/24" in fault
    assert "after a round" in fault


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        (("no", 404), "404 as text/html"),
        (({"force_n": float("nan")}, 200), "NaN in an answer"),
        (("Traceback (most recent call last)", 200), "a traceback in the answer"),
    ],
)
def test_an_application_that_answers_as_none_may_is_named(
    planted: Planting, tmp_path: Path, answer: Any, says: str
):
    (fault,) = faults_of(planted(at_a_check(lambda _: answer)), tmp_path)
    assert says in fault


def test_an_application_that_takes_what_its_description_forbids_is_named(
    planted: Planting, tmp_path: Path
):
    house = planted(at_a_check(lambda _: ({"new": True}, 201)))
    with ledger_in(tmp_path, "described") as ledger:
        described = Described(house, Figures("described"), ledger)
        described._operation("checkGauge", GenerationMode.NEGATIVE, 5, 1)
    (fault,) = described.figures.faults
    assert "POST /gauges/check" in fault
    assert "Schema-violating request accepted" in fault


def test_an_application_that_lets_in_whom_its_matrix_does_not_is_named(
    planted: Planting, tmp_path: Path
):
    house = planted(lambda _: None)
    house.app.before_request_funcs[None].clear()
    with ledger_in(tmp_path, "described") as ledger:
        described = Described(house, Figures("described"), ledger)
        described._operation("checkGauge", GenerationMode.POSITIVE, 20, 1)
    assert any("intake is answered" in fault for fault in described.figures.faults)


class Doctored:
    """A function that is asked for a number."""

    name = "numbers"

    def __init__(self, function: Callable[[int], object]) -> None:
        self._function, self._turn = function, 0

    def seeds(self) -> Sequence[Input]:
        return [Input("0", b"")]

    def next(self, dice: Random, corpus: Sequence[Input]) -> Input:
        self._turn += 1
        return Input(str(self._turn), b"")

    def ask(self, one: Input) -> Told:
        self._function(int(one.where))
        return Told(True, frozenset())

    def rest(self) -> None:
        """Nothing is stored."""


def faults_in(target: Target, folder: Path, bounds: Bounds | None = None) -> list[str]:
    with ledger_in(folder, target.name) as ledger:
        return Course(target, 1, ledger, bounds).run(60).faults


def test_a_function_that_fails_for_one_number_is_named_with_it(tmp_path: Path):
    (fault,) = faults_in(Doctored(lambda number: 1 // (17 - number)), tmp_path)
    assert fault.startswith("numbers: ZeroDivisionError at test_judge.py:")
    assert "\n    17 b'' (0 bytes)" in fault


def test_a_memory_that_inputs_fill_is_named(tmp_path: Path):
    remembered: Any = functools.lru_cache(maxsize=None)(lambda number: number)
    remembered.__module__, remembered.__name__ = "buildsheet.planted", "remembered"
    bounds = Bounds(remembered=50)
    found = [
        each for each in faults_in(Doctored(remembered), tmp_path, bounds) if "planted" in each
    ]
    assert found == ["buildsheet.planted.remembered remembers 60 and has no bound"]


DIES: Final = """
import pathlib, sys
folder = pathlib.Path(sys.argv[4])
(folder / "one 0.now").write_bytes(b"where\\nwhat killed it")
DEED
"""


@pytest.mark.parametrize(
    ("deed", "code"), [("sys.exit(3)", "3"), ("import time; time.sleep(60)", "-9")]
)
def test_a_process_that_dies_or_falls_silent_is_named_with_what_it_was_doing(
    tmp_path: Path, deed: str, code: str
):
    command = [sys.executable, "-c", DIES.replace("DEED", deed)]
    worker = Worker(0, 1, [("one", 5)], tmp_path, command, silent_s=0.5)
    while not worker.is_done():
        time.sleep(0.02)
    (figures,) = worker.figures
    (fault,) = figures.faults
    assert f"one: the process ended with {code} at an input kept as one-died-0.bin" in fault
    assert (tmp_path / "one-died-0.bin").read_bytes() == b"where\nwhat killed it"


def test_a_fault_or_too_few_inputs_do_not_hold_the_bar(capsys: pytest.CaptureFixture[str]):
    sound = Figures("orders", inputs=fuzz.WANTED, accepted=1)
    assert fuzz.told([sound], 1.0, whole=True)
    assert not fuzz.told([Figures("orders", inputs=fuzz.WANTED - 1)], 1.0, whole=True)
    faulty = Figures("orders", inputs=fuzz.WANTED, faults=["orders: 500"])
    assert not fuzz.told([faulty], 1.0, whole=True)
    assert "FAULT orders: 500" in capsys.readouterr().out


def test_what_is_asked_in_a_whole_run_is_enough():
    assert sum(fuzz.INPUTS.values()) >= fuzz.WANTED


def test_a_fault_is_an_exception_of_its_own():
    assert not issubclass(AssertionError, Fault)
