"""Other weeks: other volumes, other plans, a week that goes otherwise."""
