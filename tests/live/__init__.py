"""Tests of the page beside the editor."""
