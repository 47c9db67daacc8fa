"""Git: reads the books of a revision, sets git up for books, and undoes that."""
