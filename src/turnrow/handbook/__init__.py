"""Floor 2: tables and rules with their sources, read once from the package; the only pure room that
reads files, and only its own."""
