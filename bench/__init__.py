"""Benchmarks, each with a baseline measured in the same run; nothing here asserts."""
