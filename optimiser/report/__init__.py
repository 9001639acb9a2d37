"""What a person reads: a plan, a week as it was understood, an audit."""
