"""A group of commands that imports a command only when it is called: start-up counts."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module

import click


class Commands(click.Group):
    """Commands by name; ``where`` says in which module each stands, as ``module:name``."""

    def __init__(self, name: str, *, help: str, where: Mapping[str, str]) -> None:  # noqa: A002
        super().__init__(name, help=help, context_settings={"help_option_names": ["-h", "--help"]})
        self._where = where

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Their names, in the order in which a newcomer needs them."""
        return list(self._where)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """The command of this name."""
        if cmd_name not in self._where:
            return None
        module, name = self._where[cmd_name].split(":")
        command: click.Command = getattr(import_module(module), name)
        return command
