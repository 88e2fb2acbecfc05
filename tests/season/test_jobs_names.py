"""Why a job is due names a few people, and how many more there are."""

from graftwright.season.jobs_trees import _some_of


def test_of_many_names_the_first_stand_and_the_number_of_the_rest() -> None:
    names = [f"Garden {number}" for number in range(1, 13)]
    assert _some_of(names[:9]) == ", ".join(names[:9])  # nobody is left out to save one name
    assert _some_of(names) == f"{', '.join(names[:8])} and 4 more"
    assert _some_of([]) == ""
