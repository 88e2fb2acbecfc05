"""The program from a terminal."""
