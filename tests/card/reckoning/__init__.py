"""Every number of a card worked out anew, at 50 digits, from the figures that the specs give.

Nothing here comes from the package: not the reading of quantities, not the constants, not the formulas. What
a closed formula would only copy (least stock, what a turn does to the size) is found with bare lines and
points.
Lengths in mm, angles in radians unless a name says otherwise.
"""
