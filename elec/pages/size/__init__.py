"""What was chosen for each circuit, and why not smaller."""
