"""The network as arrays, and its operating point in every case."""
