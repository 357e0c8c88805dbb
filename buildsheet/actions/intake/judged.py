"""Orders that were judged before: the same document over the same edition is judged once in a process.

What an order is answered follows from its document and its edition alone. Who orders, and by when, is no
part of that: a shop that sells the same set all week has it judged once. Only what can be built is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import chain
from typing import Final

from pydantic_core import to_json

from buildsheet.actions.plan_record import kept
from buildsheet.actions.stock.holds import parts_text
from buildsheet.catalog.edition import Edition
from buildsheet.findings import Value
from buildsheet.orders.changes import changed
from buildsheet.orders.check import Checked, at_once, checked
from buildsheet.orders.checks import QUESTIONS, Question
from buildsheet.orders.checks.rule_members import members_told
from buildsheet.orders.checks.rules import asked_by
from buildsheet.orders.judging import Answers, Judgement, with_masses
from buildsheet.orders.posted import Posted
from buildsheet.orders.reading import Reading
from buildsheet.orders.reservation.need import Need, needs, pieces
from buildsheet.orders.text import Parsed
from buildsheet.plan.plan import Plan
from buildsheet.remembered import Remembered
from buildsheet.space.questions import MASSES, RULES_FAMILY, reads_of
from buildsheet.storage.wheels import StoredPlan

WHO: Final = frozenset({"source", "number", "revision", "wanted_by"})
"""Members that no check reads; tests/actions/intake/test_judged.py holds it."""

MOST: Final = 2048
"""Judgements kept; each is some ten kilobytes, its plans are shared."""


@dataclass(frozen=True, slots=True)
class Wheels:
    """The wheels of an order: what is stored for them, and what they take from the shelves together.

    ``wanted`` is item -> pieces of all; ``picked`` position -> item -> pieces of that wheel's pick list,
    and ``told`` the same as an answer tells it (`holds.parts_text`).
    """

    plans: Mapping[str, StoredPlan]
    needs: Mapping[str, Need]
    wanted: Mapping[str, int]
    picked: Mapping[str, Mapping[str, int]]
    told: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Judged:
    """An order over an edition, and its wheels where it can be built (else none)."""

    edition: Edition
    checked: Checked
    wheels: Wheels


@dataclass(frozen=True, slots=True)
class _Alike:
    """What orders have in common that differ in their masses alone: the order as the first of them posted
    it, what was raised that no mass changes, and what has to be asked of the others."""

    posted: Posted
    raised: Answers
    asked: tuple[Question, ...]
    plans: Mapping[str, Plan]
    wheels: Wheels


_NONE: Final = Wheels({}, {}, {}, {}, {})
_alike = Remembered[_Alike](MOST)
_judged = Remembered[Judged](MOST)
_made = Remembered[bool](8 * MOST)
_running: dict[str, Edition] = {}


def what(document: Mapping[str, Value]) -> str:
    """What an order says apart from who ordered it, as text.

    >>> what({"source": "shop-a", "number": "1", "kind": "set"})
    '{"kind":"set"}'
    """
    said = {name: value for name, value in document.items() if name not in WHO}
    return to_json(said).decode()


def judge(
    parsed: Parsed, reading: Reading, edition: Edition, before_long: Callable[[], None] = at_once
) -> Judged:
    """What `orders.check.check_read` says of a document; where orders for the same wheels came before,
    only what looks at the masses is asked again. ``before_long`` is called before all is judged
    anew and before ways out are looked for, which takes as long as many orders do."""
    at = edition.digest, what(_without_masses(parsed.document or {}))
    alike = _alike.get(at)
    if alike is not None:
        judgement = with_masses(alike.posted, parsed, reading, alike.raised, alike.asked)
        done = checked(judgement, alike.plans, before_long)
        return Judged(edition, done, alike.wheels if done.buildable else _NONE)
    before_long()
    judgement = Judgement(parsed, edition, reading=reading)
    done = checked(judgement)
    if not done.buildable:
        return Judged(edition, done, _NONE)
    wheels = _wheels(done.plans)
    answers = judgement.answers_apart_from(_questions_of_masses(edition))
    asked = tuple(each for each in QUESTIONS if answers.get(id(each)) != ())
    raised = {question: answer for question, answer in answers.items() if answer}
    # Without what the first one's masses brought in.
    posted = judgement.posted.with_masses(reading.draft, judgement.told)
    _alike.put(at, _Alike(posted, raised, asked, done.plans, wheels))
    return Judged(edition, done, wheels)


def _wheels(plans: Mapping[str, Plan]) -> Wheels:
    all_needs = needs(plans)
    picked = {position: pieces(plan.pick) for position, plan in plans.items()}
    return Wheels(
        {position: kept(plans[position]) for position in sorted(plans)},
        all_needs,
        {item: need.pieces for item, need in all_needs.items()},
        picked,
        {position: parts_text(each) for position, each in picked.items()},
    )


def _without_masses(document: Mapping[str, Value]) -> dict[str, Value]:
    return changed(document, ((at, None) for at in MASSES))


def _questions_of_masses(edition: Edition) -> frozenset[int]:
    """The questions, by identity, that may have another answer where an order says other masses."""
    return frozenset(id(each) for each in QUESTIONS if _looks_at_masses(each, edition))


def _looks_at_masses(question: Question, edition: Edition) -> bool:
    family, _, check = question.check.partition(".")
    if family + "." == RULES_FAMILY:
        # Which facts a rule reads is for its edition to say.
        told = (member for rule in asked_by(check, edition) for member in members_told(rule))
        return any(f"/{member}" in MASSES for member in told)
    reads = reads_of(question)
    return any(at in MASSES for at in (*reads.beside, *chain.from_iterable(reads.groups)))


def keep(said: str, judged: Judged) -> None:
    """Remember a buildable order's judgement where it was made before, so that what comes once is not
    kept; ``said`` is its `what`."""
    at = judged.edition.digest, said
    if _made.get(hash(at)):
        _judged.put(at, judged)
    else:
        _made.put(hash(at), True)


def known(path: str, said: str) -> Judged | None:
    """The judgement of this document over the edition that ran last in this file.

    Another edition may run by now: whoever takes the order asks again under the lock.
    """
    edition = _running.get(path)
    return _judged.get((edition.digest, said)) if edition is not None else None


def ran_last(path: str) -> Edition | None:
    """The edition that ran in this file when it was asked last; None where nobody asked yet."""
    return _running.get(path)


def runs(path: str, edition: Edition) -> None:
    """Note which edition runs in a workshop file."""
    _running[path] = edition


def forget() -> None:
    """Forget every judgement: for tests that want to see one made."""
    _judged.clear()
    _made.clear()
    _alike.clear()
    _running.clear()
