"""Texts that are grown to reach every branch of a reader, by Atheris: `python -m tests.fuzz`."""
