"""Floor 5: pure pages from lines and handbook."""
