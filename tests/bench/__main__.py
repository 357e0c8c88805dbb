"""Runs every module of this folder that has a `main()`, or those named on the command line.

Figures are printed and judged by a reader: they depend on the machine, so no test reads them.
"""

from __future__ import annotations

import importlib
import sys
from pathlib import Path


def benches(wanted: list[str]) -> list[str]:
    """Names of the modules to run, in alphabetical order; raises `SystemExit` for an unknown one."""
    files = Path(__file__).parent.glob("*.py")
    there = sorted(file.stem for file in files if not file.stem.startswith("_"))
    unknown = sorted(set(wanted) - set(there))
    if unknown:
        sys.exit(
            f"no bench is called {', '.join(unknown)}; there are: {', '.join(there) or 'none'}"
        )
    return [name for name in there if not wanted or name in wanted]


def run(names: list[str]) -> None:
    """Prints each module's first docstring line, then whatever its `main()` prints."""
    for name in names:
        module = importlib.import_module(f"tests.bench.{name}")
        main = getattr(module, "main", None)
        if main is None:
            continue
        title = (module.__doc__ or name).strip().splitlines()[0]
        print(f"== {name}: {title}", flush=True)
        main()
        print(flush=True)


if __name__ == "__main__":
    run(benches(sys.argv[1:]))
