"""What each phase of flight draws, and what each source has left.

In: demand and the solved network. Out: `loads.Loads`, `margins.Margin`. Begin with `loads`.
"""
