"""A virtual bench: a hand who has only the card, on a machine that is not as the card thinks."""
