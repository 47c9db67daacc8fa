"""Dates: weeks, windows, what was matched, what is due, whose turn, how many minutes."""
