"""Floor 5: what comes in becomes entries or refusals."""
