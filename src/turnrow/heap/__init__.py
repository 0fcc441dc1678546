"""The heap: nested zones of its cross-section, heat, water, air, food; pure functions of numbers given."""
