"""Shops made up at random, as text, for tests that want many unlike ones."""
