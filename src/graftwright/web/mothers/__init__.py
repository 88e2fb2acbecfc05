"""Mother trees: whose they are, how sure their names are, and what may be cut."""
