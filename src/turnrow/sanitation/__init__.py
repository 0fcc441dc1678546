"""Where a row stands under a time-temperature rule. Pure."""
