"""Floor 6: reads the journal, asks the heart, writes advice; computes nothing itself."""
