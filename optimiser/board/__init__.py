"""What could be packed: servings, and the counts that say which of them are."""
