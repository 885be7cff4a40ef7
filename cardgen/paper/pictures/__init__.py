"""Shapes as plain numbers: what a picture shows, worked out before any pen touches paper."""
