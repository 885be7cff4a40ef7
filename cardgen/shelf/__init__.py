"""What hangs where: which cards are true to the shop's specs, and how new ones take their place.

The shelf knows bytes, values that JSON can carry, and named inputs. It reads no spec, computes no
taper and draws no paper: whoever calls it hands those in as a `Wanted`.
"""
