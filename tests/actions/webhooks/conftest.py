"""The demo workshop, for the tests of this folder."""

from __future__ import annotations

from tests.workshops import empty_workshop, loaded_file, workshop, workshop_file

__all__ = ["empty_workshop", "loaded_file", "workshop", "workshop_file"]
