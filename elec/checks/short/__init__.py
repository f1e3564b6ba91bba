"""Checks of shorts with every source feeding: what is not cleared, what is lost with a wire."""
