"""Floor 8: the door. Parse, one call, print."""
