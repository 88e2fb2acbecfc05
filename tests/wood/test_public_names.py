import graftwright.wood as wood


def test_the_public_names_are_sorted_and_all_there():
    assert wood.__all__ == sorted(wood.__all__)
    assert all(getattr(wood, name) is not None for name in wood.__all__)
