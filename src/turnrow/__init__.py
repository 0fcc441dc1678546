"""A farm compost yard's diary: what to do today, what is proven hot, the paper an inspector reads."""

__version__ = "0.1.0"
