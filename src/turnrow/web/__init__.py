"""Floor 7: pages, API. Parse, one call, render."""
