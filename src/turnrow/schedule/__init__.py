"""What must be done, and when. Pure."""
