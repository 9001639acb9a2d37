"""The kitchen papers: lists, labels, cards, calendar, recipes and the page."""
