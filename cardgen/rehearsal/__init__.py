"""Batches rehearsed before they are ground: a hand with a card's moves, a machine not as it thinks."""
