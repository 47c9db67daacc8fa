"""Meaning: the household that a set of trees describes."""
