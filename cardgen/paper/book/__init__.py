"""The booklet of tables: a `card.tables.Booklet` becomes a PDF for the toolroom's binder.

    title page, contents, how to use        numbered i, ii …
    the tables, the parts' cards, sources, index    numbered 1, 2 …

Each section is a template set on pages and made into a PDF of its own; the sections are then joined.
"""
