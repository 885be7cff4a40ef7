"""A cell of a booklet's table becomes text: each figure right to its last digit, written in its own way."""

from typing import assert_never

from cardgen.booklet.tables import Amount, Way
from cardgen.digits import (
    NBSP,
    decimal,
    degrees_minutes_seconds,
    in_last_digits,
    inch_decimal,
    inch_plain,
    plain_number,
    signed,
    with_fractions,
)
from cardgen.terms import INCH

ARC_MINUTE = 60  # seconds; from there on an angle has minutes
ROUND_DIGITS = 4  # of a round length in millimetres: enough for any that somebody chose


def written(value: float, way: Way) -> str:
    """A figure in its way of writing."""
    text = _written(value, way)
    return signed(text) if way.signed else text


def amount(figure: Amount) -> str:
    """A figure that stands by itself, with its unit."""
    text = written(figure.value, figure.way)
    return f"{text}{NBSP}{figure.unit}" if figure.unit else text


def _written(value: float, way: Way) -> str:
    match way.kind:
        case "text":
            return with_fractions(f"{value:g}")
        case "number":
            return decimal(value, way.digits)
        case "plain":
            return plain_number(value, way.digits)
        case "inches":
            return inch_decimal(value, way.digits)
        case "length":
            return (
                decimal(value, way.digits)
                if way.system != "in"
                else inch_decimal(value / INCH, way.digits + 1)
            )
        case "round length":
            if way.system == "in":
                return f"{inch_plain(value / INCH, ROUND_DIGITS + 2)}{NBSP}in"
            return f"{plain_number(value, ROUND_DIGITS)}{NBSP}mm"
        case "dms":
            return degrees_minutes_seconds(value)
        case "arc":
            return _arc(value, way.digits)
        case "turns":
            turns, tenths = divmod(in_last_digits(value, 1), 10 * way.digits)
            return f"{turns}{NBSP}+{NBSP}{tenths // 10}.{tenths % 10}"
        case _:
            assert_never(way.kind)


def _arc(seconds: float, digits: int) -> str:
    """Seconds of arc, from a minute on as minutes and seconds: 27′30.1″."""
    if abs(seconds) < ARC_MINUTE:
        return f"{decimal(seconds, digits)}″"
    minutes, rest = divmod(in_last_digits(abs(seconds), digits), ARC_MINUTE * 10**digits)
    text = decimal(rest / 10**digits, digits)
    return f"{'−' if seconds < 0 else ''}{minutes}′{text.zfill(3 + digits if digits else 2)}″"
