"""One judgement of one document: its form, its wheels, and, when asked, its structure."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding
from buildsheet.orders.checks import raised_by, raised_by_structure
from buildsheet.orders.posted import Posted
from buildsheet.orders.raised import Raised
from buildsheet.orders.reading import Reading, read_parsed
from buildsheet.orders.text import Parsed

Key = tuple[str, str]
"""Code and place: what makes a finding the same finding after a change."""


def key_of(finding: Finding) -> Key:
    """Code and place of a finding."""
    return finding.code, finding.at


@dataclass(frozen=True)
class Judgement:
    """What one document amounts to over one edition. Structure is judged on demand, and last."""

    reading: Reading
    posted: Posted
    edition: Edition

    @cached_property
    def cheap(self) -> tuple[Raised, ...]:
        """Everything about the form, the parts and the computed wheels."""
        form = [_of_form(each, self.edition.number) for each in self.reading.findings]
        return (*form, *raised_by(self.posted))

    @cached_property
    def structural(self) -> tuple[Raised, ...]:
        """Everything about the wheels as structures."""
        return tuple(raised_by_structure(self.posted))

    @cached_property
    def cheap_keys(self) -> dict[Key, str]:
        """Severity by code and place."""
        return {key_of(each.finding): each.finding.severity for each in self.cheap}

    @cached_property
    def structural_keys(self) -> dict[Key, str]:
        """The same for structure."""
        return {key_of(each.finding): each.finding.severity for each in self.structural}


def judge(parsed: Parsed, edition: Edition) -> Judgement:
    """The judgement of one parsed document."""
    reading = read_parsed(parsed)
    told = frozenset(each.at for each in reading.findings if each.at)
    return Judgement(reading, Posted(reading.draft, edition, told), edition)


def _of_form(finding: Finding, edition: int) -> Raised:
    """A finding about the form; where the catalog offers values for its place, they are tried."""
    placed = replace(finding, edition=edition)
    if finding.code == "pair.kind":
        return Raised(placed, ("/kind", finding.at))
    clearable = finding.code in {
        "order.missing-member",
        "order.wrong-type",
        "order.not-a-choice",
        "order.out-of-range",
        "order.text",
        "order.not-a-number",
    }
    return Raised(placed, (finding.at,) if clearable and finding.at else ())
