"""Planting: which tree for which spot, its partners, and a plot drawn to scale."""
