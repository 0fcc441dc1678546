"""An invented row's true heat, coded apart from `heap`: other grid, other laws; outlooks are tried on it."""
