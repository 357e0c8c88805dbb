"""The edge of the program: where trouble of the world becomes one line and an exit code."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from typing import Final, NoReturn

import click

from buildsheet.errors import BuildsheetError

DONE: Final = 0
REFUSED: Final = 1
WRONG: Final = 2
TRACE_VARIABLE: Final = "BUILDSHEET_TRACE"
"""Set, it lets a fault of the program show where it is."""

INTERRUPTED: Final = 130
"""128 + SIGINT, as shells have it."""

READER_LEFT: Final = 141
"""128 + SIGPIPE: whoever read the output has gone."""


class Leave(Exception):
    """End the command with this exit code, everything having been said."""

    def __init__(self, code: int) -> None:
        super().__init__(code)
        self.code = code


def run(command: click.Command, args: list[str] | None = None) -> NoReturn:
    """Run a command and leave the process with its exit code. No traceback reaches a user."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal of another alphabet shows a code in place of a letter it lacks.
            stream.reconfigure(errors="backslashreplace")
    sys.exit(_code(command, args))


def _code(command: click.Command, args: list[str] | None) -> int:
    try:
        code = _said(command, args)
        sys.stdout.flush()
    except BrokenPipeError:
        return _reader_left()
    except (click.Abort, KeyboardInterrupt):
        return INTERRUPTED
    except BuildsheetError as trouble:
        return _trouble(str(trouble))
    except OSError as trouble:
        return _trouble(f"{trouble.filename or 'output'}: {trouble.strerror}")
    except RecursionError:
        return _trouble("the input nests too deep")
    except Exception as fault:
        # The last door: a user gets a line, whoever looks for the fault asks for more.
        if os.environ.get(TRACE_VARIABLE):
            raise
        said = f"{type(fault).__name__}: {fault}"
        return _trouble(f"a fault of the program: {said} ({TRACE_VARIABLE}=1 shows where)")
    return code


def _said(command: click.Command, args: list[str] | None) -> int:
    """The exit code of a command that got to its end, or that was called wrongly."""
    try:
        # Not `command.main`: it answers a closed pipe and an interrupt in a way of its own.
        words = sys.argv[1:] if args is None else args
        with command.make_context("buildsheet", list(words)) as context:
            command.invoke(context)
    except Leave as leave:
        return leave.code
    except click.exceptions.Exit as leave:
        return leave.exit_code
    except click.ClickException as wrong:
        wrong.show()
        return WRONG
    return DONE


def _reader_left() -> int:
    # Python flushes once more on its way out and would complain.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return READER_LEFT


def _trouble(line: str) -> int:
    with contextlib.suppress(OSError):
        click.echo(f"buildsheet: {' '.join(line.split())}", err=True)
    if isinstance(sys.stdout, io.TextIOWrapper):
        # What could not be written is given up, or the interpreter's last flush fails again.
        with contextlib.suppress(OSError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return WRONG
