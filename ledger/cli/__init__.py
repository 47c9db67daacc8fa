"""Commands: thin files, one each; they alone read the clock, print and exit."""
