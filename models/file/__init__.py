"""From a text that someone wrote to a week, and back into the text."""
