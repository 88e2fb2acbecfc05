"""Checks of what is printed."""
