"""The booklet: library, sums and the shop's records become one frozen `tables.Booklet`, all plain tables.

`tables` is the shape, `gather_booklet` says which chapter is made by what. A maker fills tables from
`compute` and `tapers` and writes no word: titles, notes, worked lines stand in templates/booklet_tables.j2.
"""
