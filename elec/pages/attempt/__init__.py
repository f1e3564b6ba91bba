"""What a change would do, and how much more fits."""
