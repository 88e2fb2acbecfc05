"""The address for programs tried with what its description allows, and with what it does not."""

from collections.abc import Iterator

import pytest
import schemathesis
from django.core.handlers.wsgi import WSGIHandler
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from django.test import Client
from hypothesis import HealthCheck, Phase, example, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.generation import GenerationMode
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from graftwright.notebook.notebook import Notebook
from graftwright.store.models import WrittenEntry
from graftwright.store.read import read_notebook
from graftwright.store.tokens import Purpose, make_token
from graftwright.web.api import rate
from graftwright.web.api.document import api_document

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
CALLS, WRITES = 6, 40
WRITE = "POST /api/entries"


def _operations() -> list[str]:
    return sorted(
        f"{method.upper()} {path}"
        for path, methods in api_document()["paths"].items()
        for method in methods
    )


@pytest.fixture(autouse=True)
def _same_connection() -> Iterator[None]:
    """Let the end of a call close nothing, as Django's own client does: what a test writes is in a
    transaction of the connection, and is gone with it.
    """
    signals = (request_started, request_finished)
    for signal in signals:
        signal.disconnect(close_old_connections)
    yield
    for signal in signals:
        signal.connect(close_old_connections)


@pytest.fixture
def token(winter: Notebook, monkeypatch: pytest.MonkeyPatch) -> str:
    monkeypatch.setattr(rate, "CALLS_PER_S", 1e9)
    return make_token(Purpose.PROGRAM, name="fuzz", may_write=True)


def _good() -> dict[str, object]:
    code = next(iter(read_notebook().lots))
    entry = {"happened_on": "2009-02-17", "about_codes": [code], "words": "frost on the roots"}
    return {"kind": "NoteWritten", "entry": entry}


def tried(label: str, token: str, *, mode: GenerationMode, checks: list[object]) -> set[int]:
    """Make calls of one kind and check each answer; return the statuses that came."""
    schema = schemathesis.openapi.from_dict(api_document())
    schema.app = WSGIHandler()
    method, path = label.split(" ")
    headers = {"Authorization": f"Bearer {token}", "Accept-Encoding": "identity"}
    statuses: set[int] = set()
    operation = schema[path][method]
    # what is generated hangs on the modules that are loaded: one good entry is always among it
    good = operation.Case(body=_good(), media_type="application/json") if label == WRITE else None

    @settings(
        max_examples=WRITES if label == WRITE else CALLS,
        deadline=None,
        phases=[Phase.explicit, Phase.generate],
        suppress_health_check=list(HealthCheck),
        derandomize=True,
        database=None,
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def call(case: schemathesis.Case) -> None:
        answer = case.call(headers=headers)
        statuses.add(answer.status_code)
        case.validate_response(answer, checks=checks)

    if good is not None and mode is GenerationMode.POSITIVE:
        call = example(case=good)(call)
    call()
    return statuses


@pytest.mark.parametrize("label", _operations())
def test_no_call_that_can_be_made_fails_or_answers_otherwise_than_described(
    token: str, label: str
) -> None:
    statuses = tried(label, token, mode=GenerationMode.POSITIVE, checks=CHECKS)
    assert statuses & ({200, 404} if "{" in label else {200, 201, 409})


@pytest.mark.parametrize("label", [WRITE, "POST /api/codes", "GET /api/entries"])
def test_no_call_that_breaks_the_description_fails_or_is_let_through(
    token: str, label: str
) -> None:
    statuses = tried(label, token, mode=GenerationMode.NEGATIVE, checks=[not_a_server_error])
    assert any(400 <= status < 500 for status in statuses)


def test_what_a_program_was_allowed_to_write_breaks_no_page_and_no_reading(token: str) -> None:
    before = WrittenEntry.objects.count()
    tried(WRITE, token, mode=GenerationMode.POSITIVE, checks=CHECKS)
    assert WrittenEntry.objects.count() > before
    client = Client(headers={"authorization": f"Bearer {token}"})
    for address in ("/api/jobs", "/api/plan", "/api/entries?limit=500"):
        assert client.get(address).status_code in (200, 409, 422)
    for page in ("/", "/trees/", "/plan/", "/paper/", "/exchange/tables.zip", "/lessons/"):
        assert client.get(page).status_code == 200
