"""The invented yard: a scenario of our own, made by a seeded script."""
