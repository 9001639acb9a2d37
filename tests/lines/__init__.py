"""Real ingredient lines: what is read of them, against a judgement by hand kept as digests."""
