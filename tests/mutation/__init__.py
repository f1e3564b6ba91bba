"""How many small faults in the program the tests notice: `python -m tests.mutation`."""
