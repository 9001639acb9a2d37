"""The words every part of the house uses: units, names, nutrients, errors."""
