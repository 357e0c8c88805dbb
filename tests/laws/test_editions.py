"""What holds for every change of a catalog: differences say all of it, and files lose none of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from hypothesis import given, settings
from hypothesis import strategies as st

from buildsheet.catalog.amending.amend import amended
from buildsheet.catalog.amending.edits import (
    DropPart,
    DropRule,
    Edit,
    PutHouse,
    PutPart,
    PutRule,
    as_document,
    read_edits,
)
from buildsheet.catalog.as_written import differences_as_written
from buildsheet.catalog.differences import Differences, differences
from buildsheet.catalog.edition import Edition
from buildsheet.catalog.reading import read_catalog
from buildsheet.findings import Value
from tests.catalog.demo_texts import demo_edition, demo_texts

RIMS = tuple(demo_edition().rims)
DECALS = tuple(demo_edition().decals)
RULES = tuple(demo_edition().rules)

PARTS = st.one_of(
    st.builds(
        lambda code, mass_g, holes: PutPart(code, values={"mass_g": mass_g, "holes": holes}),
        st.sampled_from(RIMS),
        st.floats(300.0, 600.0),
        st.just(None)
        | st.lists(st.sampled_from([16, 20, 24, 28, 32, 36]), min_size=1, unique=True),
    ).map(lambda edit: PutPart(edit.code, values=stated(edit.values))),
    st.builds(
        lambda code, words: PutPart(code, values={"name": words}),
        st.sampled_from([*RIMS, *DECALS, "NA12", "W05"]),
        st.text(st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=20),
    ),
    st.builds(
        lambda code, state: PutPart(code, values={"state": state}),
        st.sampled_from([*RIMS, *DECALS]),
        st.sampled_from(["active", "ended", "no-new-orders", "service-only"]),
    ),
    st.builds(
        lambda code, radius_mm: PutPart(code, values={"section.radius_mm": radius_mm}),
        st.sampled_from(RIMS),
        st.floats(250.0, 310.0),
    ),
    st.builds(lambda code: PutPart("NEW-1", clone_of=code, values={}), st.sampled_from(RIMS)),
    st.builds(DropPart, st.sampled_from(DECALS)),
)
OTHERS = st.one_of(
    st.builds(PutHouse, st.just("tension.limit_share"), st.floats(0.5, 1.0)),
    st.builds(PutHouse, st.just("pair.spare_nipples"), st.integers(0, 20)),
    st.builds(PutHouse, st.just("markets.DE.label"), st.none() | st.just("another label")),
    st.builds(
        lambda name, severity: PutRule(name, {"severity": severity}),
        st.sampled_from(RULES),
        st.sampled_from(["block", "approval", "caution", "note"]),
    ),
    st.builds(lambda name: PutRule(name, {"until": 20}), st.sampled_from(RULES)),
    st.builds(DropRule, st.sampled_from(RULES)),
)
EDITS = st.lists(PARTS | OTHERS, min_size=1, max_size=4)


def stated(values: Mapping[str, Value]) -> dict[str, Value]:
    return {key: value for key, value in values.items() if value is not None}


def sound(edits: Sequence[Edit]) -> tuple[dict[str, str], Edition]:
    """The demo catalog after those of the edits that can be made one after the other and leave it sound."""
    texts, edition = dict(demo_texts()), demo_edition()
    for edit in edits:
        after, faults = amended(texts, (edit,))
        read, _ = read_catalog(after)
        if not faults and read is not None:
            texts, edition = after, read
    return texts, edition


def as_edits(found: Differences) -> Iterator[Edit]:
    """Edits that make of the old edition the new one, if the differences say everything."""
    for part in found.parts:
        fields = {each.key: each.new for each in part.fields}
        if part.what == "dropped":
            yield DropPart(part.code, part.kind)
        else:
            yield PutPart(part.code, part.kind, fields, whole=part.what == "added")
    for figure in found.house:
        yield PutHouse(figure.key, figure.new)
    for rule in found.rules:
        fields = {each.key: each.new for each in rule.fields}
        if rule.what == "dropped":
            yield DropRule(rule.id)
        else:
            yield PutRule(rule.id, fields, whole=rule.what == "added")


@given(EDITS)
@settings(max_examples=12)
def test_differences_say_everything_that_changed(edits: list[Edit]):
    _, new = sound(edits)
    again, faults = amended(demo_texts(), tuple(as_edits(differences(demo_edition(), new))))
    assert faults == ()
    rebuilt, findings = read_catalog(again)
    assert rebuilt is not None, findings
    assert rebuilt.digest == new.digest


@given(EDITS)
@settings(max_examples=8)
def test_what_was_changed_can_be_changed_back(edits: list[Edit]):
    texts, new = sound(edits)
    back, faults = amended(texts, tuple(as_edits(differences(new, demo_edition()))))
    assert faults == ()
    restored, findings = read_catalog(back)
    assert restored is not None, findings
    assert restored.digest == demo_edition().digest


@given(EDITS)
@settings(max_examples=8)
def test_a_draft_that_is_sound_differs_as_written_in_what_its_edition_differs_in(
    edits: list[Edit],
):
    texts, new = sound(edits)
    written = differences_as_written(demo_texts(), texts)
    read = differences(demo_edition(), new)
    assert {each.code for each in read.parts} <= {each.code for each in written.parts}
    assert {each.key for each in read.house} <= {each.key for each in written.house}
    assert {each.id for each in read.rules} <= {each.id for each in written.rules}


@given(EDITS)
@settings(max_examples=50)
def test_a_list_of_edits_is_read_back_as_it_was_written(edits: list[Edit]):
    assert read_edits([as_document(each) for each in edits]) == (tuple(edits), ())
