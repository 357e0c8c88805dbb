"""A bad catalog file gets every fault with file, table and key, and nothing is half loaded."""

from __future__ import annotations

import pytest

from buildsheet.catalog.codes import FAULT_CODES
from buildsheet.catalog.reading import FILES, read_catalog
from buildsheet.findings import Change, Finding
from tests.catalog.demo_texts import (
    DECALS,
    END_CAPS,
    HOUSE,
    HUBS,
    NIPPLES,
    PROGRAMS,
    RIMS,
    SPOKES,
    changed,
    demo_edition,
    demo_texts,
    faults_of,
    the_fault,
)


def test_the_demo_loads_without_a_fault() -> None:
    edition, faults = read_catalog(demo_texts())
    assert edition is not None
    assert faults == ()


def test_no_part_can_be_added_to_an_edition() -> None:
    edition = demo_edition()
    with pytest.raises(TypeError, match="does not support item assignment"):
        edition.rims["OR99"] = edition.rims["OR33D"]  # type: ignore[index]
    with pytest.raises(TypeError, match="does not support item assignment"):
        edition.house.markets["XX"] = edition.house.markets["DE"]  # type: ignore[index]


def test_a_number_in_quotes_is_refused_with_the_number() -> None:
    fault = the_fault(changed(RIMS, "OR33D", "depth_mm = 33.0", 'depth_mm = "33,0"'))
    assert fault == Finding(
        code="data.wrong-type",
        severity="block",
        at="/parts/rims.toml/OR33D/depth_mm",
        says='parts/rims.toml [OR33D] depth_mm: found "33,0"; allowed is a number from 8 to 120. '
        "Try 33, without quotes.",
        reason="It would have to be interpreted, and each reader would do so differently.",
        source="form of the catalog files",
        have={"found": "33,0"},
        need={"type": "number", "minimum": 8.0, "maximum": 120.0},
        try_=(Change("/parts/rims.toml/OR33D/depth_mm", (33.0,)),),
    )


@pytest.mark.parametrize(
    ("file", "table", "old", "new", "says"),
    [
        (
            *(RIMS, "OR45D", "seat_diameter_mm = 549.6", "seat_diameter_mm = 53.96"),
            "seat_diameter_mm: found 53.96; allowed is a number from 200 to 680. Centimetres? Try 539.6.",
        ),
        (
            *(RIMS, "OR33D", "spoke_limit_n = 1250.0", "spoke_limit_n = 127.0"),
            "spoke_limit_n: found 127; allowed is a number from 400 to 5000. Kilogram-force? Try 1245.4.",
        ),
        (
            *(RIMS, "OR33D", "depth_mm = 33.0", "depth_mm = 330.0"),
            "depth_mm: found 330; allowed is a number from 8 to 120. A slipped decimal point? Try 33.",
        ),
        (
            *(RIMS, "OR38R", "limit_bar = 7.0", "limit_bar = 101.5"),
            "pressure_limits, row 1, limit_bar: found 101.5; allowed is a number above 0.5, up to 15. "
            "Psi? Try 6.9982.",
        ),
        (
            *(HOUSE, "tension", "limit_share = 0.92", "limit_share = 92"),
            "limit_share: found 92; allowed is a number above 0, up to 1. Percent? Try 0.92.",
        ),
    ],
    ids=["centimetres", "kilogram-force", "decimal point", "psi", "percent"],
)
def test_a_slipped_unit_is_named_with_the_figure_that_was_meant(
    file: str, table: str, old: str, new: str, says: str
) -> None:
    fault = the_fault(changed(file, table, old, new))
    assert fault.says == f"{file} [{table}] {says}"
    assert fault.code == "data.out-of-range"
    assert len(fault.try_) == 1


def test_a_misspelt_word_is_refused_with_the_nearest_one() -> None:
    fault = the_fault(changed(RIMS, "OR45A", 'bead = "hookless"', 'bead = "hokless"'))
    assert fault.says == (
        'parts/rims.toml [OR45A] bead: found "hokless"; allowed is one of hooked, hookless, tubular. '
        'Try "hookless".'
    )
    assert fault.code == "data.unknown-word"
    assert fault.need == {"type": "string", "enum": ["hooked", "hookless", "tubular"]}


