"""A grinder, its work and its gauges as bare geometry: points, lines, and sliding on until it touches.

Nothing here comes from the package, and no formula of tapers is used: a wheel's line is a line in the
plane, a cut is what lies beyond it, a reading is where a ring or plug stops. Profiles are straight between
their corners and are looked at in every corner, so the answers are exact to arithmetic.
"""
