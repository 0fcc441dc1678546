"""Floor 7: an invented yard and one season of its diary, to look round in; nothing in it is real."""
