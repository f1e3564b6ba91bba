"""Changes that are tried before they are made."""
