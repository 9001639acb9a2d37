"""What a week is: its words, its units, its file and its plan. Knows no solver."""
