"""The command as people and scripts meet it: words in, text or JSON and an exit code out."""
