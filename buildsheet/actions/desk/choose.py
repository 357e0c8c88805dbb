"""What may still be chosen in the edition in force."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildsheet.actions.editions import running_edition
from buildsheet.actions.workshop import Workshop
from buildsheet.space.choices import Choices, choices

__all__ = ["Choices", "choose"]


def choose(workshop: Workshop, document: Mapping[str, Any]) -> Choices:
    """What a part of an order leaves open. Raises NoEdition where none is loaded."""
    return choices(document, running_edition(workshop))
