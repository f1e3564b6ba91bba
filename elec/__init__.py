"""Design, check, draw and document the electrical system of a home-built light aircraft."""

__version__ = "0.1.0"
