"""How Django itself writes figures, by language: figures in drawings keep their point."""
