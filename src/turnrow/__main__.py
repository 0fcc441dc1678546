"""`python -m turnrow` is the same door."""

from turnrow.cli.door import main

main()
