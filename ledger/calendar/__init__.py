"""Calendar: on which days a chore comes round, and who is there."""
