"""Lots: double-entry mass, the family tree, recall both ways, shrink."""
