"""Second chance: living stocks budded in summer for what is still promised."""
