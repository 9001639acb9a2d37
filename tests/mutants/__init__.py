"""Is each line of a rule, a priority or a guard held by some test? A mutant that lives says no."""
