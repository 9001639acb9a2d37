"""Checks against what others have published: figures, dates, units and other solvers.

They exist because a plan can agree with every test written beside the code and still
be wrong about the world. Each figure here names the work it was taken from.
"""
