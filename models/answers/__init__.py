"""What each command answers, for scripts, and for the reports that are written from it."""
