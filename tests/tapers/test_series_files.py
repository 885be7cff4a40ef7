"""The data files of the standard tapers: whole, sourced, and agreeing with themselves."""

from collections import Counter
from dataclasses import FrozenInstanceError
from fractions import Fraction
from importlib.resources import files

import pytest

from cardgen import tapers
from cardgen.tapers import datafile, lookup, series

SIZES = [pytest.param(taper, id=taper.name) for taper in tapers.all_tapers()]
OVERDETERMINED = [
    pytest.param(taper, id=taper.name)
    for taper in tapers.all_tapers()
    if taper.large and taper.small and taper.length
]


def test_every_series_file_is_in_the_index_and_the_index_names_no_other():
    """Ensures that no data file lies unread and no line of the index points at nothing."""
    lying = {file.name for file in (files("cardgen.tapers") / "data" / "series").iterdir()}
    assert lying == {line.file for line in lookup.index()}


def test_the_index_calls_each_series_by_its_own_name():
    """Ensures that index and file agree on the series' name and order."""
    assert [line.series for line in lookup.index()] == [one.name for one in tapers.all_series()]


def test_the_library_is_as_large_as_the_toolroom_needs():
    """Ensures at least 150 sizes in at least 12 series."""
    assert len(tapers.all_tapers()) >= 150
    assert len(tapers.all_series()) >= 12


@pytest.mark.parametrize(
    ("name", "count"),
    [
        ("Morse", 9),
        ("ISO Morse", 8),
        ("Metric", 7),
        ("Brown & Sharpe", 18),
        ("Jarno", 19),
        ("Jacobs", 9),
        ("7:24", 16),
        ("Hollow shank", 9),
        ("Taper pin", 21),
        ("Metric taper pin", 20),
        ("ISO 1119", 21),
        ("Propeller shaft", 20),
    ],
)
def test_a_series_has_all_its_sizes(name, count):
    """Ensures that no size of a well-known series has fallen out."""
    assert Counter(taper.series for taper in tapers.all_tapers())[name] == count


def test_no_two_standard_tapers_share_a_name():
    """Ensures that a name points at one taper only."""
    names = Counter(taper.name for taper in tapers.all_tapers())
    assert [name for name, times in names.items() if times > 1] == []


def test_no_spelling_points_at_two_standard_tapers():
    """Ensures that no trade spelling means two sizes of different series."""
    meant = {}
    for line in lookup.index():
        for words, taper in lookup.spelled(line).items():
            assert meant.setdefault(words, taper) == taper, words


@pytest.mark.parametrize("one", tapers.all_series(), ids=lambda one: one.name)
def test_every_series_says_what_it_is_where_it_is_measured_and_who_says_so(one):
    """Ensures that no series stands without title, planes and source."""
    assert one.title
    assert one.planes
    assert one.source
    assert one.sizes


@pytest.mark.parametrize("taper", SIZES)
def test_a_figure_from_memory_says_so(taper):
    """Ensures that confidence and source tell the same: memory where nothing printed is named."""
    assert taper.source
    if taper.confidence == "memory":
        assert "memory" in taper.source.lower()


@pytest.mark.parametrize("taper", OVERDETERMINED)
def test_the_ends_the_length_and_the_taper_agree_within_the_printed_rounding(taper):
    """Ensures that large − small is ratio × length by half a unit in each last digit, or why not."""
    ratio = Fraction(taper.ratio) if taper.rate.exact_ratio is None else taper.rate.exact_ratio
    off = abs(taper.large.exact_mm - taper.small.exact_mm - ratio * taper.length.exact_mm)
    rounding = (
        taper.large.half_digit_mm
        + taper.small.half_digit_mm
        + taper.rate.half_digit * taper.length.exact_mm
        + ratio * taper.length.half_digit_mm
    )
    assert (off <= rounding) == (taper.disagrees is None)


@pytest.mark.parametrize("taper", SIZES)
def test_a_cone_is_larger_at_its_large_end_and_its_gauge_line_lies_on_it(taper):
    """Ensures the order of the diameters and a taper between nothing and 120° included."""
    assert 0 < taper.ratio < 3.5
    if taper.large and taper.small:
        assert taper.large.mm > taper.small.mm
        assert taper.small.mm <= taper.gauge_line_diameter_mm <= taper.large.mm


