"""At the bench: one run at a time, its labels counted; afterwards, results for many trees."""
