"""What lies on the shelves is read line by line, whole or not at all."""

from __future__ import annotations

import pytest

from buildsheet.actions.catalog_files import demo_directory, read_stock_file
from buildsheet.catalog.stock import MOST_FAULTS, read_stock
from buildsheet.findings import Finding
from tests.catalog.demo_texts import demo_edition

HEADING = "part,variant,bin,quantity\n"

# Invented data: what the demo's story needs to run short, and what it does not.
SCARCE = {
    "KF4/24": 1,
    "KR4/24": 3,
    "KF2/24": 14,
    "KR2/28": 9,
    "SSB9/267": 11,
    "SSB9/269": 60,
    "SSB9/268": 40,
    "SSB9/265": 38,
    "SJB9/282": 44,
    "SJB9/284": 51,
    "SJ18/281": 70,
    "NA12/black": 900,
    "LAGOON-M-L": 4,
    "LAGOON-M-R": 3,
}


def refused(text: str) -> tuple[Finding, ...]:
    lines, faults = read_stock(text, demo_edition())
    assert lines == ()
    assert faults
    return faults


def test_the_demo_shelf_holds_what_the_story_says() -> None:
    lines, faults = read_stock_file(demo_directory(), demo_edition())
    assert faults == ()
    held = {line.item: line.quantity for line in lines}
    assert {item: held[item] for item in SCARCE} == SCARCE
    assert len(held) == len(lines)


def test_the_demo_shelf_has_ample_of_every_other_spoke_length() -> None:
    lines, _ = read_stock_file(demo_directory(), demo_edition())
    spokes = [line for line in lines if line.part in ("SJ18", "SJ15", "SJB9", "SSB9")]
    assert len(spokes) == 4 * len(demo_edition().spokes["SJ18"].lengths_mm)
    assert all(line.quantity >= 100 for line in spokes if line.item not in SCARCE)


def test_every_fault_of_the_file_comes_at_once() -> None:
    faults = refused(
        HEADING
        + "KF9,24,H1,3\n"
        + "KF4,28,H1,3\n"
        + "W05,,,2.5\n"
        + "SJ18,400,S1,-3\n"
        + "NB12,black,N1,99999999999\n"
        + "NB12,silver\n"
        + "KF2,24,H2,1\n"
        + "KF2,24,H3,1\n"
    )
    assert [each.at for each in faults] == [
        "/stock.csv/2/part",
        "/stock.csv/3/variant",
        "/stock.csv/4/bin",
        "/stock.csv/4/quantity",
        "/stock.csv/5/variant",
        "/stock.csv/5/quantity",
        "/stock.csv/6/quantity",
        "/stock.csv/7",
        "/stock.csv/9/part",
    ]


def test_an_unknown_part_is_refused_with_the_nearest_one() -> None:
    (fault,) = refused(HEADING + "KF22,24,H1,3\n")
    assert fault.says == 'stock.csv line 2, part: the catalog has no "KF22". Try KF2.'


def test_a_drilling_that_the_hub_does_not_have_is_refused_with_those_it_has() -> None:
    (fault,) = refused(HEADING + "KF4,36,H1,3\n")
    assert fault.says == 'stock.csv line 2, variant: KF4 has no "36". KF4 comes as 20, 24.'


def test_a_part_that_comes_one_way_takes_no_variant() -> None:
    (fault,) = refused(HEADING + "W05,small,W1,3\n")
    assert fault.code == "data.unknown-reference"


def test_a_line_that_stands_twice_is_refused_with_the_first_one() -> None:
    (fault,) = refused(HEADING + "KF2,24,H2,1\nKF2,24,H3,1\n")
    assert (
        fault.says == "stock.csv line 3, part: KF2/24 stands in line 2 already; one part, one line."
    )
    assert fault.also == ("/stock.csv/2",)


@pytest.mark.parametrize(
    "text",
    ["", "part;variant;bin;quantity\n", "KF2,24,H2,1\n", 'part,variant,bin,quantity\n"KF2,24\n'],
    ids=["empty", "semicolons", "no heading", "open quote"],
)
def test_another_format_is_refused_once(text: str) -> None:
    (fault,) = refused(text)
    assert fault.code == "data.syntax"


def test_a_shelf_too_large_is_refused_unread() -> None:
    (fault,) = refused(HEADING + "KF2,24,H2,1\n" * 100_000)
    assert fault.code == "data.unreadable"


def test_a_file_of_thousands_of_faults_is_not_looked_at_to_its_end() -> None:
    faults = refused(HEADING + "ORXX,24,x,1\n" * 5000)
    assert len(faults) == MOST_FAULTS + 2
    assert (faults[-1].code, "not looked at" in faults[-1].says) == ("data.wrong-count", True)


def test_blank_lines_and_windows_line_ends_do_not_count() -> None:
    lines, faults = read_stock(
        HEADING.replace("\n", "\r\n") + "\r\nKF2,24, H2 ,1\r\n", demo_edition()
    )
    assert faults == ()
    assert [(line.item, line.bin, line.quantity) for line in lines] == [("KF2/24", "H2", 1)]
