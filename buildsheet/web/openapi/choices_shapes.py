"""What the choices take and answer, as models: a part of an order, and what it leaves open."""

from __future__ import annotations

from types import NoneType, UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, ConfigDict, Field, create_model

from buildsheet.orders.document import Order
from buildsheet.web.openapi.shapes import FindingShape, Shape


def _without_default(schema: dict[str, Any]) -> None:
    """A member that may be absent has no default: absent is open, null is left out on purpose."""
    schema.pop("default", None)


def part_model(model: type[BaseModel], name: str) -> type[BaseModel]:
    """The same members as the model has, each of which may be absent, at every level."""
    fields: dict[str, Any] = {}
    for member, field in model.model_fields.items():
        annotation: Any = _part_of(field.annotation)
        for each in field.metadata:
            annotation = Annotated[annotation, each]
        info = Field(default=None, alias=field.alias, json_schema_extra=_without_default)
        fields[member] = (annotation, info)
    config = ConfigDict(extra="forbid", title=name)
    return create_model(name, __config__=config, __doc__=model.__doc__, **fields)


def _part_of(annotation: Any) -> Any:
    """An object's part where the annotation is an object, or an object or null."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return part_model(annotation, f"PartOf{annotation.__name__}")
    if get_origin(annotation) in (Union, UnionType):
        kinds = [_part_of(each) for each in get_args(annotation) if each is not NoneType]
        return kinds[0] | None if len(kinds) == 1 else annotation
    return annotation


PartOfOrder = part_model(Order, "PartOfOrder")


class WayOn(Shape):
    """A value that still leads to a complete order, and to how many of them."""

    value: Any
    ways: int = Field(ge=1, description="A whole number of any size.")


class ClosedValue(Shape):
    """A value that no longer does, and the one finding that closes it."""

    value: Any
    finding: FindingShape


class ChoicesAnswer(Shape):
    """What a part of an order leaves open; names of members are JSON Pointers into the document.

    A value of `null` stands for a member left out on purpose: put it in as `null` to say so.
    """

    edition: int
    ways: int = Field(ge=0, description="Complete orders left; a whole number of any size.")
    open: dict[str, list[WayOn]]
    closed: dict[str, list[ClosedValue]]
    forced: dict[str, Any] = Field(description="Places where all orders that are left agree.")
    assumed: dict[str, Any] = Field(
        description="What was put in for members without a list: the lightest masses."
    )
    findings: list[FindingShape] = Field(
        description="Where no way is left: what stands in the way, and what to change."
    )
