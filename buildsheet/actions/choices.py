"""What may still be chosen after any part of an order; stores nothing."""

from __future__ import annotations

from contextlib import suppress

from buildsheet.actions.editions import running_edition
from buildsheet.actions.workshop import Workshop
from buildsheet.catalog.edition import Edition
from buildsheet.errors import WorldError
from buildsheet.space.choices import Choices, choices_posted


def choices_of(raw: bytes, edition: Edition) -> Choices:
    """The choices that the posted bytes leave open in one edition."""
    return choices_posted(raw, edition)


def choices_for(workshop: Workshop, raw: bytes) -> Choices:
    """The same in the running edition. Raises NoEdition where none is loaded."""
    return choices_of(raw, running_edition(workshop))


def warm_choices(workshop: Workshop) -> None:
    """Find every wheel of the running edition, so that the next question is answered at once.

    Where no edition is loaded, or the file cannot be read, there is nothing to warm; whoever asks is told.
    """
    with suppress(WorldError):
        choices_for(workshop, b"{}")
