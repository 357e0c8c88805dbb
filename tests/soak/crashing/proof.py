"""The workshop file against the book of what was answered: nothing lost, nothing twice, all of it told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from buildsheet.actions.audit import file
from buildsheet.actions.audit.notes import Notes
from buildsheet.actions.moves.documents import MOVE_WORDS
from buildsheet.actions.stock.shelf import disagreements
from buildsheet.actions.workshop import Workshop
from buildsheet.storage.database import Section
from tests.soak.crashing.clients import Book, Post, seal

FIRST_GOODS = "first-shelves"
"""The key of what lay on the shelves before the first round."""

ANSWERS = {
    "move": "select move_key, answer from order_moves where move_key is not null",
    "goods": f"select posting_key, answer from stock_postings where posting_key <> '{FIRST_GOODS}'",
    "step": "select step_key, answer from bench_steps",
    "pass": "select pass_key, answer from bench_passes",
}
"""Where the answers to each kind of post are kept."""

COMING_IN = "kind in ('received', 'expected')"


@dataclass
class Faults:
    """What is wrong with a file: what was answered and is not there, what is there twice, all else.
    ``cut_off`` is how much came after the end of a log that was cut."""

    lost: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    other: list[str] = field(default_factory=list)
    cut_off: int = 0

    def every(self) -> list[str]:
        """All of it, in words."""
        return [
            *(f"lost: {each}" for each in self.lost),
            *(f"twice: {each}" for each in self.doubled),
            *self.other,
        ]


def look(workshop: Workshop, book: Book) -> Faults:
    """Everything wrong with the file."""
    faults = Faults()
    with workshop.database.reading() as section:
        faults.other += whole(section)
        _orders(section, book, faults)
        for kind, sql in ANSWERS.items():
            rows = section.rows(sql)
            _against(kind, book, {str(key): str(answer) for key, answer in rows}, faults)
            _twice(kind, (str(key) for key, _ in rows), faults)
        _moved_at_the_stand(section, faults)
        _editions(section, book, faults)
        _goods_once(section, book, faults)
        faults.other += told(section)
    faults.other += disagreements(workshop)
    return faults


def whole(section: Section) -> list[str]:
    """Pages, references, guards, numbers without gaps, nothing without what it belongs to; and no part
    promised to two wheels."""
    notes = Notes()
    for check in (file.engine, file.numbers, file.strays):
        check(section, notes)
    overdrawn = section.rows("select item, shelf, held from stock_levels where held > shelf")
    return [
        *(f"{each.check} {each.at}: {each.says}" for each in notes.faults),
        *(f"{item}: {held} promised, {shelf} there" for item, shelf, held in overdrawn),
    ]


def _orders(section: Section, book: Book, faults: Faults) -> None:
    rows = section.rows("select number, id from orders")
    ids = {str(number): str(order_id) for number, order_id in rows}
    _twice("order", (str(number) for number, _ in rows), faults)
    sent = {each.key for each in book.posts if each.kind == "order"}
    faults.other += [f"order {number} was never sent" for number in sorted(ids.keys() - sent)]
    events = _events_of_orders(section)
    for post in book.taken("order", "move"):
        if post.kind == "order" and ids.get(post.key) != post.order_id:
            faults.lost.append(
                f"order {post.key}: answered {post.order_id}, is {ids.get(post.key)}"
            )
        if events.get(post.event) != post.order_id:
            faults.lost.append(f"event {post.event} of {post.kind} {post.key}")


def _moved_at_the_stand(section: Section, faults: Faults) -> None:
    """Moves that nobody sent follow from what was done at the stand, each once."""
    rows = section.rows("select order_id, move from order_moves where move_key is null")
    _twice("move at the stand", (f"{move} of {order_id}" for order_id, move in rows), faults)
    begun = section.rows(
        """
        select order_id from wheels
        where serial in (select serial from bench_steps union select serial from bench_passes)
        """
    )
    nobodys = {str(order_id) for order_id, _ in rows} - {str(row[0]) for row in begun}
    faults.other += [f"{order_id} was moved at the stand by nobody" for order_id in sorted(nobodys)]


def _events_of_orders(section: Section) -> dict[int, str]:
    rows = section.rows("select sequence, order_id from events where kind like 'order.%'")
    return {int(sequence): str(order_id) for sequence, order_id in rows}


def _against(kind: str, book: Book, there: Mapping[str, str], faults: Faults) -> None:
    """Every answer of a kind against what is kept; nothing kept that nobody sent."""
    sent = {each.key for each in book.posts if each.kind == kind}
    faults.other += [f"{kind} {key} was never sent" for key in sorted(there.keys() - sent)]
    for post in book.taken(kind):
        if post.key not in there:
            faults.lost.append(f"{kind} {post.key}")
        elif seal(there[post.key].encode()) != post.seal:
            faults.other.append(f"{kind} {post.key} is kept with another answer than it got")


def _twice(kind: str, keys: Iterable[str], faults: Faults) -> None:
    faults.doubled += [f"{kind} {key}" for key, times in Counter(keys).items() if times > 1]


def _editions(section: Section, book: Book, faults: Faults) -> None:
    rows = section.rows("select reason from edition_papers where kind = 'published'")
    reasons = [str(reason) for (reason,) in rows]
    _twice("edition", reasons, faults)
    faults.lost += [
        f"edition {each.key}" for each in book.taken("publish") if each.key not in reasons
    ]


def _goods_once(section: Section, book: Book, faults: Faults) -> None:
    """Each list has brought exactly its two lines; its reason is its key."""
    sql = f"select reason, count(*) from stock_movements where {COMING_IN} group by reason"
    lines = {str(reason): int(count) for reason, count in section.rows(sql) if reason}
    for post in book.posts:
        if post.kind != "goods":
            continue
        count = lines.get(post.key, 0)
        if count > 2:
            faults.doubled.append(f"goods {post.key}: {count} lines of 2")
        elif count == 1 or (post.taken and count == 0):
            faults.lost.append(f"goods {post.key}: {count} lines of 2")


def told(section: Section) -> list[str]:
    """Where events and rows differ in number: everything that was done is told of once."""
    return [
        f"{kind}: {told_of} events, {there} rows"
        for kind, there in _rows_of(section)
        if (told_of := _one(section, "select count(*) from events where kind = ?", kind)) != there
    ]


def _rows_of(section: Section) -> Iterator[tuple[str, int]]:
    """(kind of event, how many there must be)."""
    yield "order.taken", _one(section, "select count(*) from orders")
    for move, word in MOVE_WORDS.items():
        sql = "select count(*) from order_moves where move = ?"
        yield f"order.{word}", _one(section, sql, move)
    changes = "select count(*) from order_revisions where revision > 1"
    yield "order.changed", _one(section, changes)
    yield "wheel.step", _one(section, "select count(*) from bench_steps")
    yield "wheel.read", _one(section, "select count(*) from bench_passes")
    published = "select count(*) from edition_papers where kind = 'published'"
    yield "edition.published", _one(section, published)
    for kind in ("received", "expected"):
        lists = "select count(distinct reason) from stock_movements where kind = ?"
        yield f"stock.{kind}", _one(section, lists, kind)


def _one(section: Section, sql: str, *values: str) -> int:
    return int(section.one(sql, *values)[0])


def prefix(workshop: Workshop, book: Book) -> Faults:
    """What is wrong with a file of which the end may be lost: it must be whole, and hold exactly what
    was answered up to its last event."""
    faults = Faults()
    with workshop.database.reading() as section:
        faults.other += [*whole(section), *told(section)]
        last = _one(section, "select coalesce(max(sequence), 0) from events")
        ids = {str(row[0]) for row in section.rows("select id from orders")}
        keys = {str(row[0]) for row in section.rows("select move_key from order_moves")}
    for post in book.taken("order", "move"):
        there = _is_there(post, ids, keys)
        faults.cut_off += post.event > last
        if there and post.event > last:
            faults.other.append(f"{post.kind} {post.key} is there, its event {post.event} is not")
        if not there and post.event <= last:
            faults.lost.append(f"{post.kind} {post.key} of event {post.event}, the last is {last}")
    faults.other += disagreements(workshop)
    return faults


def _is_there(post: Post, ids: set[str], keys: set[str]) -> bool:
    return post.order_id in ids if post.kind == "order" else post.key in keys
