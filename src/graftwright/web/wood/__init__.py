"""The wood page: bundles in store, trees still to cut, grades that fit, one join drawn."""
