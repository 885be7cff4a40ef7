"""Spoilt input by the thousand: specs, readings, templates and PDFs, each mutant from its own number."""
