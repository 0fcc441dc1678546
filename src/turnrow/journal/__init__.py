"""Floor 5: the only room that opens the book."""
