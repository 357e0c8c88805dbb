"""One judgement of one document: what its form says, and the answers to every question about it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import cached_property

from buildsheet.catalog.edition import Edition
from buildsheet.findings import Finding
from buildsheet.orders.changes import Changes, changed
from buildsheet.orders.checks import QUESTIONS, Question
from buildsheet.orders.posted import POSITIONS, Posted
from buildsheet.orders.raised import Raised
from buildsheet.orders.reading import Reading, read_again, read_parsed
from buildsheet.orders.text import Parsed

Key = tuple[str, str, str]
"""What makes a finding the same finding after a change: code, place, and the fact that is missing."""

CLEARABLE_FORM = frozenset(
    {
        "order.missing-member",
        "order.wrong-type",
        "order.not-a-choice",
        "order.out-of-range",
        "order.text",
        "order.not-a-number",
    }
)
"""Faults of form that another value at the same place can clear."""


def key_of(finding: Finding) -> Key:
    """Code, place, and the missing fact where a part lacks one."""
    missing = finding.have.get("missing") if finding.code == "data.fact-missing" else None
    return finding.code, finding.at, str(missing or "")


Answers = Mapping[int, tuple[Raised, ...]]
"""What questions raised, by the identity of each: they are made once, and hashing one costs more than
asking most of them."""


class Judgement:
    """What one document amounts to over one edition. A question is asked when its answer is wanted.

    ``answers`` are known already: those of a document that says the same wherever these questions look;
    ``asked`` are the questions without those of them that raise nothing.
    """

    def __init__(
        self,
        parsed: Parsed,
        edition: Edition,
        posted: Posted | None = None,
        reading: Reading | None = None,
        answers: Answers | None = None,
        asked: Sequence[Question] = QUESTIONS,
        before: Judgement | None = None,
        places: tuple[str, ...] = (),
    ) -> None:
        self.parsed = parsed
        self._read = reading
        self.edition = edition
        self._posted = posted
        self._answers = dict(answers or {})
        self._asked = asked
        self._besides: dict[tuple[str, ...], tuple[Mapping[str, Finding], frozenset[str]]] = {}
        self._before = before
        self.places = places
        """Where the document differs from the one before it."""

    @cached_property
    def reading(self) -> Reading:
        """The document's form."""
        return self._read or read_parsed(self.parsed)

    @cached_property
    def form(self) -> tuple[Raised, ...]:
        """What the form says, placed in the edition."""
        return tuple(_of_form(each, self.edition.number) for each in self.reading.findings)

    @cached_property
    def form_again(self) -> tuple[Raised, ...]:
        """What the form says at `places` and of the wheels that the kind has; of a document with none
        before it, all that the form says."""
        if self._before is None:
            return self.form
        held = self._before.parsed.document or {}
        again = read_again(self._before.reading, held, self.parsed, self.places)
        return tuple(_of_form(each, self.edition.number) for each in again)

    @cached_property
    def told(self) -> frozenset[str]:
        """Places that the form speaks about."""
        return frozenset(each.at for each in self.reading.findings if each.at)

    @cached_property
    def posted(self) -> Posted:
        """The order over the edition, as far as its form lets it be read."""
        return self._posted or Posted(self.reading.draft, self.edition, self.told)

    @cached_property
    def apart(self) -> frozenset[str]:
        """The positions whose parts are not all known, or do not join: nothing is computed there."""
        wheels = ((each, self.posted.wheel(each)) for each in POSITIONS)
        return frozenset(each for each, wheel in wheels if wheel is None or wheel.assembly is None)

    def after(self, changes: Changes) -> Judgement:
        """The judgement of the document with these values put in.

        Values from the catalog are sound by themselves, so the order can be looked at before its form
        is read again; whoever keeps a change must look at `form_again` too.
        """
        places = tuple([place for place, _ in changes])
        faults, told = self.beside(places)
        return Judgement(
            Parsed(changed(self.parsed.document or {}, changes), faults),
            self.edition,
            Posted(changed(self.reading.draft, changes), self.edition, told),
            before=self,
            places=places,
        )

    def beside(self, places: tuple[str, ...]) -> tuple[Mapping[str, Finding], frozenset[str]]:
        """What was at fault as text, and where the form speaks, neither at these places nor inside."""
        known = self._besides.get(places)
        if known is None:
            inside = tuple(place + "/" for place in places)
            kept = self.parsed.faults.items()
            known = self._besides[places] = (
                {at: fault for at, fault in kept if at not in places and not at.startswith(inside)},
                frozenset(at for at in self.told if at not in places and not at.startswith(inside)),
            )
        return known

    def answer(self, question: Question) -> tuple[Raised, ...]:
        """What this question raises here; asked once."""
        answer = self._answers.get(id(question))
        if answer is None:
            answer = self._answers[id(question)] = question.ask(self.posted)
        return answer

    def answers_apart_from(self, questions: Collection[int]) -> Answers:
        """All answers but those to these questions, given by their identity."""
        return {id(each): self.answer(each) for each in QUESTIONS if id(each) not in questions}

    def everything(self) -> Iterator[tuple[Raised, Question | None]]:
        """Every finding once, with the question that raised it; None for faults of form."""
        seen: set[Key] = set()
        for raised, question in self._all():
            key = key_of(raised.finding)
            if key not in seen:
                seen.add(key)
                yield raised, question

    def _all(self) -> Iterator[tuple[Raised, Question | None]]:
        for raised in self.form:
            yield raised, None
        # Most questions raise nothing: nothing is made for those.
        for question in self._asked:
            for raised in self.answer(question):
                yield raised, question


def with_masses(
    like: Posted, parsed: Parsed, reading: Reading, answers: Answers, asked: Sequence[Question]
) -> Judgement:
    """The judgement of a document whose order differs from another one in its masses alone. ``answers``:
    those to the other one that no mass can change; ``asked``: all questions but those that raise nothing
    among them."""
    told = frozenset(each.at for each in reading.findings if each.at)
    posted = like.with_masses(reading.draft, told)
    return Judgement(parsed, like.edition, posted, reading, answers, asked)


def _of_form(finding: Finding, edition: int) -> Raised:
    placed = finding.held_to(edition)
    if finding.code == "pair.kind":
        return Raised(placed, ("/kind", finding.at))
    clearable = finding.code in CLEARABLE_FORM and finding.at
    return Raised(placed, (finding.at,) if clearable else ())
