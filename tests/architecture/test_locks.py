"""The lock files hold what pyproject.toml asks for, by hash, and say nothing about any machine."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
LOCKS = ("requirements.lock", "dev.lock")


def pins(lock: str) -> dict[str, set[str]]:
    """Name to pinned versions: one, or several told apart by the version of Python."""
    found: dict[str, set[str]] = {}
    for name, version in re.findall(r"^([A-Za-z0-9._-]+)==([^\s;\\]+)", text(lock), re.MULTILINE):
        found.setdefault(canonicalize_name(name), set()).add(version)
    return found


def text(lock: str) -> str:
    return (ROOT / lock).read_text(encoding="utf-8")


def asked(*groups: str) -> list[Requirement]:
    """What pyproject.toml names for running, and in the given dependency groups."""
    lines = list(PROJECT["project"]["dependencies"])
    for group in groups:
        lines += [line for line in PROJECT["dependency-groups"][group] if isinstance(line, str)]
    return [Requirement(line) for line in lines]


@pytest.mark.parametrize(
    ("lock", "groups"), [("requirements.lock", ["build"]), ("dev.lock", ["build", "dev"])]
)
def test_a_lock_answers_everything_that_is_asked_for(lock: str, groups: list[str]):
    locked = pins(lock)
    unanswered = [
        str(wanted)
        for wanted in asked(*groups)
        if not any(
            wanted.specifier.contains(v) for v in locked.get(canonicalize_name(wanted.name), ())
        )
    ]
    assert unanswered == [], "run `make lock`"


def test_tests_run_on_the_very_versions_that_the_program_runs_on():
    tested = pins("dev.lock")
    assert {name: tested.get(name) for name in pins("requirements.lock")} == pins(
        "requirements.lock"
    )


def test_what_only_tests_need_is_not_in_the_run_time_lock():
    only_tests = {canonicalize_name(w.name) for w in asked("dev")} - {
        canonicalize_name(w.name) for w in asked("build")
    }
    assert only_tests & set(pins("requirements.lock")) == {"pillow"}, "qrcode's own, and no other"


@pytest.mark.parametrize("lock", LOCKS)
def test_every_pin_carries_a_hash(lock: str):
    entries = re.split(r"^(?=[A-Za-z0-9])", text(lock), flags=re.MULTILINE)[1:]
    assert entries
    assert [entry for entry in entries if "--hash=sha256:" not in entry] == []


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_names_no_registry_and_no_path(lock: str):
    assert (
        re.findall(r".*(?:://|--index|--extra-index|--find-links|/tmp|/home).*", text(lock)) == []
    )


@pytest.mark.parametrize("lock", LOCKS)
def test_the_font_files_come_without_a_typesetting_system(lock: str):
    assert "rinoh-typeface-dejavusans" in pins(lock)
    assert "rinohtype" not in pins(lock)
