"""The booklet on paper: plain tables of `booklet.tables` become pages, pages a PDF for the toolroom's binder.

`table_words` gives a table its words, `blocks` measures and draws, `flow` finds pages, `make` does all of it.
"""
