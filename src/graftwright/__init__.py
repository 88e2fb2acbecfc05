"""Graftwright: the notebook and the arithmetic of a fruit-tree grafter's year."""
