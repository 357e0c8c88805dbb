"""An order is checked, and where it can be built it is taken: numbers, wheels, sheets, parts set
aside, one commit.

What is refused leaves no trace. What was taken before is answered as it was answered then, whether
the sender repeats its Idempotency-Key or its business key (source, number, revision). Two orders never
get the last part: what is free is asked in the section that sets it aside.
"""

from __future__ import annotations

from buildsheet.actions.editions import running_edition
from buildsheet.actions.intake import judged
from buildsheet.actions.intake.asked import Asked
from buildsheet.actions.intake.decide import take_together
from buildsheet.actions.intake.earlier import Took, body_digest, earlier, keep_key_later
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.orders.check import check_read
from buildsheet.orders.reading import read_parsed
from buildsheet.orders.reservation.shortage import Shelves, shortage
from buildsheet.orders.text import parse


def take_order(workshop: Workshop, raw: bytes, key: str | None = None) -> Took:
    """Check and take one order; answered only after the commit. ``key`` is the Idempotency-Key.

    Raises NoEdition where no catalog is loaded, WorldError where the file cannot be written.
    """
    parsed = parse(raw)
    reading = read_parsed(parsed)
    order = reading.order
    if order is None:
        workshop.database.step_aside()
        edition = running_edition(workshop)
        return Took("refused", check_read(parsed, reading, edition).findings, edition.number)
    said, path = judged.what(parsed.document or {}), str(workshop.path)
    digest = body_digest(order)
    known = judged.known(path, said)
    # An order that is taken is held to what runs under the lock anyway.
    supposed = judged.ran_last(path)
    while True:
        if known is None:
            edition = supposed or _running(workshop, path)
            known = judged.judge(parsed, reading, edition, workshop.database.step_aside)
            if not known.checked.buildable:
                if supposed is not None and _running(workshop, path) is not supposed:
                    supposed = known = None
                    continue
                # What was taken stays taken, whatever a later edition says of it.
                with workshop.database.reading() as section:
                    before = earlier(section, order, digest, key, edition.number)
                keep_key_later(workshop, order, key, before)
                return before or Took("refused", known.checked.findings, edition.number)
            judged.keep(said, known)
        asked = Asked(workshop, raw, key, order, digest, known)
        took = workshop.database.bring(take_together, asked)
        if isinstance(took, Shelves):
            # Looked for outside the lock: ways out take longer than anybody else should wait.
            workshop.database.step_aside()
            found = shortage(known.wheels.needs, took, parsed.document or {}, known.edition)
            return Took("short", found, known.edition.number)
        if took is not None:
            return took
        supposed = known = None


def _running(workshop: Workshop, path: str) -> Edition:
    # An edition that runs since a moment ago is read from its texts first, which takes a while.
    workshop.database.step_aside()
    edition = running_edition(workshop)
    judged.runs(path, edition)
    return edition
