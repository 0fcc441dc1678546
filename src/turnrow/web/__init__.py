"""Floor 7: pages and the API. Parse, one call to the desk, render; nothing is computed here."""
