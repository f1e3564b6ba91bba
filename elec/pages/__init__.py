"""What is said, in which order: tables and documents, no format yet.

In: results and findings. Out: `table.Table` and `document.Document`. Verdicts are asked of
findings.

Begin with `table` and `document`; `sections` and `book` put the book together; a folder a question
holds its tables (`table`) and its answer for the terminal and the book (`page`).
"""
