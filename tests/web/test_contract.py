"""Requests made up from the description itself get the answers it promises.

A bounded, repeatable number of them, right ones and wrong ones.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode, checks
from schemathesis.core.result import Ok

from buildsheet.actions.workshop import open_workshop
from buildsheet.web.app import create_app
from buildsheet.web.openapi.routes import ROUTES
from tests.workshops import Dice, morning

BOUNDED = settings(
    max_examples=20,
    derandomize=True,
    deadline=None,
    database=None,
    phases=(Phase.explicit, Phase.generate),
    suppress_health_check=list(HealthCheck),
)

TAKE_NOTHING = {
    "listFindingCodes",
    "health",
    "listEditions",
    "showDraft",
    "listGauges",
    "showImpact",
    "planPrograms",
}

# `/orders/check` judges documents: one that breaks the form is answered with findings, not refused.
JUDGES = {"/orders/check"}
# What the description cannot express (which parts fit together, which articles there are) refuses
# documents that it allows.
KNOWS_MORE = {"/orders", "/choices", "/stock/movements"}


@pytest.fixture(scope="module")
def described(
    loaded_file: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[schemathesis.BaseSchema]:
    path = tmp_path_factory.mktemp("contract") / "workshop.db"
    workshop = open_workshop(Path(shutil.copy(loaded_file, path)), clock=morning, chance=Dice())
    yield schemathesis.openapi.from_wsgi("/api/v1/openapi.json", create_app(workshop))
    workshop.close()


@pytest.mark.parametrize("mode", list(GenerationMode), ids=lambda mode: mode.value)
@pytest.mark.parametrize("name", [route.name for route in ROUTES])
def test_the_api_keeps_its_description(
    described: schemathesis.BaseSchema, name: str, mode: GenerationMode
):
    operation = operation_named(described, name)

    @BOUNDED
    @given(operation.as_strategy(generation_mode=mode))
    def asked(case: schemathesis.Case[Any]) -> None:
        case.call_and_validate(excluded_checks=beyond_description(case))

    try:
        asked()
    except Unsatisfiable:
        # A route that takes nothing has nothing to be asked wrongly.
        assert mode is GenerationMode.NEGATIVE
        assert name in TAKE_NOTHING


def operation_named(
    described: schemathesis.BaseSchema, name: str
) -> schemathesis.APIOperation[Any, Any, Any, Any]:
    found = (result.ok() for result in described.get_all_operations() if isinstance(result, Ok))
    return next(each for each in found if each.definition.raw["operationId"] == name)


def beyond_description(case: schemathesis.Case[Any]) -> list[schemathesis.CheckFunction]:
    excluded = []
    if case.path in JUDGES:
        excluded.append(checks.negative_data_rejection)
    # Which version of the draft is the last, only the record knows.
    is_edit = case.path.startswith("/catalog/") and case.method != "GET"
    # Which characters a person can read, and which marks make a curve, no schema says: neither in
    # readings nor in reasons and batches.
    is_bench = case.path.startswith(("/wheels/", "/gauges")) and case.method == "POST"
    is_move = case.path.startswith("/orders/") and case.path not in JUDGES
    if (case.path in KNOWS_MORE and case.method == "POST") or is_edit or is_bench or is_move:
        excluded.append(checks.positive_data_acceptance)
    return excluded
