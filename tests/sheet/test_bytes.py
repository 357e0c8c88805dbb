"""The same request gives the same bytes, in this process and in another."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

from buildsheet.sheet import pdf, svg
from tests.sheet.wheels import request_of

ROOT = Path(__file__).parents[2]

AGAIN = """
import hashlib
from buildsheet.sheet import pdf, svg
from tests.sheet.wheels import request_of
both = [request_of("asymmetric rear", note="Huế"), request_of("radial front", paper="Letter")]
print(hashlib.sha256(pdf(both) + svg(both[0], 1).encode()).hexdigest())
"""


def digest() -> str:
    both = [request_of("asymmetric rear", note="Huế"), request_of("radial front", paper="Letter")]
    return hashlib.sha256(pdf(both) + svg(both[0], 1).encode()).hexdigest()


def test_the_same_request_gives_the_same_bytes_twice():
    assert digest() == digest()


def test_another_process_gives_the_same_bytes():
    found = subprocess.run(
        [sys.executable, "-c", AGAIN],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert found.stdout.strip() == digest()


def test_another_note_gives_other_bytes():
    assert pdf([request_of(note="a")]) != pdf([request_of(note="b")])


def test_no_date_stands_in_the_file():
    found = pdf([request_of()])
    assert b"CreationDate" not in found
    assert b"ModDate" not in found


def test_the_fonts_are_embedded_as_subsets():
    found = pdf([request_of()])
    assert b"/FontFile2" in found
    assert b"+DejaVuSansCondensed" in found
