"""The workshop that the current request is about."""

from __future__ import annotations

from typing import Final, cast

from flask import Flask, current_app

from buildsheet.actions.workshop import Workshop

_NAME: Final = "buildsheet-workshop"


def put_workshop(app: Flask, workshop: Workshop) -> None:
    """Give the application its workshop."""
    app.extensions[_NAME] = workshop


def workshop_here() -> Workshop:
    """The workshop of the application that serves this request."""
    return cast("Workshop", current_app.extensions[_NAME])
