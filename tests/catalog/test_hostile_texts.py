"""Whatever stands in a catalog file, reading it ends in an edition or in faults, never in a crash."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.model_faults import MOST_FAULTS as MOST_IN_A_TABLE
from buildsheet.catalog.reading import LARGEST_FILE, MOST_FAULTS, read_catalog
from tests.catalog.demo_texts import HUBS, RIMS, changed, demo_texts, faults_of, the_fault

HOSTILE = {
    "a number of 5000 digits": "x = " + "9" * 5000,
    "a hexadecimal number of 5000 digits": "[X]\ndepth_mm = 0x" + "f" * 5000,
    "a float beyond all floats": "[X]\ndepth_mm = 1e999",
    "infinity": "[X]\nholes = [inf, -inf, nan]",
    "lists in lists": "x = " + "[" * 50_000,
    "closed lists in lists": "x = " + "[" * 200 + "]" * 200,
    "tables in tables": "[" + ".".join("a" * 1 for _ in range(3000)) + "]",
    "inline tables in tables": "x = " + "{a=" * 20_000,
    "a date": "[X]\nname = 1979-05-27T07:32:00Z\ndepth_mm = 07:32:00",
    "control characters": '[X]\nname = "\\u0000\\u0007\\u001b"\n\x00',
    "a name in two lines": '["a\\nb"]\nname = "x\\ny"',
    "a long key": "[" + "K" * 100_000 + "]",
    "an empty key": '[""]\n"" = 1',
    "a pointer in a key": '["a/b~c"]\nx = 1',
    "an array of tables": "[[OR33D]]\nname = 1",
    "half a line": "[OR33D",
    "another format": '{"OR33D": {"depth_mm": 33}}',
    "a lone surrogate": '[X]\nname = "\ud800"',
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
@pytest.mark.parametrize("file", [RIMS, "house.toml"])
def test_a_hostile_text_is_refused_with_faults_that_can_be_shown(file: str, text: str) -> None:
    faults = faults_of({**demo_texts(), file: text})
    assert any(each.at.startswith(f"/{file}") for each in faults)
    for each in faults:
        json.dumps(each.as_json(), allow_nan=False)
        assert each.says.isprintable()
        assert len(each.says) < 1500


def test_a_table_of_thousands_of_faults_tells_the_first_of_them_and_how_many_there_are() -> None:
    keys = "".join(f"b{n}.c = 1\n" for n in range(3000))
    bare = faults_of({**demo_texts(), RIMS: demo_texts()[RIMS] + "[X]\n"})
    missing = sum(each.at.startswith("/parts/rims.toml/X") for each in bare)
    faults = faults_of({**demo_texts(), RIMS: demo_texts()[RIMS] + f"[X]\n{keys}"})
    told = [each for each in faults if each.at.startswith("/parts/rims.toml/X")]
    assert len(told) == MOST_IN_A_TABLE + 1
    counted = next(each for each in told if each.code == "data.wrong-count")
    assert counted.have == {"found": 3000 + missing}


@pytest.mark.parametrize(
    ("file", "text"),
    [
        (RIMS, "".join(f"[R{n}]\nstate = 'active'\n" for n in range(3000))),
        ("parts/washers.toml", "".join(f"k{n} = 1\n" for n in range(5000))),
        (
            "rules/wheels.toml",
            "".join(
                f"[[rule]]\nid = 'a{n}'\nscope = 'wheel'\nneeds = 'rim.depht_mm > {n}'\n"
                for n in range(400)
            ),
        ),
    ],
    ids=["parts", "keys", "rules"],
)
def test_a_file_of_thousands_of_faults_is_not_looked_at_to_its_end(file: str, text: str) -> None:
    faults = faults_of({**demo_texts(), file: text})
    told = [each for each in faults if each.at.startswith(f"/{file}")]
    assert len(told) < MOST_FAULTS + 2 * MOST_IN_A_TABLE
    assert any(each.code == "data.wrong-count" and "not looked at" in each.says for each in told)


def test_a_pointer_in_a_key_is_escaped() -> None:
    faults = faults_of({**demo_texts(), RIMS: demo_texts()[RIMS] + '["a/b~c"]\nx = 1'})
    assert "/parts/rims.toml/a~1b~0c/x" in {each.at for each in faults}


def test_a_text_that_is_too_large_is_not_even_parsed() -> None:
    fault = the_fault({**demo_texts(), HUBS: demo_texts()[HUBS] + " " * LARGEST_FILE})
    assert (fault.code, fault.at) == ("data.unreadable", "/parts/hubs.toml")


def test_an_infinite_number_is_out_of_range() -> None:
    fault = the_fault(changed(RIMS, "OR33D", "mass_g = 395.0", "mass_g = inf"))
    assert (fault.code, fault.have) == ("data.out-of-range", {"found": "inf"})


def test_a_truth_value_is_no_number() -> None:
    fault = the_fault(changed(RIMS, "OR33D", "mass_g = 395.0", "mass_g = true"))
    assert fault.says == (
        "parts/rims.toml [OR33D] mass_g: found true; allowed is a number above 0, up to 3000."
    )


@settings(max_examples=60, deadline=None)
@given(st.text(alphabet=st.sampled_from('[]{}"=.,#\n\\-+_ 0123456789einfaORDmx'), max_size=200))
def test_no_text_crashes_the_reading(text: str) -> None:
    edition, faults = read_catalog({**demo_texts(), RIMS: text})
    assert (edition is None) == bool(faults)