@pytest.mark.parametrize("one", tapers.all_series(), ids=lambda one: one.name)
def test_what_a_hand_needs_to_gauge_and_grind_it_is_given_or_said_not_to_be_known(one):
    """Ensures ends, lengths, tang, flange and angle grade for every size, or that none is known or fixed."""
    of_series = (*one.not_known, *one.not_fixed)
    assert bool(one.grade) != ("grade" in of_series)
    for taper in one.sizes:
        said = {*of_series, *taper.not_known, *taper.not_fixed}
        given = {name for name in series.WANTED if name != "grade" and getattr(taper, name) is not None}
        assert given | said >= set(series.WANTED) - {"grade"}, taper.name
        assert not given & said, taper.name


def test_a_conflict_tells_what_is_printed_where_and_why_it_is_not_used():
    """Ensures that conflicts between sources are kept, each whole."""
    conflicts = [
        conflict for holder in (*tapers.all_series(), *tapers.all_tapers()) for conflict in holder.conflicts
    ]
    assert len(conflicts) >= 30
    assert all(all((one.figure, one.prints, one.source, one.because)) for one in conflicts)


def test_the_ratio_is_exact_where_the_standard_defines_it():
    """Ensures that 7:24, 5 %, 1:20 and a taper per foot are kept as exact fractions."""
    exact = {
        name: tapers.find(name).rate.exact_ratio for name in ("ISO 40", "Metric 80", "Jarno 7", "Morse 3")
    }
    assert exact == {
        "ISO 40": Fraction(7, 24),
        "Metric 80": Fraction(1, 20),
        "Jarno 7": Fraction(1, 20),
        "Morse 3": Fraction("0.60235") / 12,
    }


def test_a_taper_defined_by_an_angle_has_no_exact_ratio_and_keeps_its_angle():
    """Ensures that an angle is not turned into a rounded ratio."""
    r8 = tapers.find("R8")
    assert r8.rate.exact_ratio is None
    assert r8.callout_text == "16°51′ included"


def test_a_callout_is_printed_in_the_form_its_standard_uses():
    """Ensures that a taper per foot stays one, a ratio stays one."""
    callouts = [tapers.find(name).callout_text for name in ("MT3", "ISO 40", "Metric 80", "MK 3")]
    assert callouts == ["0.60235 in/ft", "7:24", "5 %", "1:19.922"]


def test_what_the_library_hands_out_cannot_be_changed():
    """Ensures that a caller cannot spoil a taper for the next."""
    with pytest.raises(FrozenInstanceError):
        tapers.find("Morse 3").large = None


def test_the_gauge_line_lies_at_the_end_that_the_standard_measures():
    """Ensures that a Morse taper is measured at its large end, a metric pin at its small end."""
    assert [tapers.find(name).gauge_line_at for name in ("Morse 3", "Metric pin 6", "Cone 1:10")] == [
        "large",
        "small",
        None,
    ]


def test_the_jarno_rule_holds_for_every_size():
    """Ensures large end n/8, small end n/10, length n/2 in (rule: Wikipedia, 'Machine taper')."""
    for taper in tapers.all_tapers():
        if taper.series == "Jarno":
            n = int(taper.size)
            inches = [
                length.exact_mm / Fraction("25.4") for length in (taper.large, taper.small, taper.length)
            ]
            assert inches == [Fraction(n, 8), Fraction(n, 10), Fraction(n, 2)]


def test_inch_and_metric_morse_tapers_are_the_same_cones():
    """Ensures that the two standards' Morse tapers differ by 0.00001 in per foot and 0.001 mm at most."""
    for size in "01234567":
        inch, metric = tapers.find(f"Morse {size}"), tapers.find(f"ISO Morse {size}")
        assert abs(inch.ratio - metric.ratio) * 12 <= 0.0000151
        assert abs(inch.gauge_line_diameter_mm - metric.gauge_line_diameter_mm) <= 0.0011


GOOD = {
    "series": "Trial",
    "label": "Trial {size}",
    "title": "t",
    "unit": "mm",
    "planes": "p",
    "source": "s",
    "confidence": "memory",
    "sizes": [{"size": "1", "ratio": "1:10", "large": "20"}],
}


def broken(**changes):
    return {**GOOD, **changes}


