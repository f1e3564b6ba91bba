"""What every single failure takes, what opens after it, and which minutes to plan with.

In: the list of failures, traced and solved. Out: `failures.Effect`. Begin with `failures`.
"""
