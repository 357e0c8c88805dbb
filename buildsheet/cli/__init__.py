"""The command line: one command for each thing the workshop does, under the same names.

``order``    check, sheet      ``choices``  what may still be chosen
``order_show``  one order as it stands   ``order_moves``  its moves; events   ``webhook``  who is told
``demo``   a fresh workshop with its orders     ``serve``  the service
``wheel``    bare dimensions   ``catalog``  the product manager's desk
``stock``    the shelves       ``gauge``    tension gauges
``person``   who signs in    ``key``  what other systems prove themselves by
``backup``   backup, restore   ``audit``  prove that the record is whole
``record``   record, verify, recall
``options``  what every command takes   ``speak``  findings and plans for people   ``edge``  the way out
``against``  the edition that an order file is held against   ``progress``  how far a long look has come
``group``    commands are imported when they are called

Exit codes: 0 done or buildable, 1 refused, 2 unreadable input or wrong use.
"""

from __future__ import annotations

from buildsheet.cli.edge import run
from buildsheet.cli.group import Commands


def main() -> None:
    """The console script: run the command and leave with its exit code."""
    run(commands)


commands = Commands(
    "buildsheet",
    help="From a posted wheel order to a printed build sheet.",
    where={
        "demo": "buildsheet.cli.demo:demo",
        "check": "buildsheet.cli.order:check",
        "sheet": "buildsheet.cli.order:sheet",
        "order": "buildsheet.cli.order_moves:order",
        "events": "buildsheet.cli.order_moves:events",
        "webhook": "buildsheet.cli.webhook:webhook",
        "choices": "buildsheet.cli.choices:choices",
        "wheel": "buildsheet.cli.wheel:wheel",
        "catalog": "buildsheet.cli.catalog:catalog",
        "stock": "buildsheet.cli.stock:stock",
        "gauge": "buildsheet.cli.gauge:gauge",
        "record": "buildsheet.cli.record:record",
        "verify": "buildsheet.cli.record:verify",
        "recall": "buildsheet.cli.record:recall",
        "person": "buildsheet.cli.person:person",
        "key": "buildsheet.cli.key:key",
        "backup": "buildsheet.cli.backup:backup",
        "restore": "buildsheet.cli.backup:restore",
        "audit": "buildsheet.cli.audit:audit",
        "serve": "buildsheet.cli.serve:serve",
    },
)
