"""The booklet's tables: library, sums and the shop's records become one frozen `card.tables.Booklet`."""
