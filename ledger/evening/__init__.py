"""Evening: the round of a day in a terminal, with the clock."""
