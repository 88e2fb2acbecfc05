"""Lessons: what the counts teach, as ranges, never as a ranking."""
