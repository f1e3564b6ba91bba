"""What differs between two texts of a system: the answer, its tables, the sheet for the record."""
