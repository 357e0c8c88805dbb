"""The as-built record of one wheel: its content as one document, sealed by a digest over that content.

Whoever holds the document can tell whether a figure in it was changed: `faults` computes the digest
again. It says that a document is whole, not who made it; the workshop's own file is the original.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from hashlib import sha256
from typing import Final

from buildsheet.findings import Value

KIND: Final = "as-built record of a wheel"
FORM: Final = 1
"""The form of the document: another form gets another number."""

NOT_RECORDED: Final = "not recorded"
"""Stands wherever something that belongs into a record was never said: a blank could be anything."""


def canonical(content: Mapping[str, Value]) -> bytes:
    """The content as the bytes that the digest is taken of: JSON, members sorted, no blanks, UTF-8.

    Raises ValueError for a number that JSON does not have.
    """
    return json.dumps(
        dict(content), sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False
    ).encode("utf-8")


def digest(content: Mapping[str, Value]) -> str:
    """``sha256:`` over the content without its own ``digest``.

    >>> digest({"a": 1}) == digest({"a": 1, "digest": "anything"})
    True
    """
    bare = {name: value for name, value in content.items() if name != "digest"}
    return "sha256:" + sha256(canonical(bare)).hexdigest()


def sealed(content: Mapping[str, Value]) -> dict[str, Value]:
    """The content with its kind, its form and its digest."""
    whole: dict[str, Value] = {"kind": KIND, "form": FORM, **content}
    return {**whole, "digest": digest(whole)}


def faults(document: object) -> tuple[str, ...]:
    """What is wrong with a record's document, in sentences; () where it is whole.

    >>> whole = sealed({"serial": "W26-00017-F", "mass_g": 641})
    >>> faults(whole), len(faults({**whole, "mass_g": 640}))
    ((), 1)
    """
    if not isinstance(document, dict):
        return ("It is no object, so it is no record.",)
    if document.get("kind") != KIND:
        return (f"It does not say that it is an {KIND}.",)
    if document.get("form") != FORM:
        return (f"It has form {document.get('form')!r}; this program knows form {FORM}.",)
    stated = document.get("digest")
    if not isinstance(stated, str):
        return ("It carries no digest.",)
    try:
        computed = digest(document)
    except (TypeError, ValueError):
        return ("It holds something that no record holds.",)
    if computed != stated:
        return (
            f"Something in it was changed: its content has digest {computed}, it states {stated}.",
        )
    return ()


def differences(document: Mapping[str, Value], original: Mapping[str, Value]) -> tuple[str, ...]:
    """The places where two records say something else, as JSON Pointers; () where they say the same.

    Their digests are left out: they differ where anything does. Lists of another length differ as a whole.

    >>> differences({"mass_g": 641, "limits": {"kg": 105}}, {"mass_g": 641, "limits": {"kg": 120}})
    ('/limits/kg',)
    """
    return tuple(_differences({**document}, {**original}, ""))


def _differences(left: Value, right: Value, at: str) -> Iterator[str]:
    if isinstance(left, dict) and isinstance(right, dict):
        for name in sorted({*left, *right} - ({"digest"} if at == "" else set())):
            if name not in left or name not in right:
                yield f"{at}/{name}"
            else:
                yield from _differences(left[name], right[name], f"{at}/{name}")
    elif isinstance(left, list) and isinstance(right, list) and len(left) == len(right):
        for place, (one, other) in enumerate(zip(left, right, strict=True)):
            yield from _differences(one, other, f"{at}/{place}")
    elif left != right:
        yield at
