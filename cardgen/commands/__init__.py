"""Commands: what a person types is parsed, one room is called, and what came of it is printed."""
