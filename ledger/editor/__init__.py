"""The language server: what an editor asks of a book, one feature a file."""
