"""Fixtures for reading."""

from tests.read.helper import wrong

__all__ = ["wrong"]
