"""Roll-call walks: codes read along a bench, and what is proposed from them."""
