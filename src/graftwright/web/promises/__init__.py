"""The promises page: who wants which trees, and what each promise takes."""
