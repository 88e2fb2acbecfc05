"""A whole planting: who sets fruit, and the fewest varieties that would help."""

from itertools import combinations

import pytest

from graftwright.errors import NoPlan
from graftwright.planting import (
    Catalogue,
    FruitSetting,
    PartnerStrength,
    PlantedTree,
    fewest_additions,
    partners,
    planting_report,
    variety_named,
)

_COUNTED_ON = {PartnerStrength.SURE, PartnerStrength.LIKELY}


def _trees(*names: str) -> list[PlantedTree]:
    return [PlantedTree(variety=name) for name in names]


def test_one_triploid_and_one_diploid_leave_the_diploid_without(catalogue: Catalogue) -> None:
    report = planting_report(
        _trees("Bramley's Seedling", "Worcester Pearmain"), catalogue=catalogue
    )
    triploid, diploid = report.trees
    assert triploid.setting is FruitSetting.HAS_PARTNER
    assert diploid.setting is FruitSetting.NO_PARTNER
    assert not report.sets_fruit


def test_a_second_diploid_makes_the_planting_whole(catalogue: Catalogue) -> None:
    names = ("Bramley's Seedling", "Discovery", "James Grieve")
    assert planting_report(_trees(*names), catalogue=catalogue).sets_fruit


def test_the_same_variety_twice_is_not_a_pair(catalogue: Catalogue) -> None:
    report = planting_report(_trees("Discovery", "Discovery"), catalogue=catalogue)
    assert [tree.setting for tree in report.trees] == [FruitSetting.NO_PARTNER] * 2


def test_two_names_of_one_variety_are_not_a_pair(catalogue: Catalogue) -> None:
    report = planting_report(_trees("Discovery", "Thurston August"), catalogue=catalogue)
    assert all(tree.setting is FruitSetting.NO_PARTNER for tree in report.trees)


def test_a_neighbours_tree_gives_pollen_and_is_not_judged(catalogue: Catalogue) -> None:
    trees = [*_trees("Discovery"), PlantedTree(variety="James Grieve", is_neighbours=True)]
    report = planting_report(trees, catalogue=catalogue)
    assert [tree.variety for tree in report.trees] == ["Discovery"]
    assert report.sets_fruit


def test_a_self_fertile_plum_stands_alone(catalogue: Catalogue) -> None:
    report = planting_report(_trees("plum Victoria"), catalogue=catalogue)
    assert report.trees[0].setting is FruitSetting.SETS_ALONE


@pytest.mark.source("Schuster2020", "group SC for Stella, group III for Lambert")
@pytest.mark.parametrize(
    ("name", "setting"),
    [("cherry Stella", FruitSetting.SETS_ALONE), ("cherry Lambert", FruitSetting.NO_PARTNER)],
)
def test_a_cherry_of_the_self_compatible_group_stands_alone(
    name: str, setting: FruitSetting, catalogue: Catalogue
) -> None:
    report = planting_report(_trees(name), catalogue=catalogue)
    assert report.trees[0].setting is setting


def test_many_trees_about_are_said_but_not_counted_on(catalogue: Catalogue) -> None:
    report = planting_report(_trees("Discovery"), catalogue=catalogue, has_many_trees_near=True)
    assert not report.sets_fruit
    assert "worry is small" in report.sentences[-1]


def test_a_lone_triploid_brings_two_partners(catalogue: Catalogue) -> None:
    additions = fewest_additions(
        _trees("Bramley's Seedling"),
        candidates=["Ashmead's Kernel", "Discovery", "James Grieve", "Keswick Codlin"],
        catalogue=catalogue,
    )
    assert set(additions.varieties) == {"Discovery", "James Grieve"}


def test_nothing_is_added_where_nothing_is_missing(catalogue: Catalogue) -> None:
    additions = fewest_additions(
        _trees("Discovery", "James Grieve"), candidates=["Idared"], catalogue=catalogue
    )
    assert additions.varieties == ()


def test_triploids_alone_cannot_help_a_triploid(catalogue: Catalogue) -> None:
    with pytest.raises(NoPlan, match="Bramley's Seedling"):
        fewest_additions(
            _trees("Bramley's Seedling"),
            candidates=["Ashmead's Kernel", "Blenheim Orange"],
            catalogue=catalogue,
        )


_PLANTINGS = [
    ("Bramley's Seedling",),
    ("Bramley's Seedling", "Court Pendu Plat"),
    ("Blenheim Orange", "Ashmead's Kernel", "Gravenstein"),
    ("Suntan", "Red Astrachan"),
    ("Newton Wonder", "Egremont Russet"),
]
_CANDIDATES = (
    "Discovery",
    "Idared",
    "McIntosh",
    "Granny Smith",
    "Braeburn",
    "Suntan",
    "Worcester Pearmain",
    "Ashmead's Kernel",
    "Red Astrachan",
)


@pytest.mark.parametrize("planting", _PLANTINGS, ids=["+".join(names) for names in _PLANTINGS])
def test_trying_every_choice_finds_nothing_smaller(
    planting: tuple[str, ...], catalogue: Catalogue
) -> None:
    smallest = _smallest_by_trying(planting, catalogue)
    if smallest is None:
        with pytest.raises(NoPlan):
            fewest_additions(_trees(*planting), candidates=_CANDIDATES, catalogue=catalogue)
        return
    found = fewest_additions(_trees(*planting), candidates=_CANDIDATES, catalogue=catalogue)
    assert len(found.varieties) == smallest
    assert _everyone_is_served((*planting, *found.varieties), catalogue)


def _smallest_by_trying(planting: tuple[str, ...], catalogue: Catalogue) -> int | None:
    standing = {variety_named(name, catalogue=catalogue).key for name in planting}
    free = [n for n in _CANDIDATES if variety_named(n, catalogue=catalogue).key not in standing]
    for count in range(len(free) + 1):
        for chosen in combinations(free, count):
            if _everyone_is_served((*planting, *chosen), catalogue):
                return count
    return None


def _everyone_is_served(names: tuple[str, ...], catalogue: Catalogue) -> bool:
    return all(_is_served(name, names, catalogue) for name in names)


def _is_served(name: str, names: tuple[str, ...], catalogue: Catalogue) -> bool:
    others = [other for other in names if other != name]
    if not others:
        return False
    return partners(name, others=others, catalogue=catalogue)[0].strength in _COUNTED_ON
