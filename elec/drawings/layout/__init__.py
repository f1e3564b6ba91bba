"""Layout: graphs and sizes come in, coordinates go out; no ink, and the same result every time."""
