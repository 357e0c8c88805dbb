"""What a browser, or somebody who is none, sends of a form: fields, the way they are packed, headers.

A message is kept as JSON, so that an input that broke something can be read and sent again; what goes
over the line is made from it without any chance.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Any, Final
from urllib.parse import parse_qsl, quote_plus, urlsplit

from tests.soak.fuzzing.loop import Input
from tests.soak.fuzzing.texts import bent_bytes

URLENCODED: Final = "application/x-www-form-urlencoded"
FILE_NAME: Final = '; filename="rims.csv"'
BOUNDARY: Final = "xXfuzzXx"
OWN_PAGE: Final = {"Sec-Fetch-Site": "same-origin"}

Pairs = tuple[tuple[str, str], ...]
Files = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Message:
    """``where`` is method and path; ``way`` one of `WAYS`; ``kind`` the content type instead of the one
    that belongs to the way; ``damage`` the seed of bytes bent after packing; ``visitor`` who sends it;
    ``files`` the fields that are files."""

    where: str
    pairs: Pairs = ()
    way: str = "form"
    kind: str | None = None
    damage: int | None = None
    headers: Mapping[str, str] = field(default_factory=lambda: dict(OWN_PAGE))
    environ: Mapping[str, str] = field(default_factory=dict)
    visitor: str = "owner"
    files: tuple[str, ...] = ()

    def input(self) -> Input:
        """The message as an input that can be kept."""
        said = {name: getattr(self, name) for name in _KEPT}
        return Input(self.where, json.dumps(said).encode())

    def body(self) -> tuple[bytes, str]:
        """The bytes that are sent, and what they are said to be."""
        data, kind = WAYS[self.way](self.pairs, self.files)
        if self.damage is not None:
            data = bent_bytes(Random(self.damage), data)
        return data, kind if self.kind is None else self.kind

    def is_foreign(self) -> bool:
        """Whether a browser says with it that another site's page sent it, or nobody says anything."""
        given = {name.lower(): value for name, value in self.headers.items()}
        if "sec-fetch-site" in given:
            return given["sec-fetch-site"] not in ("same-origin", "none")
        return given.get("origin", "").rstrip("/") != f"http://{given.get('host', 'localhost')}"


_KEPT: Final = ("pairs", "way", "kind", "damage", "headers", "environ", "visitor", "files")


def message_of(one: Input) -> Message:
    """The message that was kept."""
    said: dict[str, Any] = json.loads(one.body)
    pairs = tuple((str(name), str(value)) for name, value in said.pop("pairs"))
    return Message(one.where, pairs, files=tuple(said.pop("files")), **said)


def of_address(address: str) -> Message:
    """A question with what stands behind the question mark as its fields."""
    parts = urlsplit(address)
    return Message(f"GET {parts.path}", tuple(parse_qsl(parts.query, keep_blank_values=True)))


def written(pairs: Sequence[tuple[str, str]], encoding: str = "utf-8") -> bytes:
    """Fields as they stand in an address or in a form's body."""
    safe = "surrogatepass" if encoding == "utf-8" else "replace"
    text = "&".join(
        f"{quote_plus(name.encode(encoding, safe))}={quote_plus(value.encode(encoding, safe))}"
        for name, value in pairs
    )
    return text.encode("ascii")


def _form(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    return written(pairs), URLENCODED


def _latin(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    return written(pairs, "latin-1"), f"{URLENCODED}; charset=latin-1"


def _wide(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    return written(pairs, "utf-16"), f"{URLENCODED}; charset=utf-16"


def _bare(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    """Not quoted at all: what stands in a value may end it."""
    text = "&".join(f"{name}={value}" for name, value in pairs)
    return text.encode("utf-8", "surrogatepass"), URLENCODED


def _semicolons(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    return written(pairs).replace(b"&", b";"), URLENCODED


def _parts(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    parts = [
        f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="{_in_header(name)}"'
        f"{FILE_NAME if name in files else ''}\r\n\r\n{value}\r\n"
        for name, value in pairs
    ]
    body = ("".join(parts) + f"--{BOUNDARY}--\r\n").encode("utf-8", "surrogatepass")
    return body, f"multipart/form-data; boundary={BOUNDARY}"


def _files(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    """Everything as a file."""
    return _parts(pairs, tuple(name for name, _ in pairs))


def _in_header(name: str) -> str:
    return name.replace('"', "%22").replace("\r", "%0D").replace("\n", "%0A")


def _plain(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    text = "".join(f"{name}={value}\r\n" for name, value in pairs)
    return text.encode("utf-8", "surrogatepass"), "text/plain"


def _document(pairs: Pairs, files: Files) -> tuple[bytes, str]:
    return json.dumps(dict(pairs)).encode(), "application/json"


WAYS: Final[Mapping[str, Callable[[Pairs, Files], tuple[bytes, str]]]] = {
    "form": _form,
    "parts": _parts,
    "files": _files,
    "latin": _latin,
    "wide": _wide,
    "bare": _bare,
    "semicolons": _semicolons,
    "plain": _plain,
    "document": _document,
}
"""How fields are packed into a body, and what the body is then said to be."""
