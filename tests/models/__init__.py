"""The words, units, sums and files of a week, each by itself and with no solver."""
