"""The mechanics of one wheel from bare dimensions: no catalog, no order, nothing stored."""

from __future__ import annotations

from buildsheet.findings import Finding, Value


def wheel_figures(text: str) -> tuple[dict[str, Value] | None, tuple[Finding, ...]]:
    """The answer to a wheel file, or None and everything that is wrong with the file."""
    from buildsheet.plan import wheel_file

    file, findings = wheel_file.read(text)
    if file is None:
        return None, tuple(findings)
    return wheel_file.answer(file), tuple(findings)
