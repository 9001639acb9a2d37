"""Speed, measured by one command: python -m tests.bench."""
