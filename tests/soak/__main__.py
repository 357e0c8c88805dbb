"""Runs the soaks in turn, or those named on the command line; leaves with 1 where one found a fault.

Each module has a ``main()`` that prints its figures and gives whether its bar held.
"""

from __future__ import annotations

import importlib
import sys
import time
from typing import Final

NAMES: Final = ("access", "crash", "fuzz")
"""In the order they run, the short ones first."""


def run(wanted: list[str]) -> int:
    """The exit code: 0 all bars held, 1 one did not, 2 an unknown name."""
    unknown = sorted(set(wanted) - set(NAMES))
    if unknown:
        print(f"no soak is called {', '.join(unknown)}; there are: {', '.join(NAMES)}")
        return 2
    failed = []
    for name in NAMES:
        if wanted and name not in wanted:
            continue
        module = importlib.import_module(f"tests.soak.{name}")
        print(f"== {name}: {(module.__doc__ or name).strip().splitlines()[0]}", flush=True)
        began = time.monotonic()
        held = module.main()
        if not held:
            failed.append(name)
        print(f"== {name}: {'held' if held else 'FAULTS'}, {time.monotonic() - began:.0f} s\n")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(run(sys.argv[1:]))
