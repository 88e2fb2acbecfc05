"""An address for programs: everything read, entries written, each call with a token."""
