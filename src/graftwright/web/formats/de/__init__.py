"""German pages."""
