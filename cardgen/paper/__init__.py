"""Paper: a Card becomes pages. Nothing here computes what a card says; it only sets it."""
