"""Ready weeks, all invented: to run, to read and to start from."""
