"""Lengths in the words of a message: in the part's own units, as a person would say them."""

from cardgen.terms import INCH, Units


def length_text(value_mm: float, units: Units) -> str:
    """'3.016 mm', or '.1187 in' without the leading zero, as drawings write inches."""
    if units != "inch":
        return f"{value_mm:.3f} mm"
    text = f"{value_mm / INCH:.4f}"
    return f"{text.replace('0.', '.', 1) if text.lstrip('-').startswith('0.') else text} in"


def small_text(value_mm: float, units: Units) -> str:
    """A small difference, without its sign: '2.4 µm', or '0.9 tenths of a thou'."""
    if units != "inch":
        return f"{abs(value_mm) * 1000:.1f} µm"
    return f"{abs(value_mm) / INCH * 1e4:.1f} tenths of a thou"
