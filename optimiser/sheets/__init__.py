"""Kitchen sheets: what to buy, the prep day, labels, morning cards, the calendar, recipes."""
