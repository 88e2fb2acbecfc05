"""Traces: where a thing came from, and who has what came of it."""
