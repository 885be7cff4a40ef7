"""Spec files → checked, typed records; every complaint with its place."""
