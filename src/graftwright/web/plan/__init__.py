"""The plan page: the winter on one sheet."""
