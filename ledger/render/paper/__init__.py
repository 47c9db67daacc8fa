"""Paper: the book typeset in true size."""
