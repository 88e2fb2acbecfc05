"""The room shows what it means to show, and nothing twice."""

import graftwright.losses


def test_the_public_names_are_there_and_none_is_named_twice():
    names = graftwright.losses.__all__
    assert len(names) == len(set(names))
    assert all(hasattr(graftwright.losses, name) for name in names)
