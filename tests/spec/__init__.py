"""Tests of the spec files: what is read, what is refused, and what is said about it."""
