"""A week as plain frozen data, and what it adds up to."""