def test_a_misspelt_key_is_refused_with_the_nearest_one_and_the_right_one_is_missed() -> None:
    unknown, missing = sorted(
        faults_of(changed(RIMS, "OR33D", "depth_mm", "dept_mm")),
        key=lambda each: each.code,
        reverse=True,
    )
    assert unknown.says == "parts/rims.toml [OR33D] dept_mm: no such key. Try depth_mm."
    assert (unknown.code, unknown.need) == ("data.unknown-key", {"enum": ["depth_mm"]})
    assert (
        missing.says
        == "parts/rims.toml [OR33D] depth_mm: missing; allowed is a number from 8 to 120."
    )
    assert missing.code == "data.missing-key"


def test_a_key_like_no_other_is_refused_with_the_known_ones() -> None:
    fault = the_fault(changed("parts/washers.toml", "W05", "mass_g", "price = 3\nmass_g"))
    assert fault.says == (
        "parts/washers.toml [W05] price: no such key. Known are name, state, thickness_mm, seat_shapes, "
        "mass_g."
    )


def test_a_code_inside_its_table_is_refused() -> None:
    fault = the_fault(changed(RIMS, "OR33D", "brake =", 'code = "OR34D"\nbrake ='))
    assert fault.says == (
        "parts/rims.toml [OR33D] code: the code is the table's name; leave this line out."
    )


def test_a_house_or_a_rule_with_a_code_is_told_that_it_has_no_such_key() -> None:
    house = the_fault({**demo_texts(), "house.toml": "code = 1\n" + demo_texts()["house.toml"]})
    assert house.says.startswith("house.toml code: no such key.")
    rules = next(name for name in sorted(demo_texts()) if name.startswith("rules/"))
    rule = the_fault(changed(rules, "", "[[rule]]", "[[rule]]\ncode = 1"))
    assert (rule.code, rule.at.rsplit("/", 1)[1]) == ("data.unknown-key", "code")


def test_a_table_name_that_is_no_code_is_refused_with_its_capitals() -> None:
    faults = faults_of(changed(RIMS, "", "[OR33D]", "[or33d]"))
    bad = next(each for each in faults if each.code == "data.wrong-form")
    assert bad.at == "/parts/rims.toml/or33d"
    assert bad.says == (
        "parts/rims.toml [or33d]: the table's name is the part's code: a code of up to 24 capitals, "
        "digits, dots and dashes. Try OR33D."
    )


def test_a_country_in_small_letters_is_refused_with_its_capitals() -> None:
    fault = the_fault(changed(HOUSE, "", "[markets.US]", "[markets.us]"))
    assert fault.at == "/house.toml/markets/us"
    assert fault.says.endswith("Try US.")


def test_a_part_that_is_no_table_is_refused() -> None:
    fault = the_fault(changed(RIMS, "", "[OR33D]", 'colour = "black"\n[OR33D]'))
    assert fault.says == (
        'parts/rims.toml [colour]: found "black"; allowed is a table, one for each part.'
    )


def test_a_range_with_one_end_is_refused() -> None:
    fault = the_fault(changed(HOUSE, "length", "[-0.5, 1.0]", "[-0.5]"))
    assert (fault.code, fault.at) == ("data.wrong-count", "/house.toml/length/brass_window_mm")
    assert fault.says == (
        "house.toml [length] brass_window_mm: too short; allowed is a list of 2, each a number from -5 "
        "to 60."
    )


def test_a_misspelt_table_of_the_house_file_is_refused_and_the_right_one_is_missed() -> None:
    faults = faults_of(changed(HOUSE, "", "[pair]", "[pear]"))
    assert [each.says for each in faults] == [
        "house.toml pair: missing; allowed is a table.",
        "house.toml pear: no such key. Try pair.",
    ]


