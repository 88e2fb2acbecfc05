"""Long work in pieces."""
