"""Codes for what stands between a draft and an edition."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from buildsheet.codes import CodeEntry, entry, of_entry
from buildsheet.findings import Change, Finding, Value

_DESK: Final = "editions of the catalog"

DESK_CODES: Final[Mapping[str, CodeEntry]] = {
    each.code: each
    for each in (
        entry(
            "data.draft-stale",
            "block",
            "The draft has changed since the version that this was made from.",
            "Writing over it would undo somebody's work unseen.",
            _DESK,
        ),
        entry(
            "data.draft-outrun",
            "block",
            "An edition was published after this draft was begun.",
            "Published as it is, the draft would undo what that edition changed.",
            _DESK,
        ),
        entry(
            "data.author-missing",
            "block",
            "An edition is published without the name of its author.",
            "Whoever builds by an edition must be able to ask somebody about it.",
            _DESK,
        ),
        entry(
            "data.reason-missing",
            "block",
            "An edition is published without a reason.",
            "A change that nobody can explain later cannot be judged later.",
            _DESK,
        ),
        entry(
            "data.second-person",
            "block",
            "The edition changes what a wheel may be asked to bear, and nobody has approved it.",
            "A slip in a limit, a drilling program or a blocking rule breaks wheels; whoever made it "
            "sees it last.",
            _DESK,
        ),
        entry(
            "data.approver-unknown",
            "block",
            "Whoever wants to approve is not signed in as a person of the desk.",
            "A second name that the first person can type is no second person.",
            _DESK,
        ),
        entry(
            "data.same-person",
            "block",
            "The approver is the author.",
            "A second look by the same eyes is no second look.",
            _DESK,
        ),
        entry(
            "data.nothing-changed",
            "block",
            "The edition in force says the same already.",
            "A request that is sent twice must not publish twice.",
            _DESK,
        ),
        entry(
            "data.starts-form",
            "block",
            "The start of an edition is no moment with a zone.",
            "A moment without its zone is a different moment in the next country.",
            _DESK,
        ),
        entry(
            "data.starts-early",
            "block",
            "The edition would start before the one that is in force.",
            "It would say of orders already taken that they were taken under it.",
            _DESK,
        ),
    )
}


def desk_finding(
    code: str,
    at: str,
    says: str,
    *,
    edition: int | None = None,
    have: Mapping[str, Value] | None = None,
    need: Mapping[str, Value] | None = None,
    try_: tuple[Change, ...] = (),
) -> Finding:
    """A blocking finding of one of these codes; ``at`` points into what was sent."""
    listed = DESK_CODES[code]
    found = of_entry(
        listed,
        "block",
        at,
        says,
        edition=edition,
        have=have or {},
        need=need or {},
        also=(),
    )
    return replace(found, try_=try_)
