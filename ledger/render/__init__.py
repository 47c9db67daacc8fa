"""Answers as text and JSON. Returns strings; prints nothing."""
