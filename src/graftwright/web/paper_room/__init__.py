"""The paper page: what can be printed, made from the plan."""
