"""The picture of a panel, from the front and from behind."""
