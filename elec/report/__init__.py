"""Tables, drawings and findings → a book of sections. No format yet."""
