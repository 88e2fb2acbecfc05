"""The room shows what it means to show, in order, and nothing by accident."""

import graftwright.losses


def test_the_public_names_are_sorted_unique_and_there():
    names = graftwright.losses.__all__
    assert list(names) == sorted(set(names))
    assert all(hasattr(graftwright.losses, name) for name in names)
