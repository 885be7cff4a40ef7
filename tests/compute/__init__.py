"""Tests of the sums: published figures aside, against a bench that knows no formulas."""
