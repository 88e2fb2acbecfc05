"""Names that are one or stay apart, and breeders' rights that prompt in time."""

from datetime import UTC, date, datetime, timedelta
from uuid import UUID

import pytest

from graftwright.errors import Ambiguous, NotUnderstood
from graftwright.intake.catalogue import shipped_catalogue
from graftwright.notebook.entries import (
    LeaveRecorded,
    MotherTreeEntered,
    NamesJoined,
    NamesParted,
    PromiseMade,
    RightsRecorded,
    Written,
)
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.notebook import Notebook
from graftwright.notebook.replay import replay
from graftwright.planting import RightsStatus, variety_named
from graftwright.season.plan import plan_winter
from graftwright.season.rights_remarks import rights_of, rights_remarks
from graftwright.season.standing_names import (
    check_may_be_joined,
    doubtful_names,
    own_catalogue,
    search,
)
from graftwright.tagcode import code_from_number

DAY = date(2009, 2, 17)
MOTHER, PROMISE = code_from_number(1), code_from_number(2)
FARM = MotherTreeEntered(
    happened_on=DAY, code=MOTHER, variety="Sallow Rigg apple", as_received="Old Rigg"
)
JOIN = NamesJoined(
    happened_on=DAY, kept="Discovery", joined="Sallow Rigg apple", because="DNA matched"
)
WANTED = PromiseMade(
    happened_on=DAY,
    code=PROMISE,
    who="the school",
    variety="Discovery",
    stock="M26",
    wanted_count=2,
)
PROTECTED = RightsRecorded(
    happened_on=DAY,
    plant="Discovery",
    country="Elsewhere",
    status=RightsStatus.PROTECTED,
    looked_up_in="the public register of Elsewhere",
    holder="an invented breeder",
    ends_on=date(2021, 12, 31),
)


def notebook_of(*entries: Entry) -> Notebook:
    start = datetime(2009, 2, 17, tzinfo=UTC)
    return replay(
        Written(entry_id=UUID(int=place), written_at=start + timedelta(minutes=place), entry=entry)
        for place, entry in enumerate(entries, start=1)
    )


def test_a_doubtful_name_stays_apart_until_somebody_joins_it() -> None:
    notebook = notebook_of(FARM)
    doubtful = {v.preferred_name for v in doubtful_names(notebook, catalogue=shipped_catalogue())}
    assert doubtful == {"Sallow Rigg apple", "Old Rigg"}
    own = own_catalogue(notebook, catalogue=shipped_catalogue())
    with pytest.raises(NotUnderstood):
        variety_named("Sallow Rigg apple", catalogue=own)


def test_a_joined_name_reaches_the_record_it_was_joined_to_and_parting_undoes_it() -> None:
    joined = own_catalogue(notebook_of(FARM, JOIN), catalogue=shipped_catalogue())
    found = variety_named("sallow rigg APPLE", catalogue=joined)
    assert found.preferred_name == "Discovery"
    assert found.s_alleles == variety_named("Discovery", catalogue=shipped_catalogue()).s_alleles
    parted = notebook_of(FARM, JOIN, NamesParted(happened_on=DAY, joined="sallow rigg apple"))
    with pytest.raises(NotUnderstood):
        variety_named(
            "Sallow Rigg apple", catalogue=own_catalogue(parted, catalogue=shipped_catalogue())
        )


def test_search_finds_a_variety_by_any_of_its_names_and_the_notebooks_own() -> None:
    notebook = notebook_of(FARM)
    assert [v.preferred_name for v in search("old rigg", notebook, catalogue=shipped_catalogue())]
    discovery = variety_named("Discovery", catalogue=shipped_catalogue())
    for name in discovery.names:
        found = search(name.text, notebook, catalogue=shipped_catalogue())
        assert discovery.key in {v.key for v in found}


def test_names_of_two_crops_or_of_one_record_are_not_joined() -> None:
    with pytest.raises(NotUnderstood, match="one crop"):
        check_may_be_joined(
            NamesJoined(happened_on=DAY, kept="Discovery", joined="Conference"),
            notebook_of(),
            catalogue=shipped_catalogue(),
        )
    with pytest.raises(Ambiguous, match="already"):
        check_may_be_joined(
            NamesJoined(happened_on=DAY, kept="Discovery", joined="discovery"),
            notebook_of(),
            catalogue=shipped_catalogue(),
        )


def test_a_joining_that_no_longer_fits_is_passed_over() -> None:
    again = NamesJoined(happened_on=DAY, kept="no such apple at all", joined="Discovery")
    own = own_catalogue(notebook_of(again), catalogue=shipped_catalogue())
    assert own == shipped_catalogue()


def test_not_known_is_never_free() -> None:
    found = rights_of(
        "Discovery", notebook_of(), catalogue=shipped_catalogue(), country="Elsewhere", today=DAY
    )
    assert found is not None
    assert found.status is RightsStatus.NOT_KNOWN
    assert found.must_ask
    assert "not known" in found.sentence
    assert "free" not in found.sentence


def test_a_protected_variety_prompts_when_the_winter_is_planned() -> None:
    notebook = notebook_of(WANTED, PROTECTED)
    plan = plan_winter(notebook, season=2009, today=DAY, catalogue=shipped_catalogue())
    (prompt,) = [words for words in plan.remarks if "rights" in words]
    for word in ("Discovery", "Elsewhere", "protected", "2009-02-17", "public register"):
        assert word in prompt
    free = plan_winter(notebook_of(WANTED), season=2009, today=DAY, catalogue=shipped_catalogue())
    assert not any("rights" in words for words in free.remarks)


def test_leave_is_named_beside_the_prompt_and_an_ended_protection_prompts_no_more() -> None:
    leave = LeaveRecorded(
        happened_on=DAY, plant="Discovery", country="Elsewhere", words="two trees, by letter"
    )
    notebook = notebook_of(PROTECTED, leave)
    (prompt,) = rights_remarks(["Discovery"], notebook, catalogue=shipped_catalogue(), today=DAY)
    assert "two trees, by letter" in prompt
    later = date(2022, 1, 1)
    assert not rights_remarks(["Discovery"], notebook, catalogue=shipped_catalogue(), today=later)
