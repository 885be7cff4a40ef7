"""Spec files → checked, typed records in mm and radians; every complaint with its place."""
