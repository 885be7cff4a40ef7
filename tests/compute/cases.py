"""Parts, gauges and grinders as hypothesis draws them: from 1:50 to 60 degrees included."""

import math

from hypothesis import strategies as st

from cardgen.terms import READING_KINDS, Swivelled
from tests.compute.parts import Case, Wrong

KINDS = READING_KINDS


def between(low: float, high: float) -> st.SearchStrategy[float]:
    """Ordinary numbers of the workshop."""
    return st.floats(low, high, allow_nan=False, allow_subnormal=False)


@st.composite
def cases(draw: st.DrawFn, swung: tuple[Swivelled, ...] = ("table", "wheel head")) -> Case:
    """A part whose small end is still a third of its large end, with a gauge that reaches it."""
    ratio = math.exp(draw(between(math.log(1 / 50), math.log(2 * math.tan(math.radians(30))))))
    face_diameter = draw(between(12.0, 110.0))
    length = draw(between(0.4, 1.0)) * min(150.0, face_diameter * 2 / 3 / ratio)
    kind = draw(st.sampled_from(KINDS))
    external = kind in KINDS[:2]
    return Case(
        kind=kind,
        ratio=ratio,
        face_diameter=face_diameter,
        length=length,
        face=draw(between(-150.0, 150.0)),
        gauge_length=draw(between(0.5, 1.1)) * length,
        line_off_face=draw(between(0.0 if external else -0.1, 0.2)) * length,
        relief=draw(between(0.0, 0.1)) * length if external else 0.0,
        plane=draw(between(-5.0, 5.0)),
        collar=draw(between(0.5, 40.0)),
        swung=draw(st.sampled_from(swung)),
        slide_fed=draw(st.sampled_from(("above", "below"))),
    )


@st.composite
def cases_with_stock(draw: st.DrawFn) -> tuple[Case, float]:
    """A part and a stock with which the gauge still goes well on."""
    case = draw(cases())
    return case, draw(between(0.001, 1.0)) * min(0.6, 0.2 * case.ratio * case.length)


@st.composite
def wrong_tapers(draw: st.DrawFn) -> tuple[Wrong, float]:
    """A part on a swivelled table whose taper is off either way, and the stock its reading tells of."""
    case = draw(cases(swung=("table",)))
    off = draw(between(0.002, 1.0)) * min(0.04 * case.ratio, 0.001)
    wrong = Wrong(case, draw(st.sampled_from((1.0, -1.0))) * off * case.length)
    return wrong, draw(between(0.0, 0.2)) * case.ratio * case.length * 0.5
