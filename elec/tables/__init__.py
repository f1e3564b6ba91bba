"""Results → neutral tables. One module a subject; no format, no arithmetic."""
