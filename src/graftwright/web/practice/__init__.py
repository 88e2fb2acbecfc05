"""Your practice: every rule with its number, its source, and the person's own in its place."""
