"""What a hand that wrote something unreadable likely meant: each slip with what is written instead.

A slip is named only where the text, written so, can be read where it stands; nothing is read so in silence.
"""

import re
from collections.abc import Callable

from cardgen.bounds import most

_NUMBER = r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
_LENGTH = rf"(?:{_NUMBER}|[0-9]+/[0-9]+|[0-9]+ [0-9]+/[0-9]+) ?(?:mm|cm|in|thou|\")"

# (what is written, what it is rewritten to, what was meant where that is not plain)
_SLIPS = tuple(
    (re.compile(written, re.IGNORECASE), meant, words)
    for written, meant, words in (
        # signs and letters
        (r"(?<=[0-9.])O(?![a-z])|(?<![a-z])O(?=[0-9.])", "0", "a nought"),
        (r"(?<![a-z])[lI](?=[0-9./:])|(?<=[0-9./:])l(?![a-z])", "1", "a one"),
        (r"^(?:[⌀øΦ∅~] ?|(?:dia|diameter|about|approx|ca|length|width)\.? )", "", ""),
        (r" (?:long|wide|deep|across|dia|diameter|nominal|approx)\.?$", "", ""),
        (r"^([0-9]+) ([0-9]+)(?= ?[a-z])", r"\1.\2", "a decimal point"),
        (r"(?<=[a-z%])\.$", "", ""),
        # ranges, and the two sides of a tolerance
        (r"(?<=[0-9a-z\"]) ?(?:-|~|/|\bto\b|\band\b|\bup to\b) ?(?=[0-9.])", " .. ", ""),
        (r"^(?:from|between) (.+?) (?:to|and|-) ", r"\1 .. ", ""),
        (r" ?[/,;] ?(?=[-–+])", " ", ""),
        (r"^(?=[0-9.])(?!.*[±+-])", "± ", "a tolerance both ways"),
        (r"^(\+.*?)( ?[a-z\"]+)$", r"\1 -0\2", "nothing below"),
        (r"^(-.*?)( ?[a-z\"]+)$", r"+0 \1\2", "nothing above"),
        (r"^(.*[0-9] ?(?:mm|in|\")) ?(\+[0-9./ ]+) ?(mm|in|\")$", r"\1 \2 -0 \3", "nothing below"),
        (r"^(± ?[0-9.]+ ?(?:mm|in|µm))$", r"\1 over the length", "a difference over the whole length"),
        # tapers
        (rf"^({_NUMBER}) ?(?:/|÷|in|to|on|per|over) ?({_NUMBER})$", r"\1:\2", "the ratio"),
        (rf"^({_LENGTH}) ?(?:in|on|over|to|:|per) ({_LENGTH})$", r"\1/\2", ""),
        (r"^(?:taper|cone|ratio)(?: of)? (.+)$|^(.+) (?:taper|cone|ratio)$", r"\1\2", ""),
        (r"^(.+?) ?(?:tpf|ipf|per foot|\"/'|″/′)$", r"\1 in/ft", "taper per foot"),
        (r"^([0-9.]+)/([0-9]+) ?(?:in|\") ?(?:per|a) ?(?:ft|foot)\.?$", r"\1/\2 in/ft", ""),
        (r" ?(?:per ?cent|percent|pct)$", " %", ""),
        (r"^([0-9.]+) ?: ?([0-9.]+)$", r"\2:\1", "that upside down"),
        (r"^([0-9.]+) ?(?:mm/mm|in/in)$", r"\1 %", "per cent"),
        # units
        (r"(?<=[0-9]) ?(?:r\.p\.m\.?|u/min|1/min|min-1|min⁻¹|t/min|revs?)$", " rpm", ""),
        (r"(?<=[0-9]) ?(?:m/sec|mps|m s-1|m·s⁻¹)$", " m/s", ""),
        (r"(?<=[0-9]) ?(?:mm/m|mm/mn|mmpm)$", " mm/min", "a speed in millimetres a minute"),
        (r"(?<=[0-9]) ?(?:inches|inchs|ins|zoll)$", " in", ""),
        (r"(?<=[0-9]) ?(?:micron|microns|mu|my)$", " µm", ""),
        (r"^(.+) (?-i:in)$", r"\1 mm", "a length in millimetres"),
        (r"^(.+) (?-i:mm)$", r"\1 in", "a length in inches"),
        # dates
        (r"^(1[3-9]|2[0-9]|3[01])[./ -]0?([0-9])[./ -]([0-9]{4})$", r"\3-0\2-\1", ""),
        (r"^(1[3-9]|2[0-9]|3[01])[./ -](1[0-2])[./ -]([0-9]{4})$", r"\3-\2-\1", ""),
        (r"^([0-9]{4})[./ ]([0-9]{2})[./ ]([0-9]{2})$", r"\1-\2-\3", ""),
    )
)


def likely(text: str, reads: Callable[[str], bool]) -> str:
    """'write 0.35 .. 0.50 mm', 'if the ratio was meant, write 1:8'; empty where nothing near can be read."""
    if len(text) > most("quantity"):
        return ""
    for written, instead, meant in _SLIPS:
        said = " ".join(written.sub(instead, text.strip()).split())
        if said != text and reads(said):
            return f"if {meant} was meant, write {said}" if meant else f"write {said}"
    return ""
