"""Editions and plans: the texts are read again and come to the digest they are kept under."""

from __future__ import annotations

import json
from hashlib import sha256

from buildsheet.actions.audit.notes import Notes
from buildsheet.catalog.reading import read_catalog
from buildsheet.storage import editions, proof, wheels
from buildsheet.storage.database import Section


def editions_again(section: Section, notes: Notes) -> None:
    """Every edition out of its own files."""
    notes.saw("editions", 0)
    for stored in editions.everyone(section):
        notes.saw("editions")
        at = f"edition {stored.number}"
        edition, findings = read_catalog(editions.files(section, stored.number))
        if edition is None:
            said = findings[0].says if findings else "nothing in it"
            notes.fault("editions", at, f"its files can no longer be read: {said}")
        elif edition.digest != stored.digest:
            says = f"its files come to {edition.digest}, it is kept under {stored.digest}"
            notes.fault("editions", at, says)


def plans_again(section: Section, notes: Notes) -> dict[str, str]:
    """Digest -> fingerprint of every plan that is as it was kept; sheets against them."""
    sound: dict[str, str] = {}
    notes.saw("plans", 0)
    for digest in proof.plan_digests(section):
        plan = wheels.plan(section, digest)
        if plan is None:
            continue
        notes.saw("plans")
        text = f"{plan.document}\n{plan.record}".encode()
        computed = "sha256:" + sha256(text).hexdigest()
        if computed != digest:
            notes.fault("plans", digest, f"its text comes to {computed}")
            continue
        sound[digest] = str(json.loads(plan.record).get("fingerprint"))
    notes.saw("sheets", 0)
    for serial, issue, fingerprint, digest in proof.printed(section):
        notes.saw("sheets")
        if sound.get(digest, fingerprint) != fingerprint:
            says = f"issue {issue} states another fingerprint than its plan"
            notes.fault("sheets", serial, says)
    return sound
