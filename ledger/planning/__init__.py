"""Planning: what fits into the days, and where it is best done."""
