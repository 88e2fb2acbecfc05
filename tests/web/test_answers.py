"""What a phone hears of an entry it sent: the doubts that stand now about all it names."""

from datetime import date

import pytest

from graftwright.notebook.entries import NameDecided
from graftwright.store.append import write
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
