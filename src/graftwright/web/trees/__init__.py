"""Trees and everything else that carries a code: found, read, and written about."""
