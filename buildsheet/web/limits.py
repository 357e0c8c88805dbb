"""How much a request may carry."""

from __future__ import annotations

from typing import Final

from buildsheet.orders.text import MOST_BYTES

BODY_BYTES: Final = MOST_BYTES
"""A posted order, as the interfaces limit it."""

FORM_BYTES: Final = 3 * MOST_BYTES + 200
"""A form sends a character as up to three (percent-encoding), and the names of its fields."""