@pytest.mark.parametrize(
    ("raw", "told"),
    [
        (broken(unit="cm"), "neither in nor mm"),
        (broken(gauge_line_at="middle"), "neither large nor small"),
        (broken(source=None), "source is missing"),
        (broken(confidence="sure"), "confidence"),
        (broken(colour="red"), "unknown colour"),
        (broken(not_known="tong"), "not_known: tong is none of large, small"),
        (broken(sizes=[{"size": "1", "ratio": "1:10", "large": 20}]), "quotes"),
        (broken(sizes=[{"size": "1", "large": "20"}]), "how fast it tapers"),
        (broken(sizes=[{"size": "1", "ratio": "1:10", "per_cent": "10"}]), "more than one figure"),
        (broken(sizes=[{"size": "1", "ratio": "1:10", "larg": "20"}]), "unknown larg"),
        (broken(sizes=[{"size": "1", "ratio": "1:10", "large": "20,5"}]), "not a number"),
        (broken(sizes=[{"size": "1", "ratio": "1:x"}]), "not a number"),
        (broken(sizes=[{"size": "1", "half_angle": "7 degrees"}]), "not an angle"),
        (broken(sizes=["1"]), "a mapping is wanted"),
        (broken(sizes="1"), "must be a list"),
        (broken(notes=[1]), "list of texts"),
    ],
)
def test_a_series_file_that_is_not_well_formed_is_refused_with_the_reason(monkeypatch, raw, told):
    """Ensures that a slip in a data file is told and not read as something else."""
    monkeypatch.setattr(series, "read", lambda name: raw)
    with pytest.raises(datafile.DataFileError, match=told):
        series.load_series.__wrapped__("trial.yaml")


def test_a_well_formed_series_file_is_read(monkeypatch):
    """Ensures that the trial of broken files breaks on the break and on nothing else."""
    monkeypatch.setattr(series, "read", lambda name: GOOD)
    assert series.load_series.__wrapped__("trial.yaml").sizes[0].name == "Trial 1"


@pytest.mark.parametrize("figure", ["1,5", "1 500", "abc", "1/2 3", "-3", "1e3", ""])
def test_a_figure_that_is_no_printed_number_is_refused(figure):
    """Ensures that only decimals and common fractions pass for figures."""
    with pytest.raises(ValueError, match="not a number"):
        tapers.Length(figure, "mm").exact_mm  # noqa: B018


# Outside diameter of the pipe and threads to the inch.
PIPES = {
    **{"1/16": ("0.3125", "27"), "1/8": ("0.405", "27"), "1/4": ("0.540", "18"), "3/8": ("0.675", "18")},
    **{"1/2": ("0.840", "14"), "3/4": ("1.050", "14"), "1": ("1.315", "11.5"), "1 1/4": ("1.660", "11.5")},
    **{"1 1/2": ("1.900", "11.5"), "2": ("2.375", "11.5"), "2 1/2": ("2.875", "8"), "3": ("3.500", "8")},
    **{"3 1/2": ("4.000", "8"), "4": ("4.500", "8"), "5": ("5.563", "8"), "6": ("6.625", "8")},
    **{"8": ("8.625", "8"), "10": ("10.750", "8"), "12": ("12.750", "8")},
}


@pytest.mark.parametrize("size", PIPES)
def test_pipe_threads_follow_the_formula_of_their_standard(size):
    """Ensures E0 = D − (0.05 D + 1.1) p and E1 = E0 + L1/16, half way to the even digit.

    Source: ASME B1.20.1, formulas and pipe sizes from memory.
    """
    outside, per_inch = (Fraction(figure) for figure in PIPES[size])
    found = tapers.find(f"NPT {size}")
    at_end = outside - (Fraction("0.05") * outside + Fraction("1.1")) / per_inch
    at_hand_tight = at_end + found.length.exact_mm / Fraction("25.4") / 16
    for length, exact in ((found.small, at_end), (found.large, at_hand_tight)):
        assert Fraction(length.text) == Fraction(round(exact * 10**5), 10**5), length.text


# Sizes of which no printed source was found, by series.
FROM_MEMORY = {
    **{
        "Shaft end": 40,
        "Ground joint": 13,
        "ASME B5.10": 11,
        "7:24": 9,
        "Hollow shank": 9,
        "Spindle nose": 8,
    },
    **{"Metric": 7, "Drill chuck": 6, "ISO 1119 special": 6, "SK shank": 5, "NMTB shank": 5, "NPT": 3},
    **{"Long spindle nose": 5, "Anaesthetic cone": 3, "Brown & Sharpe": 2, "CAT shank": 2, "ER collet": 2},
    **{"Gas cylinder thread": 2, "R8": 1, "5C": 1, "Collet 1:10": 1, "Wheel hub": 1, "Shop tapers": 1},
}


def test_what_stays_from_memory_is_listed():
    """Ensures that no size comes to be from memory unseen, and that what is found in print leaves it."""
    found = Counter(taper.series for taper in tapers.all_tapers() if taper.confidence == "memory")
    assert found == FROM_MEMORY
