"""What no grinder, gauge or shop comes near is refused at its place, before anything is made of it."""

from pathlib import Path

import pytest

from cardgen.bounds import most, table
from cardgen.spec.build import _model_at
from cardgen.spec.load import load_documents
from cardgen.spec.models import KINDS
from tests.card.bench_shop import PART, REST, changed

BEYOND = [
    (
        "rough: 0.02 mm",
        "rough: 20 mm",
        "'20 mm' is beyond sense at 'stock.infeed.rough'; it takes 0.0002 to 1 mm",
    ),
    ("rough: 0.02 mm", "rough: 0.6 mm", "one roughing pass takes off more than the fullest blank has on"),
    ("0.01 mm}", "5000000000 mm}", "'5000000000 mm' is beyond sense for a length; it takes at most 50000 mm"),
    ("name: Spindle nose", f"name: {'W' * 61}", "has 61 letters; the card has room for 60"),
    ("revision: B", "revision: WWWWWWWWWWWWW", "'WWWWWWWWWWWWW' has 13 letters; the card has room for 12"),
    ("group: hardened steel", f"group: {'x' * 3000}", "has 3000 letters; the card has room for 40"),
    ("steel rule 0.5 mm", f"{'x' * 180} 0.5 mm", "has 180 letters; the card has room for 40"),
    ("spark_out_passes: 3", "spark_out_passes: 999999999", "'999999999' is beyond sense"),
    (
        "spark_out_passes: 3",
        "spark_out_passes: 101",
        "beyond sense at 'stock.spark_out_passes'; it takes at most 100",
    ),
    ("limit: 10 deg", "limit: 91 deg", "'91 deg' is beyond sense at 'swivel.limit'; it takes 0.1 to 90 deg"),
    ("maximum_operating_speed: 35 m/s", "maximum_operating_speed: 300 m/s", "it takes 5 to 250 m/s"),
    ("maximum_operating_speed: 35 m/s", "maximum_operating_speed: 3.5 km/s", "not a known unit"),
    ("id: SN-204", "id: SN-204\nshop: {blue_film: 1000 mm}", "it takes 0.0002 to 0.2 mm"),
    ("id: SN-204", "id: SN-204\nshop: {sine_bar: 10000 mm}", "takes 20 to 1000 mm (0.787 to 39.4 in)"),
    ("id: SN-204", "id: SN-204\nshop: {table_rows: 100000}", "at 'shop.table_rows'; it takes 5 to 200 rows"),
    (
        "id: SN-204",
        f"id: SN-204\nposted_at: [{'a, ' * 61}]",
        "there are 61 entries; the card has room for 60",
    ),
]


def complaints(part: str, rest: str = REST) -> list[str]:
    root = Path("shop")
    files = {root / "part.yaml": part.encode(), root / "rest.yaml": rest.encode()}
    return [str(each) for each in load_documents(files, root)[1]]


@pytest.mark.parametrize(("old", "new", "told"), BEYOND, ids=[new[:40] for _, new, _ in BEYOND])
def test_what_is_beyond_sense_is_refused_and_what_would_do_is_told(old: str, new: str, told: str) -> None:
    """A unit mistaken, a nought too many, a text that no card has room for."""
    both = [changed(text, ((old, new),)) if old in text else text for text in (PART, REST)]
    assert any(told in complaint for complaint in complaints(*both)), complaints(*both)


def test_every_limit_of_a_key_is_of_a_key_that_there_is() -> None:
    """A key that is renamed takes its line of the table with it."""
    for name in table():
        kind, *path = name.removesuffix(".entries").split(".")
        if kind in KINDS and name not in ("wheel.surface_speed",):
            assert _model_at(KINDS[kind], tuple(path[:-1])) is not None, name
            fields = _model_at(KINDS[kind], tuple(path[:-1])).model_fields  # type: ignore[union-attr]
            assert path[-1] in {field.alias or key for key, field in fields.items()}, name


def test_a_file_or_a_nesting_beyond_the_table_is_refused() -> None:
    """In words, at its first line or where the nesting starts."""
    assert "over a megabyte" in complaints("#" * (most("spec.file") + 1))[0]
    assert "nest too deep" in complaints(f"kind: part\nid: {'[' * (most('spec.nesting') + 1)}")[0]
