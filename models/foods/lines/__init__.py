"""Reads ingredient lines as cooks write them: `read_line` gives foods and grams."""

from models.foods.lines.amounts import weigh_amount
from models.foods.lines.reading import Line, LineItem, Unread, read_line

__all__ = ["Line", "LineItem", "Unread", "read_line", "weigh_amount"]
