"""Every kind of input in two processes at once; a process that dies or hangs is itself a finding."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Final

from tests.soak.fuzzing.loop import Figures

SILENT_S: Final = 240.0
"""Without another input begun, after which a process hangs: more than the bound of one input, on a machine
that others use as well."""

COMMAND: Final = (sys.executable, "-m", "tests.soak.fuzzing")


class Worker:
    """One process, its share of every kind, and the file it tells its figures in."""

    def __init__(
        self,
        number: int,
        seed: int,
        shares: Sequence[tuple[str, int]],
        folder: Path,
        command: Sequence[str] = COMMAND,
        silent_s: float = SILENT_S,
    ) -> None:
        self.number, self._seed, self._folder = number, seed, folder
        self._command, self._silent_s = command, silent_s
        self._waiting = [*shares]
        self.figures: list[Figures] = []
        self._process: subprocess.Popen[bytes] | None = None
        self._start()

    def _start(self) -> None:
        self._told = self._folder / f"worker-{self.number}.jsonl"
        self._told.write_text("")
        self._began = time.time()
        shares = ",".join(f"{name}={count}" for name, count in self._waiting)
        command = [*self._command, str(self._seed), str(self.number), shares]
        environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "PYTHONHASHSEED": "0"}
        self._log = (self._folder / f"worker-{self.number}.log").open("ab")
        self._process = subprocess.Popen(
            [*command, str(self._folder)], env=environment, stdout=self._log, stderr=self._log
        )

    def is_done(self) -> bool:
        """Whether nothing is left to do; looks after the process, and begins it again where it died."""
        if self._process is None:
            return True
        code = self._process.poll()
        if code is None:
            self._stop_if_silent()
            return False
        done = [Figures(**json.loads(line)) for line in self._told.read_text().splitlines()]
        self.figures += done
        left = self._waiting[len(done) :]
        if code != 0 and left:
            name, _ = left[0]
            now = self._now(name)
            kept = now.with_name(f"{name.replace(' ', '-')}-died-{self.number}.bin")
            kept.write_bytes(now.read_bytes() if now.exists() else b"")
            said = f"the process ended with {code} at an input kept as {kept.name}; see {self._log.name}"
            self.figures.append(Figures(name, faults=[f"{name}: {said}"]))
            left = left[1:]
        self._waiting, self._process = left, None
        self._log.close()
        if left:
            self._start()
        return not left

    def _now(self, name: str) -> Path:
        return self._folder / f"{name} {self.number}.now"

    def _stop_if_silent(self) -> None:
        files = [self._now(name) for name, _ in self._waiting]
        begun = [each.stat().st_mtime for each in files if each.exists()]
        last = max([self._began, *begun])
        if time.time() - last > self._silent_s and self._process is not None:
            self._process.send_signal(signal.SIGKILL)


def line_of(figures: Figures) -> str:
    """Figures as a line for the parent."""
    return json.dumps(asdict(figures)) + "\n"


def merged(figures: Sequence[Figures]) -> list[Figures]:
    """The figures of all workers by kind, in the order of the first."""
    found: dict[str, Figures] = {}
    for each in figures:
        if each.name not in found:
            found[each.name] = Figures(each.name)
        whole = found[each.name]
        whole.inputs += each.inputs
        whole.accepted += each.accepted
        whole.seconds = max(whole.seconds, each.seconds)
        whole.lines, whole.kept = max(whole.lines, each.lines), max(whole.kept, each.kept)
        whole.grown_mb = max(whole.grown_mb, each.grown_mb)
        whole.stood_still += each.stood_still
        if each.slowest_s > whole.slowest_s:
            whole.slowest_s, whole.slowest = each.slowest_s, each.slowest
        whole.faults += [fault for fault in each.faults if fault not in whole.faults]
    return [*found.values()]
