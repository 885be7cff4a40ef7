"""A shop's specs loaded: records, references, standard tapers, and what a mistake spoils."""

from datetime import date
from pathlib import Path

import pytest

from cardgen.spec.load import load_documents
from cardgen.spec.models import FORMAT, KINDS
from tests.spec.sketch import SKETCH, altered, load, messages


def test_the_sketch_of_the_design_loads_as_it_stands(tmp_path: Path) -> None:
    """Every kind of record in it, without a word said."""
    library, complaints = load(tmp_path, SKETCH)
    assert complaints == []
    part = library.parts["SN-204"]
    assert part.taper.callout is not None
    assert part.taper.callout.ratio is not None
    assert part.taper.callout.ratio.value == 0.125
    assert part.stock.infeed.finish_mm == 0.005
    assert part.setup.gauge_line_from_pivot_mm == 85.0
    assert library.gauges["R-204"].calibration_due == date(2027, 3, 31)
    assert library.machines["CG-2"].work_speeds.steps == (60.0, 90.0, 140.0, 210.0)
    assert library.wheels["W-A60"].maximum_operating_speed_m_s == 35.0
    assert library.booklets["toolroom"].machines == ("CG-2",)


def test_each_record_keeps_the_text_it_was_made_from(tmp_path: Path) -> None:
    """So that a card can carry its own spec."""
    library, _ = load(tmp_path, SKETCH)
    source = library.source_of["gauge", "R-204"]
    assert source.path == "a.yaml"
    assert "calibration_due: 2027-03-31" in source.text
    assert "kind: machine" not in source.text


def test_documents_may_stand_in_one_file_or_in_many(tmp_path: Path) -> None:
    """One document a file is the rule; several are read alike."""
    texts = [text for text in SKETCH.split("---\n") if text]
    library, complaints = load(tmp_path, *texts)
    assert complaints == []
    assert list(library.parts) == ["SN-204"]


def test_a_standard_taper_fills_in_what_the_part_leaves_out(tmp_path: Path) -> None:
    """Ratio, gauge-line diameter and length of a No. 3 Morse, from the table of standard tapers."""
    text = altered("callout: 1:8             #", "callout: MT 3  #").replace("  length: 62 mm ", "  # ")
    text = text.replace(
        "gauge_line: {diameter: 38.000 mm, tolerance: ± 0.010 mm}", "gauge_line: {tolerance: ± 0.010 mm}"
    )
    library, complaints = load(tmp_path, text)
    assert complaints == []
    taper = library.parts["SN-204"].taper
    assert taper.callout is not None
    assert taper.callout.ratio is not None
    assert taper.callout.standard == "Morse 3"
    assert taper.callout.ratio.value == pytest.approx(0.60235 / 12)
    assert taper.gauge_line.diameter is not None
    assert taper.gauge_line.diameter.value == pytest.approx(0.938 * 25.4)
    assert taper.length is not None
    assert taper.length.value == pytest.approx(3.1875 * 25.4)


def test_what_the_part_says_stands_before_the_standard(tmp_path: Path) -> None:
    """A length and a diameter of its own are kept."""
    library, _ = load(tmp_path, altered("callout: 1:8             #", "callout: Morse 3  #"))
    taper = library.parts["SN-204"].taper
    assert taper.length is not None
    assert taper.gauge_line.diameter is not None
    assert (taper.length.value, taper.gauge_line.diameter.value) == (62.0, 38.0)


def test_two_diameters_and_a_length_are_enough(tmp_path: Path) -> None:
    """No callout is needed beside them."""
    text = altered(
        "  callout: 1:8             #", "  large_diameter: 38.3 mm\n  small_diameter: 30.55 mm\n  #"
    )
    library, complaints = load(tmp_path, text.replace("diameter: 38.000 mm, tol", "tol"))
    assert complaints == []
    assert library.parts["SN-204"].taper.callout is None


def test_the_shop_holds_what_a_part_leaves_out(tmp_path: Path) -> None:
    """A part's own `shop` keys stand before the shop's record, that before the program's defaults."""
    shop = "kind: shop\nname: Toolroom\npaper: A6\nblue_film: 0.004 mm\nunits: inch\n"
    text = altered("units: metric  ", "shop: {paper: 5 × 8 in}  ")
    library, complaints = load(tmp_path, text, shop)
    assert complaints == []
    part = library.parts["SN-204"]
    assert (part.units, part.shop.paper, part.shop.blue_film_mm) == ("inch", "5x8 in", 0.004)
    assert part.shop.sine_bar_mm == 127.0
    assert (library.shop.paper, library.shop.name) == ("A6", "Toolroom")


def test_a_shop_without_a_record_has_the_usual_defaults(tmp_path: Path) -> None:
    """A5 paper, 0.005 mm of blue, a 100 mm sine bar, one kelvin."""
    library, _ = load(tmp_path, SKETCH)
    shop = library.parts["SN-204"].shop
    assert (shop.paper, shop.blue_film_mm, shop.sine_bar_mm, shop.temperature_difference_k) == (
        "A5",
        0.005,
        100.0,
        1.0,
    )


def test_a_mistake_in_one_part_leaves_the_others_standing(tmp_path: Path) -> None:
    """Only the part with the mistake is spoilt."""
    other = SKETCH.partition("---\n")[0].replace("id: SN-204", "id: SN-205").replace("62 mm", "62")
    library, complaints = load(tmp_path, SKETCH, other)
    assert list(library.parts) == ["SN-204"]
    (complaint,) = complaints
    assert (
        complaint.spoils
        == {("part", "SN-205"), ("booklet", "toolroom")} - {("booklet", "toolroom")} | complaint.spoils
    )
    assert ("part", "SN-204") not in complaint.spoils


