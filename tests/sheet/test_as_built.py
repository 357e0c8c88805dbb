"""The record on paper: everything that is known, nothing blank, the same bytes, on the page."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from copy import deepcopy
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.bench.record import NOT_RECORDED, sealed
from buildsheet.bench.stations import STATIONS
from buildsheet.bench.stations.labels import LABELS
from buildsheet.errors import CannotCompute
from buildsheet.sheet.as_built import (
    as_built_pages,
    as_built_pdf,
    as_built_run_out,
    as_built_tension,
)
from buildsheet.sheet.layout.primitives import Box, Page, Text
from buildsheet.sheet.request import Paper

Record = dict[str, Any]
AT = "2031-05-01T08:00:00.000Z"


def record(holes: int = 24, **changes: Any) -> Record:
    """A signed record, made up; members by name put in place of its own."""
    sides = ["right", "left"] * (holes // 2)
    forces = [760.0 if side == "right" else 1150.0 for side in sides]
    content: Record = {
        "workshop": "Oddmoor Wheelworks",
        "serial": "W31-00001-S",
        "position": "front",
        "verdict": "pass",
        "certificate": True,
        "no_certificate_because": [],
        "order": {"number": "D-1001", "source": "shop-a", "revision": 1},
        "sheet": {"issue": "B", "issued_at": AT, "fingerprint": "sha256:" + "ab" * 32,
                  "void": [{"issue": "A", "void_at": AT, "because": "rim measured +0.9"}]},
        "edition": {"number": 16, "digest": "sha256:" + "cd" * 32},
        "parts": {
            "rim": {"code": "OR33D", "holes": holes, "serial": "33D-0412", "batch": "L7",
                    "drilling": "OR33D-24F-X"},
            "hub": {"code": "KF2", "serial": "KF2-118", "driver": None, "end_caps": "C12-100"},
            "spokes": {"left": {"type": "SJB9", "count": holes // 2, "length_mm": 277, "crossings": 2},
                       "right": {"type": "SJB9", "count": holes // 2, "length_mm": 279,
                                 "crossings": 2}},
            "nipple": {"code": "NA12", "colour": "black", "washer": None},
            "decals": ["LAGOON-S-L"],
            "spares": [{"part": "SJB9/277", "count": 2}],
            "batches": ["SJB9/277 B41"],
        },
        "planned": {
            "erd_mm": 576.8, "mass_g": 637.3, "left_n": 1150.0, "right_n": 766.0, "stop_n": 1210.0,
            "ratio": 0.666, "set_by": "rim OR33D: 1250 N x 0.92", "tight_side": "left",
            "target_mm": {"left": 276.4, "right": 278.5}, "sides_by_hole": sides,
            "allowed": {"band_percent": 8.0, "mean_percent": 5.0, "ratio": 0.05, "lateral_mm": 0.2,
                        "radial_mm": 0.3, "radial_joint_mm": 0.4, "dish_offset_mm": 0.25,
                        "mass_percent": 3.0},
        },
        "measured": {
            "pass": 1, "at": AT, "by": "M. K.", "gauge": "G1", "gauge_tables": ["G1 / SJB9 v4"],
            "gauge_error_share": 0.03,
            "tension_typed": {"gauge": "G1", "unit": "n", "typed": forces}, "tension_n": forces,
            "sides": {"left": {"mean_n": 1150.0, "below_percent": 0.0, "above_percent": 0.0},
                      "right": {"mean_n": 760.0, "below_percent": 0.0, "above_percent": 0.0}},
            "ratio": 0.66, "lateral": {"given_as": "plus-minus", "typed_mm": 0.07},
            "radial": {"given_as": "full", "typed_mm": 0.22, "at_joint": True},
            "dish": {"given_as": "gap", "typed_mm": 0.2, "toward": "left"}, "mass_g": 641,
            "threads": ["in"] * 8, "free_play": False, "twisted": False, "relief_rounds": 3,
            "findings": [],
        },
        "signed": {"pass": 1, "by": "S. Second", "at": AT, "reason": ""},
        "passes": [{"number": 1, "issue": "B", "at": AT, "by": "M. K.", "gauge": "G1",
                    "verdict": "pass", "tension_n": forces, "prediction": None}],
        "steps": [{"station": "rim-gate", "done": AT, "by": "M. K.", "times": 1,
                   "said": {"diameter_of": "erd", "diameters_mm": [576.7, 576.9]}},
                  {"station": "box", "done": NOT_RECORDED}],
        "people": ["M. K.", "S. Second"],
        "limits": {"system_mass_kg": 105.0, "use_classes": [1, 2], "tyre_min_mm": 28.0,
                   "tyre_max_mm": 42.0, "bead_seat_mm": 622, "bead": "hooked", "brake": "disc",
                   "pressure": [{"from_tyre_mm": 28.0, "limit_bar": 6.0, "with_tube_bar": 6.0}]},
    }  # fmt: skip
    return sealed({**content, **changes})


def unsigned() -> Record:
    """The record of a wheel that nobody touched."""
    return record(
        verdict="not-judged",
        certificate=False,
        no_certificate_because=["Not signed: nobody stands for this wheel."],
        measured=NOT_RECORDED,
        signed=NOT_RECORDED,
        passes=[],
        steps=[{"station": name, "done": NOT_RECORDED} for name in STATIONS],
        people=[],
    )


def text(document: Record, page: int, paper: Paper = "A4") -> str:
    """What a reader finds on a page of the file, blanks made single."""
    opened = pypdfium2.PdfDocument(as_built_pdf(document, paper))
    try:
        return re.sub(r"\s+", " ", opened[page].get_textpage().get_text_range())
    finally:
        opened.close()


def test_the_page_for_the_file_says_who_what_and_with_what():
    found = text(record(), 0)
    for said in (
        "W31-00001-S", "PASS", "signed by S. Second", "D-1001 of shop-a", "33D-0412; batch L7",
        "SJB9/277 B41", "G1 / SJB9 v4", "A (rim measured +0.9)", "1150 N", "0.14 mm",
        "0.22 mm at the joint", "0.10 mm LEFT", "641 g", "576.8 mm", "STOP 1210 N", "Box not recorded",
    ):  # fmt: skip
        assert said in found
    assert record()["digest"] in found


def test_every_spoke_stands_on_it_by_hole():
    forces = [700.0 + hole for hole in range(24)]
    changed = {**record()["measured"], "tension_n": forces}
    found = text(record(measured=changed), 0)
    for hole, force_n in enumerate(forces, start=1):
        assert f" {hole} {force_n:.0f} " in found


def test_a_gauge_with_a_scale_of_its_own_shows_what_was_read():
    typed = {"gauge": "G1", "unit": "scale", "typed": [19.25] * 24}
    assert "19.25 1150 +0.0" in text(
        record(measured={**record()["measured"], "tension_typed": typed}), 0
    )


def test_what_nobody_recorded_is_said_and_never_blank():
    found = text(unsigned(), 0)
    assert "NO CERTIFICATE" in found
    assert "Not signed" in found
    for name in STATIONS:
        assert f"{LABELS[name]} not recorded" in found
    assert len(re.findall(r"\b\d+ not recorded", found)) >= 24
    assert "NOT FOR RIDING" in text(unsigned(), 1)
    assert "NOT FOR RIDING" not in text(record(), 1)


def test_a_word_alone_makes_no_certificate():
    changed = sealed({**unsigned(), "verdict": "pass"})
    assert "NO CERTIFICATE" in text(changed, 0)
    unknown = sealed({**record(), "verdict": "splendid"})
    assert "NO CERTIFICATE" in text(unknown, 0)


def test_the_rider_reads_limits_spares_and_checks():
    found = text(record(), 1)
    for said in (
        "Local law", "105 kg", "28 to 42 mm", "6.0 bar (87 psi)", "LEFT SJB9, 277 mm",
        "RIGHT SJB9, 279 mm", "NA12 black", "100 to 200 km", "qualified people", "disc brake",
    ):  # fmt: skip
        assert said in found


def test_a_rim_without_hooks_shows_both_pressures():
    row = {"from_tyre_mm": 30.0, "limit_bar": 5.0, "with_tube_bar": 4.0}
    limits = {**record()["limits"], "bead": "hookless", "pressure": [row]}
    found = text(record(limits=limits), 1)
    assert "5.0 bar (73 psi)" in found
    assert "4.0 bar (58 psi)" in found


def test_limits_that_nobody_gave_are_asked_for():
    limits = {**record()["limits"], "system_mass_kg": NOT_RECORDED, "pressure": []}
    found = text(record(limits=limits), 1)
    assert "not recorded: ask the workshop before you pump" in found
    assert "105 kg" not in found


def test_a_remark_stands_beside_the_verdict():
    signed = {**record()["signed"], "reason": "joint bump, seen with rim quality control"}
    found = text(record(verdict="pass-with-remark", signed=signed), 0)
    assert "PASS WITH A REMARK" in found
    assert "joint bump" in found


def test_the_same_document_gives_the_same_bytes_and_no_date():
    assert as_built_pdf(record()) == as_built_pdf(json.loads(json.dumps(record())))
    assert b"CreationDate" not in as_built_pdf(record())
    assert as_built_pdf(record()) != as_built_pdf(record(position="rear"))


AGAIN = """
import hashlib
from buildsheet.sheet.as_built import as_built_pdf
from tests.sheet.test_as_built import record
print(hashlib.sha256(as_built_pdf(record())).hexdigest())
"""


def test_another_process_on_another_day_elsewhere_gives_the_same_bytes():
    root = Path(__file__).parents[2]
    found = subprocess.run(
        [sys.executable, "-c", AGAIN],
        cwd=root,
        env={**os.environ, "PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "PYTHONPATH": str(root)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert found.stdout.strip() == hashlib.sha256(as_built_pdf(record())).hexdigest()


def test_a_changed_document_is_not_printed():
    changed = deepcopy(record())
    changed["measured"]["tension_n"][3] = 1209.0
    with pytest.raises(CannotCompute, match="changed"):
        as_built_pdf(changed)


def on_the_page(page: Page) -> None:
    for each in page.ink:
        if isinstance(each, Text):
            left, top, right, bottom = each.frame
        elif isinstance(each, Box):
            left, top, right, bottom = (
                each.x_mm,
                each.y_mm,
                each.x_mm + each.w_mm,
                each.y_mm + each.h_mm,
            )
        else:
            continue
        assert 0.0 <= left <= right <= page.w_mm, each
        assert 0.0 <= top <= bottom <= page.h_mm, each


def apart(page: Page) -> None:
    """Fails where two texts stand on each other."""
    # From the capitals' top to the baseline: tails may reach into the gap below.
    frames = sorted(
        (*each.frame[:3], each.y_mm) for each in page.ink if isinstance(each, Text) and each.text
    )
    for place, (left, top, right, bottom) in enumerate(frames):
        for other in frames[place + 1 :]:
            if other[0] >= right - 0.05:
                break
            over = min(bottom, other[3]) - max(top, other[1])
            assert over < 0.05, (left, top, other)


@settings(max_examples=15, deadline=None)
@given(
    st.sampled_from([16, 20, 28, 36, 48, 72]),
    st.sampled_from(["A4", "Letter"]),
    st.lists(st.text(min_size=1, max_size=300), max_size=9),
    st.integers(0, 9),
    st.data(),
)
def test_ink_stays_on_the_page_whatever_was_recorded(
    holes: int, paper: Paper, said: list[str], passes: int, data: st.DataObject
):
    force = st.one_of(st.none(), st.floats(0.0, 5000.0))
    read = st.one_of(st.none(), st.floats(-50.0, 50.0))
    by_hole = st.one_of(st.none(), st.lists(read, min_size=holes, max_size=holes))
    made = record(holes)
    measured = {
        **made["measured"],
        "tension_n": data.draw(st.lists(force, min_size=holes, max_size=holes)),
        "lateral": {"given_as": "full", "by_hole_mm": data.draw(by_hole)},
        "radial": {"given_as": "full", "by_hole_mm": data.draw(by_hole)},
        "findings": [{"code": "x", "severity": "block", "says": each} for each in said],
    }
    document = record(holes, measured=measured, passes=made["passes"] * passes)
    for page in as_built_pages(document, paper):
        on_the_page(page)
        apart(page)
    if any(each is not None for each in measured["tension_n"]):
        assert as_built_tension(document).startswith("<svg")
    as_built_run_out(document)


def test_nothing_that_was_read_gives_no_picture():
    assert as_built_tension(unsigned()) == ""
    assert as_built_run_out(unsigned()) == ""
