"""The shop: a folder of specs and templates becomes cards and papers; this is where the rooms meet."""
