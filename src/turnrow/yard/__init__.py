"""Floor 1: the nouns of a yard. Pure; imports nothing of ours."""
