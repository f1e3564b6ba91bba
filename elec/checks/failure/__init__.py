"""Checks of single failures: what one takes, and whether backups stand on their own."""
