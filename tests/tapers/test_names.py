"""Names as standards and the trade write them lead to the right taper; slips lead to a suggestion."""

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen import tapers
from cardgen.tapers import lookup

EVERY_SPELLING = [
    (" ".join(words), taper) for line in lookup.index() for words, taper in lookup.spelled(line).items()
]


@pytest.mark.parametrize("taper", [pytest.param(taper, id=taper.name) for taper in tapers.all_tapers()])
def test_every_standard_taper_is_found_by_its_own_name(taper):
    """Ensures that the name the library prints leads back to the taper."""
    assert tapers.find(taper.name) is taper


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("Morse 3", "Morse 3"),
        ("morse no. 3", "Morse 3"),
        ("No. 3 Morse", "Morse 3"),
        ("Morse taper No. 3", "Morse 3"),
        ("MT3", "Morse 3"),
        ("mt 3", "Morse 3"),
        ("Morse 4½", "Morse 4 1/2"),
        ("Morse 4-1/2", "Morse 4 1/2"),
        ("MK 3", "ISO Morse 3"),
        ("ISO 296 Morse 3", "ISO Morse 3"),
        ("Metric 80", "Metric 80"),
        ("ME 100", "Metric 100"),
        ("B&S 7", "Brown & Sharpe 7"),
        ("Brown & Sharpe 7", "Brown & Sharpe 7"),
        ("Brown and Sharpe No. 7", "Brown & Sharpe 7"),
        ("Jarno 10", "Jarno 10"),
        ("Jacobs 33", "Jacobs 33"),
        ("JT33", "Jacobs 33"),
        ("Jacobs 2 short", "Jacobs 2 short"),
        ("JT2S", "Jacobs 2 short"),
        ("B16", "B16"),
        ("7:24 No. 40", "7:24 No. 40"),
        ("ISO 40", "7:24 No. 40"),
        ("SK 50", "SK 50"),
        ("BT-30", "BT 30"),
        ("HSK-A63", "Hollow shank 63"),
        ("pin 4/0", "Pin 4/0"),
        ("Taper pin No. 7", "Pin 7"),
        ("No. 7 taper pin", "Pin 7"),
        ("ISO 2339 6", "Metric pin 6"),
        ("1/2 NPT", "NPT 1/2"),
        ("R 3/4", "R 3/4"),
        ("D1-6", "Spindle nose 6"),
        ("A2-5", "Spindle nose 5"),
        ("L00", "Spindle nose L00"),
        ("Propeller shaft 1 1/2 in", "Propeller shaft 1 1/2 in"),
        ("SAE J755 2", "Propeller shaft 2 in"),
        ("NS 14/23", "Ground joint 14/23"),
        ("Cone 1:10", "Cone 1:10"),
        ("Cone 60 deg", "Cone 60°"),
        ("R8", "R8"),
        ("5C", "5C"),
        ("Luer", "Luer"),
        ("mandrel", "Lathe mandrel"),
    ],
)
def test_a_spelling_of_the_trade_is_understood(written, meant):
    """Ensures that the usual spellings lead to the taper they mean."""
    assert tapers.find(written).name == meant


@given(
    named=st.sampled_from(EVERY_SPELLING),
    shape=st.sampled_from([str.upper, str.title, str.lower]),
    gap=st.sampled_from([" ", "  ", "-"]),
)
def test_case_blanks_and_hyphens_do_not_matter(named, shape, gap):
    """Ensures that any spelling of the index is found in any case, with blanks or hyphens."""
    words, taper = named
    assert tapers.find(shape(words).replace(" ", gap)) is taper


@pytest.mark.parametrize(
    "unknown", ["", "Morse", "Morse 8", "Morse 3.5", "ISO 41", "HSK-B 63", "3", "pin", "Weldon 2"]
)
def test_a_name_that_no_standard_has_finds_nothing(unknown):
    """Ensures that nothing is guessed: a near miss is no hit."""
    assert tapers.find(unknown) is None


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("Mrose 3", "Morse 3"),
        ("Morse 33", "Morse 3"),
        ("Jacob 33", "Jacobs 33"),
        ("Brown & Sharp 7", "Brown & Sharpe 7"),
        ("Jarno10", "Jarno 10"),
        ("metrick 80", "Metric 80"),
        ("propellor shaft 2", "Propeller shaft 2 in"),
    ],
)
def test_a_slip_of_the_pen_leads_to_the_name_meant(slip, meant):
    """Ensures that the taper meant is among the few suggested."""
    assert meant in tapers.suggestions(slip)


def test_what_looks_like_nothing_gets_no_suggestion():
    """Ensures that no far-fetched name is suggested."""
    assert tapers.suggestions("zzzzzz") == []


def test_looking_up_one_name_reads_the_index_and_one_series_only():
    """Ensures that a card which names one standard taper does not wait for the whole library."""
    ask = (
        "from cardgen.tapers import find, datafile as d; find('Morse 3'); print(d.read.cache_info().currsize)"
    )
    run = subprocess.run([sys.executable, "-c", ask], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "2"
