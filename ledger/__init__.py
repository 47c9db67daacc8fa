"""besom: a plain-text chore book, read, checked and reported on."""

__version__ = "0.1.0"
