"""Of all that could be ordered in place of what is short, the nearest to what was ordered is offered."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding, Value
from buildsheet.orders.changes import changed, values_at
from buildsheet.orders.check import check_document
from buildsheet.orders.judging import key_of
from buildsheet.orders.reservation.nearness import Unlike, unlike
from buildsheet.orders.reservation.need import needs
from buildsheet.orders.reservation.shortage import Shelves, shortage
from tests.orders.workshop import demo
from tests.workshops import example

Document = dict[str, Any]
PLENTY = 999


def both(value: Value) -> Document:
    return {"left": value, "right": value}


class Everywhere(defaultdict[str, int]):
    """Plenty of everything but what is named."""

    def __init__(self, gone: Mapping[str, int]) -> None:
        super().__init__(lambda: PLENTY, gone)

    def get(self, item: str, default: Any = None) -> Any:
        return self[item]


def said(document: Document, gone: Mapping[str, int], edition: Edition | None = None) -> Finding:
    """The finding of the one article that is short, where all shelves are full but for these."""
    over = edition or demo()
    plans = check_document(document, over).plans
    [finding] = shortage(needs(plans), Shelves(Everywhere(gone)), document, over)
    return finding


def cautions(before: Document, after: Document) -> int:
    """What is newly said, by checking both orders whole."""
    judged = check_document(after, demo())
    assert judged.buildable
    known = {(key_of(each), each.severity) for each in check_document(before, demo()).findings}
    heavy = [each for each in judged.findings if each.severity != "note"]
    return len([each for each in heavy if (key_of(each), each.severity) not in known])


def test_blades_that_are_short_are_answered_with_blades_and_nothing_new_is_said():
    order = example("D-1002")
    finding = said(order, {"SSB9/267": 11})
    first = dict(finding.together[0])
    assert (first["/front/hub"], first["/front/spoke"]) == ("KF2", both("SJB9"))
    assert cautions(order, changed(order, first.items())) == 0
    round_ones = changed(order, {**first, "/front/spoke": both("SJ15")}.items())
    assert "rule.blades-not-behind-alone" in [
        each.code for each in check_document(round_ones, demo()).findings
    ]


def test_round_spokes_are_offered_where_no_blade_is_there():
    gone = dict.fromkeys([f"SJB9/{length}" for length in range(240, 300)], 0)
    gone |= dict.fromkeys([f"SJB12/{length}" for length in range(240, 300)], 0)
    finding = said(example("D-1002"), {"SSB9/267": 11, **gone})
    assert [changes["/front/spoke"] for changes in finding.together] == [both("SJ15")]


@pytest.mark.parametrize("name", ["D-1002", "D-1004"])
def test_no_other_set_with_the_same_hub_says_less_that_is_new(name: str):
    """All sets there are, each checked whole."""
    order = example(name)
    finding = said(order, {"KF4/24": 0})
    assert finding.together
    for offered in finding.together:
        least = cautions(order, changed(order, offered.items()))
        hub = offered["/front/hub"]
        for other in swaps_with(order, hub):
            after = changed(order, other)
            if check_document(after, demo()).buildable and not _waits(after):
                assert cautions(order, after) >= least, other


def _waits(document: Document) -> bool:
    return any(each.severity == "approval" for each in check_document(document, demo()).findings)


def swaps_with(order: Document, hub: Value) -> Iterator[tuple[tuple[str, Value], ...]]:
    places = ("/front/spoke", "/front/crossings")
    for values in product(*(values_at(place, demo(), order) for place in places)):
        yield (("/front/hub", hub), *zip(places, values, strict=True))


def with_hub_like_kf2(**figures: object) -> Edition:
    """The edition with one more hub, KF9, on the same end caps."""
    other = demo().hubs["KF2"].model_copy(update={"code": "KF9", **figures})
    caps = {
        code: each.model_copy(update={"hubs": (*each.hubs, "KF9")}) if "KF2" in each.hubs else each
        for code, each in demo().end_caps.items()
    }
    hubs = {**demo().hubs, "KF9": other}
    return replace(demo(), hubs=hubs, end_caps=caps, digest=f"{demo().digest}+KF9{figures}")


def test_no_set_is_offered_with_a_hub_that_alone_will_do():
    finding = said(example("D-1001"), {"KF2/24": 0}, with_hub_like_kf2(mass_g=130.0))
    assert [each.values for each in finding.try_ if each.at == "/front/hub"] == [("KF9",)]
    assert [changes["/front/hub"] for changes in finding.together] == ["KF4"]


def test_spokes_that_fit_the_other_hub_are_left_as_they_were_ordered():
    """Two crossings are all that this hub takes: with them alone it is offered."""
    order = example("D-1001", **{"/front/holes": 28, "/front/crossings": both(3)})
    finding = said(order, {"KF2/28": 0}, with_hub_like_kf2(crossings=(2,)))
    assert [*map(dict, finding.together)] == [{"/front/hub": "KF9", "/front/crossings": both(2)}]


def test_the_same_shortage_is_answered_the_same_every_time():
    one, other = (said(example("D-1002"), {"SSB9/267": 11}) for _ in range(2))
    assert one == other


def test_a_blade_counts_before_the_head_and_the_head_before_the_thickness():
    order: Document = {"front": {"spoke": both("SSB9")}}

    def far(code: str) -> Unlike:
        return unlike((("/front/spoke", both(code)),), demo(), order)

    assert sorted(["SJ15", "SJ18", "SJB9", "SJB12"], key=far) == ["SJB9", "SJB12", "SJ15", "SJ18"]
    assert far("SJB9") == Unlike(blades=0, heads=2, thickness_mm=0.0)
    assert far("SJ15")[:2] == (2, 2)
    assert far("SJ15").thickness_mm == pytest.approx(2 * (1.5 - 0.9))
    assert unlike((("/front/hub", "KF2"),), demo(), order) == Unlike()
