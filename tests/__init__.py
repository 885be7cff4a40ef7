"""Tests, a folder for each room of the package; brute_force is the bench they are compared with."""
