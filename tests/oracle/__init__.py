"""Second opinions on the solver, none of which shares a line with it."""
