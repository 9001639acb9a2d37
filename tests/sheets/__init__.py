"""The kitchen sheets: lists, labels, cards, calendar, recipes and the page."""
