"""Malformed forms, files and bodies: no fault, and nothing refused is stored.

The long form, ten thousand of them, is `python -m benchmarks.malformed`.
"""

import random
from datetime import date
from pathlib import Path

import pytest
from benchmarks.malformed_nursery import nursery
from django.test import Client
from django.utils import timezone

from graftwright.store.checking import findings
from graftwright.store.models import WrittenEntry
from graftwright.web.api import rate

CASES = 150


@pytest.mark.django_db
def test_whatever_is_sent_no_page_fails_and_nothing_refused_is_stored(
    settings: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rate, "CALLS_PER_S", 1e9)
    settings.STAND_ON = date(2009, 2, 17)  # type: ignore[attr-defined]
    settings.NOTEBOOK_FOLDER = tmp_path  # type: ignore[attr-defined]
    place, rng = nursery(), random.Random(3)
    for _ in range(CASES):
        place.case(rng)
    assert place.told.faults == []
    assert set(place.told.tried) == {"form", "file", "entries", "program"}
    assert len(place.forms) > 60
    assert findings() == ()


@pytest.mark.django_db
def test_a_phone_cannot_give_a_thing_a_code_that_is_none(client: Client) -> None:
    line = {
        "entry_id": "7a0f8b1e-0000-4000-8000-000000000001",
        "written_at": timezone.now().isoformat(),
        "kind": "MotherTreeEntered",
        "entry": {
            "happened_on": timezone.localdate().isoformat(),
            "code": "../../x",
            "variety": "Discovery",
        },
    }
    body = {"device": "phone 3f2a", "entries": [line]}
    answer = client.post("/sync/entries", body, content_type="application/json")
    (said,) = answer.json()["answers"]
    assert said["answer"] == "refused"
    assert findings() == ()
    assert WrittenEntry.objects.count() == 0
