"""Saved plans as a hand or a stranger may have changed them."""
