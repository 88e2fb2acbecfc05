"""The address for programs tried with whatever its description allows, and with what it does not."""

from collections.abc import Iterator

import pytest
import schemathesis
from django.core.handlers.wsgi import WSGIHandler
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.generation import GenerationMode
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from graftwright.notebook.notebook import Notebook
from graftwright.store.tokens import Purpose, make_token
from graftwright.web.api import rate
from graftwright.web.api.document import api_document

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
CALLS = 12
WRITES = 60


def _operations() -> list[str]:
    return sorted(
        f"{method.upper()} {path}"
        for path, methods in api_document()["paths"].items()
        for method in methods
    )


@pytest.fixture
def token(winter: Notebook, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    monkeypatch.setattr(rate, "CALLS_PER_S", 1e9)
    yield make_token(Purpose.PROGRAM, name="fuzz", may_write=True)


@pytest.mark.parametrize("label", _operations())
def test_no_call_that_can_be_made_fails_or_answers_otherwise_than_described(
    token: str, label: str
) -> None:
    schema = schemathesis.openapi.from_dict(api_document())
    schema.app = WSGIHandler()
    method, path = label.split(" ")
    operation = schema[path][method]
    writes = label == "POST /api/entries"
    headers = {"Authorization": f"Bearer {token}", "Accept-Encoding": "identity"}

    @settings(
        max_examples=WRITES if writes else CALLS,
        deadline=None,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
        derandomize=True,
        database=None,
    )
    @given(case=operation.as_strategy(generation_mode=GenerationMode.POSITIVE))
    def as_described(case: schemathesis.Case) -> None:
        case.validate_response(case.call(headers=headers), checks=CHECKS)

    as_described()
