"""Answers as plain frozen data: what is due, what the week holds."""
