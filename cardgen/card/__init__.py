"""What a card says: gathered once from the specs and the sums, then only printed or drawn."""
