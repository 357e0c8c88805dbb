"""What others did to the wheel while a page of it lay open.

A page carries how many steps, passes and signatures it was made from, ``4.1.0``. Whatever was kept since is
told to whoever sends a form of it: nothing is lost, and nothing is done twice unseen.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from buildsheet.actions.bench.view import BenchView
from buildsheet.bench.stations.labels import called

_SEEN: Final = re.compile(r"([0-9]{1,6})\.([0-9]{1,6})\.([0-9]{1,6})")


@dataclass(frozen=True, slots=True)
class Deed:
    """One thing that was kept of a wheel; ``at`` is RFC 3339."""

    what: str
    by: str
    at: str
    key: str


def seen_of(view: BenchView) -> str:
    """What a page that is made now has seen."""
    return f"{len(view.steps)}.{len(view.passes)}.{len(view.signatures)}"


def since(view: BenchView, seen: str, key: str = "") -> tuple[Deed, ...]:
    """What was kept since a page with this mark was made, oldest first, but for what ``key`` sent; nothing
    for a mark that is none."""
    found = _SEEN.fullmatch(seen)
    if found is None:
        return ()
    steps, passes, signatures = map(int, found.groups())
    deeds = [
        *(
            Deed(_step(each.station, good=each.good), each.done_by, each.done_at, each.key)
            for each in view.steps[steps:]
        ),
        *(
            Deed(f"Reading no. {each.number}", each.read_by, each.read_at, each.key)
            for each in view.passes[passes:]
        ),
        *(
            Deed(
                f"Signature under reading no. {each.number}",
                each.signed_by,
                each.signed_at,
                each.key,
            )
            for each in view.signatures[signatures:]
        ),
    ]
    return tuple(sorted((each for each in deeds if each.key != key), key=lambda deed: deed.at))


def before_own(view: BenchView, seen: str, key: str) -> tuple[Deed, ...]:
    """The same, up to what ``key`` sent; nothing where it sent nothing."""
    kept_at = [
        *(each.done_at for each in view.steps if each.key == key),
        *(each.read_at for each in view.passes if each.key == key),
        *(each.signed_at for each in view.signatures if each.key == key),
    ]
    return tuple(each for each in since(view, seen, key) if kept_at and each.at <= kept_at[0])


def _step(station: str, *, good: bool) -> str:
    return called(station) if good else f"{called(station)}, not passed"