def test_a_syntax_error_is_named_with_its_line_and_the_other_files_are_read_on() -> None:
    texts = changed(SPOKES, "SJ15", 'head = "j-bend"', 'head = "j-bend')
    texts[RIMS] = changed(RIMS, "OR58D", "mass_g = 505.0", "mass_g = true")[RIMS]
    rim, spokes = faults_of(texts)
    line = texts[SPOKES][: texts[SPOKES].index('"j-bend\n')].count("\n") + 1
    assert rim.at == "/parts/rims.toml/OR58D/mass_g"
    assert (spokes.code, spokes.at) == ("data.syntax", "/parts/spokes.toml")
    assert spokes.have["line"] == line
    assert spokes.says.startswith(f"parts/spokes.toml: not TOML at line {line}, column ")


def test_a_table_that_stands_twice_is_a_syntax_error_of_its_file() -> None:
    fault = the_fault(changed("parts/drivers.toml", "", "[B]", "[A]"))
    assert fault.code == "data.syntax"


def test_every_fault_of_every_file_comes_at_once_in_a_stable_order() -> None:
    texts = changed(RIMS, "OR33D", 'brake = "disc"', 'brake = "disk"')
    texts[RIMS] = texts[RIMS].replace("limit_bar = 3.8", 'limit_bar = "3.8"')
    texts[HUBS] = changed(HUBS, "KR2", "mass_g = 252.0", "mass_g = -252.0")[HUBS]
    texts[HOUSE] = changed(HOUSE, "pair", "spare_nipples = 4", "spare_nipples = 4.5")[HOUSE]
    faults = faults_of(texts)
    assert [each.at for each in faults] == [
        "/house.toml/pair/spare_nipples",
        "/parts/hubs.toml/KR2/mass_g",
        "/parts/rims.toml/OR33D/brake",
        "/parts/rims.toml/OR33D/pressure_limits/2/limit_bar",
    ]
    assert read_catalog(texts) == read_catalog(dict(reversed(texts.items())))


@pytest.mark.parametrize("file", FILES)
def test_a_missing_file_is_missed(file: str) -> None:
    faults = faults_of({name: text for name, text in demo_texts().items() if name != file})
    assert [each.at for each in faults if each.code == "data.missing-file"] == [f"/{file}"]
    assert len(faults) == 1, "what a missing file alone brings about is no news"


def test_an_unknown_file_is_refused_with_the_nearest_name() -> None:
    fault = the_fault({**demo_texts(), "parts/rim.toml": ""})
    assert (fault.code, fault.at) == ("data.unknown-file", "/parts/rim.toml")
    assert fault.says.endswith("Try parts/rims.toml.")


def test_an_empty_kind_is_a_catalog_too() -> None:
    texts = {**demo_texts(), "parts/washers.toml": "", DECALS: "# none\n"}
    edition, faults = read_catalog(texts)
    assert edition is not None, faults
    assert (len(edition.washers), len(edition.decals)) == (0, 0)


@pytest.mark.parametrize(
    ("file", "table", "old", "new", "at", "says"),
    [
        (
            *(HUBS, "KR1", 'drivers = ["A", "B"]', 'drivers = ["A", "D"]', "/KR1/drivers/1"),
            "[KR1] drivers, row 2: parts/drivers.toml has no D; it has A, B, C.",
        ),
        (
            *(END_CAPS, "C12-142", '"KR2"', '"KR22"', "/C12-142/hubs/0"),
            "[C12-142] hubs, row 1: parts/hubs.toml has no KR22; it has KF1, KF2, KF3, KF4, KF5, KR1, KR2, "
            "KR3, KR4, KR5. Try KR2.",
        ),
        (
            *(NIPPLES, "NA12", '["OR30G"]', '["OR30"]', "/NA12/excluded_rims/0"),
            "[NA12] excluded_rims, row 1: parts/rims.toml has no OR30; it has OR33D, OR45D, OR45A, OR58D, "
            "OR38R, OR30G. Try OR30G.",
        ),
        (
            *(PROGRAMS, "OR38R-20F-R", 'rim = "OR38R"', 'rim = "OR38"', "/OR38R-20F-R/rim"),
            "[OR38R-20F-R] rim: parts/rims.toml has no OR38; it has OR33D, OR45D, OR45A, OR58D, OR38R, "
            "OR30G. Try OR38R.",
        ),
        (
            *(PROGRAMS, "OR38R-20F-R", "holes = 20", "holes = 32", "/OR38R-20F-R/holes"),
            "[OR38R-20F-R] holes: rim OR38R is drilled 20, 24, 28, not 32.",
        ),
        (
            *(RIMS, "OR33D", "{ holes = 20,", "{ holes = 32,", "/OR33D/system_limits/0/holes"),
            "[OR33D] system_limits, row 1, holes: the rim is drilled 20, 24, 28, not 32.",
        ),
        (
            *(
                HUBS,
                "KF1",
                "radial_holes = [20, 24]",
                "radial_holes = [20, 32]",
                "/KF1/radial_holes/1",
            ),
            "[KF1] radial_holes, row 2: the hub is drilled 20, 24, 28, not 32.",
        ),
    ],
    ids=["driver", "hub", "rim", "program rim", "program holes", "limit holes", "radial holes"],
)
def test_a_reference_to_nothing_is_refused_with_what_there_is(
    file: str, table: str, old: str, new: str, at: str, says: str
) -> None:
    faults = [
        each for each in faults_of(changed(file, table, old, new)) if each.at == f"/{file}{at}"
    ]
    assert [each.says for each in faults] == [f"{file} {says}"]
    assert faults[0].code == "data.unknown-reference"


