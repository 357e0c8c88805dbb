"""The demo workshop behind its application, for the tests of this folder."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient

from buildsheet.actions.workshop import Workshop
from buildsheet.web.app import create_app
from tests.workshops import empty_workshop, loaded_file, workshop, workshop_file

__all__ = ["client", "empty_workshop", "loaded_file", "workshop", "workshop_file"]


@pytest.fixture
def client(workshop: Workshop) -> FlaskClient:
    """Somebody who asks the demo workshop over HTTP."""
    return create_app(workshop).test_client()
