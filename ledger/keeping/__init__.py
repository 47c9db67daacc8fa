"""Keeping: the record against the calendar."""
