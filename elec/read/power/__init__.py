"""What the builder says of power wires beside circuits and feeders: plain data in, mistakes out."""
