"""What contradicts itself, side by side, and settled."""
