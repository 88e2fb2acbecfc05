"""Pages: what people touch."""
