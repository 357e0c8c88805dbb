"""One worker: ``python -m tests.soak.fuzzing SEED NUMBER NAME=COUNT,... FOLDER``."""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path

from tests.soak.fuzzing.described import NAME as DESCRIBED
from tests.soak.fuzzing.described import Described
from tests.soak.fuzzing.files import CatalogFiles, ShelfFiles, WheelFiles
from tests.soak.fuzzing.forms import Forms
from tests.soak.fuzzing.loop import Course, Figures, Ledger, Target
from tests.soak.fuzzing.posted import targets
from tests.soak.fuzzing.processes import line_of
from tests.soak.fuzzing.rules import Rules
from tests.soak.fuzzing.sheets import Tables, Workbooks
from tests.soak.fuzzing.workshop import House, made

PURE: dict[str, type[Target]] = {
    each.name: each for each in (Rules, CatalogFiles, ShelfFiles, WheelFiles, Tables, Workbooks)
}


def work(seed: int, number: int, shares: list[tuple[str, int]], folder: Path) -> None:
    """Every share in turn; the figures of each are told as soon as it is done."""
    # What is asked here is not whether a commit is durable: no input waits for a disk where memory will do.
    memory = "/dev/shm" if Path("/dev/shm").is_dir() else None
    scratch = Path(tempfile.mkdtemp(prefix="fuzz-", dir=memory))
    try:
        facts = made(scratch / "template.db")
        house = House(scratch / "template.db", facts, scratch)
        # The first question about an edition finds its wheels: nobody's input is slow for that.
        house.ask("POST", "/api/v1/choices", b"{}")
        posted = targets(house)
        for name, count in shares:
            ledger = Ledger(folder, f"{name} {number}", number)
            if name == DESCRIBED:
                figures = Described(house, Figures(name), ledger).run(count, seed * 100 + number)
            else:
                target = posted[name] if name in posted else _other(name, house)
                figures = Course(target, seed * 100 + number, ledger).run(count)
            ledger.close()
            with (folder / f"worker-{number}.jsonl").open("a") as told:
                told.write(line_of(figures))
        house.close()
    finally:
        shutil.rmtree(scratch, ignore_errors=True)


def _other(name: str, house: House) -> Target:
    return Forms(house) if name == Forms.name else PURE[name]()


if __name__ == "__main__":
    given = [each.rpartition("=") for each in sys.argv[3].split(",")]
    work(int(sys.argv[1]), int(sys.argv[2]), [(a, int(b)) for a, _, b in given], Path(sys.argv[4]))
