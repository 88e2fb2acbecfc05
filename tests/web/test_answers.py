"""What a phone and a page say of entries that contradict each other, as long as it is unsettled."""

from datetime import date

import pytest
from django.test import Client

from graftwright.notebook.entries import ClashSettled, NameDecided, PromiseChanged, PromiseMade
from graftwright.store.append import write
from graftwright.store.read import entries_of_kind, read_notebook
from graftwright.web.sync.answers import doubts_of

from .small_notebook import write_small

pytestmark = pytest.mark.django_db


def test_two_names_decided_on_two_phones_are_said_to_the_second() -> None:
    mother = write_small().mother
    first, second = (
        write(NameDecided(happened_on=date(2009, 2, day), code=mother, variety=name), device=phone)
        for day, name, phone in ((1, "Discovery", "phone 1"), (3, "Keswick Codlin", "phone 2"))
    )
    for one in (first, second):
        (words,) = doubts_of(one.entry_id)
        assert words.startswith(f"{mother}: ")
        assert "Keswick Codlin" in words


def test_a_promise_changed_differently_on_two_desks_shows_it_on_its_page(client: Client) -> None:
    write_small()
    code = "22238"
    write(
        PromiseMade(
            happened_on=date(2009, 1, 5),
            code=code,
            who="Skelbeck School",
            variety="Discovery",
            stock="M26",
            wanted_count=2,
        )
    )
    for day, count, desk in ((6, 3, "desk"), (8, 5, "desk at home")):
        changed = PromiseChanged(happened_on=date(2009, 1, day), code=code, wanted_count=count)
        write(changed, device=desk)
    page = client.get(f"/promises/{code}/").content.decode()
    assert "To settle: promise changed differently: wanted 3, then wanted 5" in page
    client.post(f"/promises/{code}/settle")
    page = client.get(f"/promises/{code}/").content.decode()
    assert "To settle" not in page
    assert read_notebook().promises[code].wanted_count == 5
    (settled,) = entries_of_kind("ClashSettled")
    assert isinstance(settled.entry, ClashSettled)
    assert len(settled.entry.sides) == 2
