"""Which things changed between two readings: against comparing all of them."""

import pickle
from dataclasses import FrozenInstanceError
from random import Random

import pytest

from graftwright.demo import LAST_DAY, entries_until
from graftwright.notebook.changed_things import Things, changed_keys, things_after
from graftwright.notebook.standing import Tree
from tests.demo.replaying import notebook_of


def _compared(before: dict[str, object], now: dict[str, object]) -> list[str]:
    """Every key whose value is not the very same, found by comparing all (the brute-force twin)."""
    keys = before.keys() | now.keys()
    return sorted(key for key in keys if before.get(key) is not now.get(key))


def test_what_changed_is_what_comparing_all_things_finds() -> None:
    chance = Random(14)
    readings = [Things({f"{n:03}": object() for n in range(0, 60, 2)})]
    for _ in range(150):
        last = readings[-1]
        anew = {f"{chance.randrange(80):03}": object() for _ in range(chance.randrange(4))}
        gone = {key for key in chance.sample(sorted(last), 2) if key not in anew}
        readings.append(things_after(last, anew=anew, gone=gone if len(last) > 20 else ()))
        assert list(readings[-1]) == sorted(readings[-1])
        wanted = {key: thing for key, thing in last.items() if len(last) <= 20 or key not in gone}
        assert readings[-1] == wanted | anew
    for one in readings[::7]:
        for other in readings[::5]:  # forwards, backwards, and farther than steps are known
            assert list(changed_keys(one, other)) == _compared(one, other)


def test_a_thing_that_came_back_is_not_changed() -> None:
    thing = object()
    first = Things({"A": thing})
    last = things_after(things_after(first, anew={}, gone=("A",)), anew={"A": thing}, gone=())
    assert changed_keys(first, last) == ()


def test_things_of_another_notebook_are_compared_one_by_one() -> None:
    same = object()
    mine, other = Things({"A": same, "B": object()}), {"A": same, "C": object()}
    assert changed_keys(mine, other) == ("B", "C")


def test_things_sent_to_another_process_take_no_steps_along() -> None:
    first = Things({"a": 1, "b": 2})
    then = things_after(first, anew={"b": 3}, gone=())
    sent = pickle.loads(pickle.dumps(then))
    assert sent == then
    assert changed_keys(first, sent) == ("b",)
    assert type(sent) is dict


def test_trees_sent_to_another_process_arrive_as_they_were() -> None:
    notebook = notebook_of(entries_until(LAST_DAY))
    assert len(notebook.trees) > 100
    arrived = pickle.loads(pickle.dumps(notebook.trees))
    assert arrived == notebook.trees
    tree = next(iter(arrived.values()))
    assert type(tree) is Tree
    with pytest.raises(FrozenInstanceError):
        tree.code = "other"
