"""The commands below `besom paper`, one a file."""
