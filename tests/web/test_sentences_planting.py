"""Entries about spots, names and rights are told in words, never by their stored name."""

from datetime import date

import pytest

from graftwright.notebook import entries as e
from graftwright.notebook.entries.entry import Entry
from graftwright.notebook.replay import replay
from graftwright.planting import RightsStatus
from graftwright.web.trees.sentences import sentence_of

DAY = date(2009, 2, 17)


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        (
            e.SpotDescribed(
                happened_on=DAY, spot_name="west wall", space_m=3.5, wanted_varieties=("Discovery",)
            ),
            "Spot “west wall” described: 3.5 m of room, apple, bush; wanted: Discovery.",
        ),
        (
            e.NamesJoined(
                happened_on=DAY, kept="Keswick Codlin", joined="Pot Apple", because="seen in fruit"
            ),
            "The name Pot Apple joined to Keswick Codlin; seen in fruit.",
        ),
        (
            e.NamesParted(happened_on=DAY, joined="Pot Apple", because=""),
            "The name Pot Apple stands for itself again.",
        ),
        (
            e.RightsRecorded(
                happened_on=DAY,
                plant="Discovery",
                country="Elsewhere",
                status=RightsStatus.EXPIRED,
                looked_up_in="the register",
            ),
            f"Rights on Discovery looked up: {RightsStatus.EXPIRED} in Elsewhere; read in the "
            f"register.",
        ),
        (
            e.LeaveRecorded(
                happened_on=DAY,
                plant="Discovery",
                country="Elsewhere",
                words="ten trees, by letter",
                is_override=False,
            ),
            "Leave for Discovery in Elsewhere: ten trees, by letter.",
        ),
        (
            e.LeaveRecorded(
                happened_on=DAY,
                plant="Discovery",
                country="Elsewhere",
                words="one for the school",
                is_override=True,
            ),
            "Own decision for Discovery in Elsewhere: one for the school.",
        ),
    ],
)
def test_each_kind_is_told_in_a_sentence(entry: Entry, sentence: str) -> None:
    assert sentence_of(entry, replay(())) == sentence