def test_an_axle_without_end_caps_is_refused() -> None:
    fault = the_fault(changed(HUBS, "KF2", 'axles = ["12x100"]', 'axles = ["12x100", "15x100"]'))
    assert fault.says == (
        "parts/hubs.toml [KF2] axles, row 2: no end caps of parts/end_caps.toml fit KF2 to 15x100. "
        "C15-100 is made for that axle: name KF2 among its hubs, if it fits."
    )


def test_end_caps_for_an_axle_that_the_hub_does_not_fit_are_refused() -> None:
    fault = the_fault(changed(END_CAPS, "C15-100", '["KF3"]', '["KF3", "KF4"]'))
    assert fault.says == (
        "parts/end_caps.toml [C15-100] hubs, row 2: hub KF4 fits 12x100, not 15x100."
    )


def test_a_program_for_a_drilling_that_the_rim_does_not_have_is_refused() -> None:
    fault = the_fault(
        changed(PROGRAMS, "OR33D-24F-X", 'drilling = "external"', 'drilling = "hidden"')
    )
    assert fault.says == (
        "parts/programs.toml [OR33D-24F-X] drilling: rim OR33D is drilled external, not hidden."
    )


def test_a_decal_that_is_another_one_already_is_refused() -> None:
    fault = the_fault(
        changed(DECALS, "", 'size = "S", hand = "right"', 'size = "S", hand = "left"')
    )
    assert fault.says == (
        "parts/decals.toml [FROST-S-R]: FROST-S-L is FROST in size S for the left side already."
    )
    assert fault.also == ("/parts/decals.toml/FROST-S-L",)


def test_a_code_that_two_kinds_share_is_refused() -> None:
    fault = the_fault(changed("parts/washers.toml", "", "[W05]", "[B]"))
    assert (fault.code, fault.at) == ("data.duplicate", "/parts/drivers.toml/B")
    assert fault.also == ("/parts/washers.toml/B",)


def test_every_code_of_a_fault_is_listed_and_belongs_to_the_data_family() -> None:
    assert {code.split(".")[0] for code in FAULT_CODES} == {"data"}
    assert all(
        each.code == code and each.says and each.reason for code, each in FAULT_CODES.items()
    )


@pytest.mark.parametrize(
    "moment", ["2031-13-01T06:00:00Z", "2031-02-30T06:00:00Z", "2031-04-01T25:00:00Z"]
)
def test_a_start_that_is_in_no_calendar_is_refused(moment: str):
    texts = {**demo_texts()}
    texts["house.toml"] = texts["house.toml"].replace("2031-04-01T06:00:00+02:00", moment)
    edition, findings = read_catalog(texts)
    assert edition is None
    assert [(each.code, each.at) for each in findings] == [
        ("data.wrong-form", "/house.toml/starts")
    ]
    assert "a moment with its zone" in findings[0].says