def test_a_mistake_in_a_gauge_spoils_the_parts_read_with_it(tmp_path: Path) -> None:
    """And only says so once: the part's reference is not called unresolved besides."""
    library, complaints = load(tmp_path, altered("type: ring     ", "type: rng     "))
    (complaint,) = complaints
    assert {("gauge", "R-204"), ("part", "SN-204")} <= complaint.spoils
    assert ("machine", "CG-2") not in complaint.spoils
    assert library.parts == {}
    assert list(library.machines) == ["CG-2"]


def test_a_gauge_whose_yaml_is_broken_spoils_its_parts(tmp_path: Path) -> None:
    """Kind and id are still told by its lines, so that the reference is not called unresolved."""
    library, complaints = load(
        tmp_path, altered("gauge_line: {diameter: 38.000 mm, unc", "gauge_line: {{diameter: 38.000 mm, unc")
    )
    assert all(("part", "SN-204") in complaint.spoils for complaint in complaints)
    assert not any("there is no gauge" in complaint.wrong for complaint in complaints)
    assert library.parts == {}


def test_a_file_in_another_encoding_spoils_all_that_is_in_it(tmp_path: Path) -> None:
    """Its records are still known by their lines: no part is told besides that its gauge is not there."""
    gauges, rest = SKETCH.split("---\n")[1], SKETCH.replace(SKETCH.split("---\n")[1] + "---\n", "")
    (tmp_path / "a.yaml").write_text(rest, encoding="utf-8")
    (tmp_path / "b.yaml").write_bytes(gauges.encode("latin-1") + b"# \xb1\n")
    library, complaints = load_documents(
        {path: path.read_bytes() for path in tmp_path.iterdir()}, root=tmp_path
    )
    assert [complaint.wrong for complaint in complaints] == ["byte 0xb1 is not UTF-8 text"]
    assert {("gauge", "R-204"), ("part", "SN-204")} <= complaints[0].spoils
    assert library.parts == {}


@pytest.mark.parametrize("shop", ["kind: shp\n", "kind: shop\npaper: [A5\n", "kind: shop\npaper: A7\n"])
def test_no_card_is_made_without_a_shop_record_that_is_wrong(tmp_path: Path, shop: str) -> None:
    """A mistyped kind or broken YAML must not leave the parts with the defaults in silence."""
    library, complaints = load(tmp_path, SKETCH, shop)
    assert len(complaints) == 1
    assert library.parts == {}


def test_a_booklet_of_all_is_spoilt_by_any_part(tmp_path: Path) -> None:
    """A booklet with a page silently missing is worse than none."""
    library, _ = load(tmp_path, altered("length: 62 mm", "length: 62"))
    assert library.booklets == {}


def test_a_mistake_in_the_shop_spoils_every_part(tmp_path: Path) -> None:
    """Every card is made with the shop's record."""
    library, complaints = load(tmp_path, SKETCH, "kind: shop\npaper: A7\n")
    assert ("part", "SN-204") in complaints[0].spoils
    assert library.parts == {}


def test_two_records_with_one_id_are_an_error_that_names_both_places(tmp_path: Path) -> None:
    """Capitals do not tell ids apart: a card's file would overwrite the other's."""
    twin = SKETCH.partition("---\n")[0].replace("id: SN-204", "id: sn-204")
    assert messages(tmp_path, SKETCH, twin) == [
        "b.yaml:2:5: the part 'sn-204' is there already, at a.yaml:2:5; "
        "give one of the two another id (capitals do not tell ids apart)"
    ]


def test_two_records_of_the_shop_are_one_too_many(tmp_path: Path) -> None:
    """There is one shop."""
    said = messages(tmp_path, SKETCH, "kind: shop\nid: a\n", "kind: shop\nid: b\n")
    assert said == ["c.yaml:2:5: a second record of kind shop, the first at b.yaml:2:5; keep one"]


def test_a_complaint_found_later_has_its_place_and_spoils_what_it_must(tmp_path: Path) -> None:
    """What the card finds out by computing is said at the field's own line and column."""
    library, _ = load(tmp_path, SKETCH)
    complaint = library.complain("gauge", "R-204", "gauge_line.diameter", "too small", "measure it")
    assert str(complaint) == "a.yaml:37:24: too small; measure it"
    assert ("part", "SN-204") in complaint.spoils


def test_a_complaint_about_a_field_that_is_not_written_stands_at_its_group(tmp_path: Path) -> None:
    """The key of the nearest group above it."""
    library, _ = load(tmp_path, SKETCH)
    assert library.complain("part", "SN-204", "taper.small_diameter", "x", "y").line == 6
    assert library.complain("machine", "CG-2", "swivel.scales[2].width", "x", "y").line == 48


def test_a_record_may_say_the_format_that_it_was_written_for(tmp_path: Path) -> None:
    """The current one is read as where none is said, in a record of any kind."""
    text = SKETCH.replace("kind: ", f"format: {FORMAT}\nkind: ")
    assert load(tmp_path, text)[1] == []


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("other", ["1", "3", "2.0", "two", "[2]"])
def test_a_record_of_another_format_is_refused_with_what_to_do(tmp_path: Path, kind: str, other: str) -> None:
    """Keys may mean something else in it: what it says is not guessed at, and no card is made of it."""
    text = f"{SKETCH}---\nkind: shop\n".replace(f"kind: {kind}\n", f"kind: {kind}\nformat: {other}\n")
    library, complaints = load(tmp_path, text)
    (told,) = map(str, complaints)
    assert "the record is of format " in told
    assert f"this program reads format {FORMAT}; change what CHANGES.md names" in told
    assert told.startswith(f"a.yaml:{text[: text.index('format:')].count(chr(10)) + 1}:9: ")
    assert kind == "booklet" or not library.parts
