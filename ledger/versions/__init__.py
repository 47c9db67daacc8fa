"""Two or three versions of a book: what changed in meaning, and how changes are put together."""
