"""Many connections that post one document after the other, and how long each answer took."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

PATIENCE_S = 30.0
NO_HEADERS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer: its status, its body, how long it took, and its status line and headers as they came."""

    status: int
    body: bytes
    took_s: float
    head: bytes = b""


class Connection:
    """One connection that is kept. Only what a bench needs of HTTP/1.1: bodies with a length."""

    def __init__(self, port: int) -> None:
        self._socket = socket.create_connection(("127.0.0.1", port), PATIENCE_S)
        self._socket.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)

    def post(self, path: str, body: bytes) -> Answer:
        """Post JSON and wait for the whole answer."""
        return self.ask("POST", path, body)

    def ask(
        self, method: str, path: str, body: bytes = b"", headers: Mapping[str, str] = NO_HEADERS
    ) -> Answer:
        """Ask with JSON for a body and wait for the whole answer; not for HEAD, whose answer has none."""
        more = "".join(f"{name}: {value}\r\n" for name, value in headers.items())
        head = (
            f"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
            f"Content-Length: {len(body)}\r\n{more}\r\n"
        )
        start = time.perf_counter()
        self._socket.sendall(head.encode() + body)
        head_came, answer = self._answer()
        status = int(head_came.split(b" ", 2)[1])
        return Answer(status, answer, time.perf_counter() - start, head_came)

    def _answer(self) -> tuple[bytes, bytes]:
        got = b""
        while b"\r\n\r\n" not in got:
            got += self._some()
        head, _, body = got.partition(b"\r\n\r\n")
        length = next(
            int(line.split(b":")[1])
            for line in head.lower().split(b"\r\n")
            if line.startswith(b"content-length:")
        )
        parts, have = [body], len(body)
        while have < length:
            parts.append(self._some())
            have += len(parts[-1])
        return head, b"".join(parts)

    def _some(self) -> bytes:
        some = self._socket.recv(65536)
        if not some:
            raise ConnectionError("the server closed the connection")
        return some

    def close(self) -> None:
        """Give it back."""
        self._socket.close()


def at_once(port: int, clients: int, run: Callable[[Connection, int], None]) -> float:
    """Let every client run over a connection of its own, all starting together; how long it took, s."""
    gate = threading.Barrier(clients + 1)
    troubles: list[BaseException] = []

    def client(number: int) -> None:
        connection = Connection(port)
        try:
            gate.wait()
            run(connection, number)
        except BaseException as trouble:  # noqa: BLE001 - told by the main thread
            troubles.append(trouble)
        finally:
            connection.close()

    threads = [threading.Thread(target=client, args=(number,)) for number in range(clients)]
    for thread in threads:
        thread.start()
    gate.wait()
    start = time.perf_counter()
    for thread in threads:
        thread.join()
    if troubles:
        raise troubles[0]
    return time.perf_counter() - start


def post_for(
    port: int, path: str, bodies: Iterator[bytes], *, clients: int, lasting_s: float
) -> tuple[list[Answer], float]:
    """Every answer that came while the clients posted for so long, without bodies; and the time it took."""
    lock, answers = threading.Lock(), []

    def run(connection: Connection, _number: int) -> None:
        end = time.perf_counter() + lasting_s
        mine = []
        while time.perf_counter() < end:
            with lock:
                body = next(bodies)
            answer = connection.post(path, body)
            mine.append(Answer(answer.status, b"", answer.took_s))
        with lock:
            answers.extend(mine)

    took_s = at_once(port, clients, run)
    return answers, took_s
