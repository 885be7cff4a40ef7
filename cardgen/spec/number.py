"""Text → the numbers, words and signs in it, by the strict grammar of figures on a drawing.

A number is a decimal (`38.000`, `.0625`), a common fraction (`7/32`) or a whole number and a
fraction (`1 1/2`, `1-1/2`). Nothing else is one: no comma, no `1e-3`, no two numbers side by side.
The value is kept exact, with half a unit of the last digit given beside it.
"""

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from cardgen.bounds import most
from cardgen.spec.complaint import Refusal, shown


@dataclass(frozen=True)
class Number:
    """A number as written: its exact value, and half a unit of its last digit (0 for a fraction)."""

    value: Fraction
    half_digit: Fraction


@dataclass(frozen=True)
class Token:
    """A number, a word (a unit), or a sign, and the text it was written as."""

    kind: str  # 'number', 'word', 'end' or the sign itself: + - ± / : ..
    text: str
    number: Number | None = None


_MIXED = r"[0-9]+(?: +|-)[0-9]+/[0-9]+"
_FRACTION = r"[0-9]+/[0-9]+"
_DECIMAL = r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
_LEXER = re.compile(
    rf"(?P<number>(?:{_MIXED}|{_FRACTION}|{_DECIMAL})(?!\.?[0-9]))"
    r"|(?P<range>\.\.\.?|…)"
    r"|(?P<word>°[CF](?![A-Za-z])|[A-Za-zµμ]+|[°%′″'\"’”])"
    r"|(?P<sign>[-+±/:–])"
    r"|(?P<space> +)"
)
_SAME = str.maketrans(
    {"−": "-", "—": "–", "⁄": "/", "∕": "/", "∶": ":", "\t": " ", "μ": "µ", "’": "′", "”": "″", "º": "°"}
)
_DECIMAL_COMMA = re.compile(r"[0-9],[0-9]")


def tidy(text: str) -> str:
    """The text with the typist's variants of one sign made one, and each space a single one."""
    if not text.isascii():
        text = "".join(_fraction_written_out(letter) for letter in text)
    text = text.translate(_SAME).replace("+/-", "±").replace("''", "″").replace("′′", "″")
    return " ".join(text.split())


def _fraction_written_out(letter: str) -> str:
    """'½' → ' 1/2', so that '1½' is one and a half and not eleven halves."""
    parts = unicodedata.normalize("NFKC", letter)
    return " " + parts.replace("⁄", "/") if "⁄" in parts and len(parts) > 1 else letter


def tokens(text: str) -> list[Token]:
    """The tokens of a text, closed by an 'end'; Refusal for a comma in a number or a sign unknown here."""
    if len(text) > most("quantity"):
        raise Refusal(f"{shown(text)} is too long for a quantity", such_as="38.1 mm: a number and its unit")
    text = tidy(text)
    refuse_comma(text)
    found: list[Token] = []
    at = 0
    while at < len(text):
        match = _LEXER.match(text, at)
        if match is None:
            raise _sign_refusal(text, at)
        at = match.end()
        if match.lastgroup != "space":
            found.append(_token(match))
    return [*found, Token("end", "")]


def _token(match: re.Match[str]) -> Token:
    written = match.group()
    if match.lastgroup == "number":
        return Token("number", written, _number(written))
    if match.lastgroup == "word":
        return Token("word", written)
    return Token(".." if match.lastgroup == "range" else written, written)


def _number(written: str) -> Number:
    if sum(letter.isdigit() for letter in written) > most("quantity.digits"):
        raise Refusal(f"{shown(written)} has more than {most('quantity.digits')} digits", "write fewer")
    whole, over, below = written.rpartition("/")
    if not over:
        places = len(written.partition(".")[2])
        return Number(Fraction(written), Fraction(1, 2 * 10**places))
    if int(below) == 0:
        raise Refusal(f"{shown(written)} divides by nothing", "write a fraction such as 3/16")
    count, _, above = whole.replace("-", " ").rpartition(" ")
    if count and not (0 < int(above) < int(below) and int(count) > 0):
        raise Refusal(
            f"{shown(written)} is not a whole number and a proper fraction",
            "write such as 1 1/2, with a space before the sign of a tolerance: 5/16 in +1/64 -0 in",
        )
    return Number(Fraction(int(count or 0)) + Fraction(int(above), int(below)), Fraction(0))


def refuse_comma(text: str) -> None:
    """Refuse a comma between digits: it is a decimal point to some and parts thousands to others."""
    if not _DECIMAL_COMMA.search(text):
        return
    if text.count(",") == 1 and "." not in text:
        raise Refusal(f"{shown(text)} has a decimal comma", f"write a point: {text.replace(',', '.')}")
    raise Refusal(f"{shown(text)} has a comma in a number", f"leave it out: {text.replace(',', '')}")


def _sign_refusal(text: str, at: int) -> Refusal:
    number = re.compile(r"[0-9.]+").match(text, at)
    if number:
        wrong = f"'{number.group()}' in {shown(text)} is not a number"
        return Refusal(wrong, "write 38.1, 7/32 or 1 1/2", number.group())
    return Refusal(
        f"{shown(text[at])} does not belong in the quantity {shown(text)}",
        piece=text[at],
        such_as="38.1 mm: a number and its unit",
    )
