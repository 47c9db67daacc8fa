"""Characters: sources, findings, trees, and the reader and writer between them."""
