"""Today: the day's jobs in walking order, ticked where they are done."""
