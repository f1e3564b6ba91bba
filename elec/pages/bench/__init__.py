"""Papers for the bench: cut list, labels, ring-out, power-up, shopping."""
