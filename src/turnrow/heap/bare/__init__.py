"""The outlook of a bare log: the statistical part, where nothing of a heap is known but its readings."""
