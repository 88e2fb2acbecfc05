"""Autumn: grading, sharing out by a rule, handing over, and the first winter."""
