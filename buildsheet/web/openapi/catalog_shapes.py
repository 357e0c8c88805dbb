"""What the catalog's routes take and answer, as models. Bodies are read through these; answers are only
described by them, and the tests hold every real answer against them."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from pydantic import BaseModel, ConfigDict, Field

from buildsheet.web.openapi.shapes import FindingShape, Shape

BY: Final = r"^[^\x00-\x20\x7f-\xa0]([^\x00-\x1f\x7f-\x9f]{0,58}[^\x00-\x20\x7f-\xa0])?$"
"""A name in one line, no space before or behind it. `name_of` looks more closely."""

CODE: Final = "^[A-Z0-9][A-Z0-9.-]{0,23}$"
RULE_ID: Final = "^[a-z][a-z0-9-]{0,59}$"
HOUSE_KEY: Final = "^[A-Za-z_]{1,40}([.][A-Za-z_]{1,40}){0,3}$"
SUBJECT: Final = "^[a-z][a-z_-]{0,39}$"

By = Annotated[str, Field(pattern=BY, description="who does this")]
Table = Annotated[
    dict[str, Any], Field(description="Keys as in the catalog files; null leaves a key out.")
]
Kind = Literal[
    "rims",
    "hubs",
    "spokes",
    "nipples",
    "washers",
    "drivers",
    "end_caps",
    "decals",
    "programs",
]


class Body(BaseModel):
    """A body that is sent: no member but these."""

    model_config = ConfigDict(extra="forbid", strict=True)


class BeginBody(Body):
    """Who begins a draft."""

    by: By


class PartBody(Body):
    """A whole part: `values` are all its keys. A part that is new needs its `kind`."""

    by: By
    kind: Kind | None = None
    values: Table


class RuleBody(Body):
    """A whole rule; a new one goes into the file of its `subject`."""

    by: By
    subject: Annotated[str, Field(pattern=SUBJECT)] = "desk"
    values: Table


class HouseBody(Body):
    """One house figure; null takes it out."""

    by: By
    value: Any


class ChangesBody(Body):
    """A list of edits, made all or none: each says `part`, `drop_part`, `rule`, `drop_rule` or `house`."""

    by: By
    edits: Annotated[list[dict[str, Any]], Field(min_length=1, max_length=500)]


class PublishBody(Body):
    """Who publishes and why. Limits, drilling programs and blocking rules need a second person: whoever
    approved this version; `approver` is a typed name, which counts only where nobody signs in. `starts` is
    RFC 3339, absent for at once."""

    author: Annotated[str, Field(max_length=200)] = ""
    approver: Annotated[str, Field(max_length=200)] | None = None
    reason: Annotated[str, Field(max_length=2000)] = ""
    starts: Annotated[str, Field(max_length=60)] | None = None


class ApproveAgainBody(Body):
    """Who approves that an older edition is taken up again; `newest`: what it was compared with."""

    by: By
    newest: Annotated[int, Field(ge=1, le=999_999)]


class ApprovalAnswer(Shape):
    """What was approved, by whom, when."""

    approved: str
    by: str
    at: str


class ApprovalShape(Shape):
    """Somebody who approved this version of the draft."""

    by: str
    at: str


class FieldChangeShape(Shape):
    """One key, before and after; null where it is left out."""

    key: str
    old: Any
    new: Any


class PartChangeShape(Shape):
    """One part that differs."""

    kind: Kind
    code: str
    what: Literal["added", "dropped", "changed"]
    fields: list[FieldChangeShape]


class RuleChangeShape(Shape):
    """One rule that differs."""

    id: str
    what: Literal["added", "dropped", "changed"]
    fields: list[FieldChangeShape]


class DifferencesShape(Shape):
    """Everything in which two editions differ."""

    parts: list[PartChangeShape]
    house: list[FieldChangeShape]
    rules: list[RuleChangeShape]


class EditShape(Shape):
    """One line of a draft's history."""

    version: int
    deed: Literal["begun", "edited", "carried", "published", "discarded"]
    says: str
    changed_by: str
    changed_at: str
    edits: list[dict[str, Any]]


class DraftAnswer(Shape):
    """The edition that is being prepared. `sound` false: it cannot be published, `findings`
    say why, and `differences` are taken from the files as written."""

    version: int
    number: int
    based_on: int
    changed_by: str
    changed_at: str
    sound: bool
    findings: list[FindingShape]
    in_the_way: list[FindingShape] = Field(
        description="All that stands against publishing, whoever publishes: the findings, and proof."
    )
    differences: DifferencesShape
    second_person: list[str]
    approvals: list[ApprovalShape]
    history: list[EditShape]


class EditionShape(Shape):
    """One edition with its paper."""

    number: int
    standing: Literal["running", "scheduled", "past"]
    digest: str
    starts: str
    published_at: str
    kind: Literal["founding", "published", "rolled-back"] | None
    author: str | None
    approver: str | None
    reason: str | None
    based_on: int | None
    equal_to: int | None


class EditionAnswer(EditionShape):
    """One edition, and in what it differs from the one it was based on."""

    before: int | None
    differences: DifferencesShape | None
    second_person: list[str]


class EditionList(Shape):
    """Every edition, the newest first; `running` is the one that new orders are held to."""

    running: int | None
    editions: list[EditionShape]
