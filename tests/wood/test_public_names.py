import graftwright.wood as wood


def test_the_public_names_are_sorted_and_all_there():
    names = wood.__all__
    assert len(names) == len(set(names))
    assert names == sorted(names, key=lambda name: (not name.isupper(), name.lower() == name, name))
    assert all(getattr(wood, name) is not None for name in wood.__all__)
