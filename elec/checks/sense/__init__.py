"""Do the values of the file go together? What is well written and was hardly meant."""
