"""A week solved: its program, the solver, its proof."""
