"""Workshop: a day on which everybody takes home a tree of their own making."""
