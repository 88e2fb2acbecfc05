"""The calendar under a secret address, for phones and desk calendars that subscribe."""
