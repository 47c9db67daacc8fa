"""Git: books of its revisions; git set up for books, asked, and undone."""
