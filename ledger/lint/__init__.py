"""The linter: rules, one a file, and the engine that runs them."""
