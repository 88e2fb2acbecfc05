"""People: who may see and do what, signing in and out, phones, and the receiver's card."""
