"""What a phone without signal needs, and how it brings back what was written down meanwhile."""
