"""Sixteen senders that keep book: what was sent, and what was answered before the server was gone."""

from __future__ import annotations

import json
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from hashlib import sha256
from typing import Any, Final

from tests.bench.serving.load import Answer, Connection, at_once

CLIENTS: Final = 16
TAKEN: Final = frozenset({200, 201})
AGAIN_S: Final = 0.02
HUNG_S: Final = 20.0
"""A sender that is kept waiting so long by a server that runs has found a fault."""


@dataclass(slots=True)
class Post:
    """One request and its first answer; ``status`` 0 while there is none. ``key`` names it for ever.

    ``seal`` is the digest of the answer's bytes. ``order_id`` and ``event`` are what the answer to an
    order or a move names; ``replayed`` says that it had been done before. ``answer`` is let go once a
    round is over: there are thousands.
    """

    kind: str
    path: str
    body: bytes
    key: str
    method: str = "POST"
    headers: Mapping[str, str] = field(default_factory=dict)
    status: int = 0
    answer: bytes = b""
    seal: bytes = b""
    order_id: str = ""
    event: int = 0
    replayed: bool = False

    @property
    def taken(self) -> bool:
        """Whether it was answered that it is done."""
        return self.status in TAKEN

    def answered(self, answer: Answer) -> None:
        """Keep the first answer."""
        self.status, self.answer, self.seal = answer.status, answer.body, seal(answer.body)
        self.replayed = b"idempotent-replay: true" in answer.head.lower()
        if self.taken and self.kind in ("order", "move"):
            said = self.document()
            self.order_id, self.event = str(said["id"]), int(said["event"])

    def document(self) -> dict[str, Any]:
        """Its answer."""
        said: dict[str, Any] = json.loads(self.answer)
        return said


def seal(answer: bytes) -> bytes:
    """The digest that answers are compared by."""
    return sha256(answer).digest()


class Gone(Exception):
    """The server was killed: the sender stops."""


@dataclass
class Book:
    """Everything ever sent, and the faults found by senders themselves. ``over`` says that the server is
    about to be killed: from then on a lost line is no surprise."""

    posts: list[Post] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    over: threading.Event = field(default_factory=threading.Event)
    answered: int = 0
    lost_lines: int = 0
    short: int = 0

    def taken(self, *kinds: str) -> Iterator[Post]:
        """The posts of these kinds that were answered as done."""
        return (each for each in self.posts if each.taken and each.kind in kinds)

    def let_go(self) -> None:
        """Forget the texts of answers; their seals stay."""
        for each in self.posts:
            each.answer = b""


class Sender:
    """One of the sixteen, over a connection of its own that it opens again when it is cut."""

    def __init__(self, book: Book, port: int, connection: Connection, number: int) -> None:
        self.number = number
        self._book, self._port, self._connection = book, port, connection

    def send(self, post: Post) -> Post:
        """Send it until it is answered. Raises Gone where the server was killed before."""
        self._book.posts.append(post)
        answer = self._until_answered(post)
        post.answered(answer)
        self._book.answered += 1
        if not post.taken:
            self.judge_refusal(post)
        return post

    def again(self, post: Post) -> Answer:
        """The same request once more; what the book says of it stays."""
        return self._until_answered(post)

    def ask(self, path: str) -> Answer:
        """Only look."""
        return self._connection.ask("GET", path)

    def _until_answered(self, post: Post) -> Answer:
        end = time.monotonic() + HUNG_S
        while True:
            try:
                return self._connection.ask(post.method, post.path, post.body, post.headers)
            except TimeoutError:
                self._book.faults.append(
                    f"{post.kind} {post.key}: no answer from a server that runs"
                )
                raise Gone from None
            except OSError:
                if self._book.over.is_set():
                    raise Gone from None
                self._book.lost_lines += 1
            self._connect(end)

    def _connect(self, end: float) -> None:
        """A new line to a server of which a worker was killed."""
        while time.monotonic() < end:
            self._connection.close()
            try:
                self._connection = Connection(self._port)
            except OSError:
                if self._book.over.is_set():
                    raise Gone from None
                time.sleep(AGAIN_S)
            else:
                return
        self._book.faults.append("a server of which one worker was killed takes no line any more")
        raise Gone

    def judge_refusal(self, post: Post) -> None:
        """Short shelves are part of the day; anything else refused here is a fault."""
        codes = {each["code"] for each in post.document().get("findings", [])}
        if post.status == 409 and codes == {"stock.short"}:
            self._book.short += 1
            return
        said = post.answer[:300].decode(errors="replace")
        self._book.faults.append(f"{post.kind} {post.key}: {post.status} {said}")

    def close(self) -> None:
        """Give the line back."""
        self._connection.close()


def let_run(
    book: Book, port: int, run: Callable[[Sender], None], beside: Callable[[], None] | None = None
) -> None:
    """Let all senders run together, each until it is through or the server is gone; ``beside`` is done
    by somebody else, who starts with them."""

    def client(connection: Connection, number: int) -> None:
        if number == CLIENTS:
            if beside is not None:
                beside()
            return
        sender = Sender(book, port, connection, number)
        try:
            run(sender)
        except Gone:
            pass
        finally:
            sender.close()

    at_once(port, CLIENTS + 1, client)


def ask_again(book: Book, port: int, posts: Iterable[Post]) -> None:
    """What was answered is answered so again, byte by byte; what was not is done now, once."""
    waiting, lock = iter(posts), threading.Lock()

    def run(sender: Sender) -> None:
        while True:
            with lock:
                post = next(waiting, None)
            if post is None:
                return
            _again(book, sender, post)

    let_run(book, port, run)


def _again(book: Book, sender: Sender, post: Post) -> None:
    if not post.status:
        answer = sender.again(post)
        post.answered(answer)
        if not post.taken:
            sender.judge_refusal(post)
    if not post.taken:
        return
    answer = sender.again(post)
    if (answer.status, seal(answer.body)) != (post.status, post.seal):
        said = answer.body[:200].decode(errors="replace")
        book.faults.append(
            f"{post.kind} {post.key}: answered {post.status}, asked again {answer.status} {said}"
        )
