"""The stroke on the card: clear of shoulder and bottom, rounded to the safe side, the caution beside it."""

from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.card.bench_shop import Change, gathered, shop
from tests.card.test_checks import BORE

NO_RELIEF: tuple[Change, ...] = (("  relief: 3 mm\n", ""),)
STANDOUT: tuple[Change, ...] = (  # where no shoulder stands there is no gap to read
    ("reading: shoulder_gap", "reading: small_end_standout"),
    ("finish: 3.0 mm ± 0.08 mm", "finish: 9.0 mm ± 0.08 mm"),
)
OPEN: tuple[Change, ...] = (("  relief: 3 mm\n", "  open_both_ends: true\n"), *STANDOUT)
SHORT_WHEEL: tuple[Change, ...] = (("new: 400 mm, worn: 320 mm", "new: 25 mm, worn: 20 mm"),)
INCHES: tuple[Change, ...] = (("units: metric", "units: inch"),)
SLANT = 62.12102  # mm: 62 / cos 3.5763°
WIDTH, OVERRUN = 40.0, 40.0 / 3
KEPT: Change = ("setup:\n", "setup:\n  clearance: 2.5 mm\n")


def words(folder: Path, *changes: Change) -> str:
    """All that the card prints."""
    read = shop(folder, *changes)
    pdf = read.draw_card(read.card("SN-204").card, "A5").pdf()
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(pdf)).pages)
    return " ".join(text.replace("\u00a0", " ").split())


@pytest.mark.parametrize(
    ("changes", "travel"),
    [
        ((), SLANT + OVERRUN - WIDTH - 1.5 / 62 * SLANT),
        (NO_RELIEF, SLANT + OVERRUN - WIDTH - 1.0 / 62 * SLANT),
        ((*NO_RELIEF, *INCHES), SLANT + OVERRUN - WIDTH - 1.016 / 62 * SLANT),
        ((*NO_RELIEF, KEPT), SLANT + OVERRUN - WIDTH - 2.5 / 62 * SLANT),
        (OPEN, SLANT + 2 * OVERRUN - WIDTH),
        ((*BORE, *SHORT_WHEEL), SLANT + OVERRUN - WIDTH - 1.0 / 62 * SLANT),
        ((*BORE, *SHORT_WHEEL, KEPT), SLANT + OVERRUN - WIDTH - 2.5 / 62 * SLANT),
    ],
)
def test_the_travel_ends_clear_of_whatever_stands_there(
    tmp_path: Path, changes: tuple[Change, ...], travel: float
) -> None:
    """Half a relief, else the clearance (1 mm, .04 in unless stated); past the end only where it is open."""
    assert gathered(tmp_path, *changes).card.stroke.travel_mm == pytest.approx(travel, abs=1e-4)


def test_the_printed_travel_is_rounded_down_and_the_clearance_up(tmp_path: Path) -> None:
    """34.452 mm is 34.4; with .04 in kept off, 1.3557 in is 1.355."""
    assert "travel 34.4 mm" in words(tmp_path, *NO_RELIEF)
    assert "travel 1.355 in" in words(tmp_path, *NO_RELIEF, *INCHES)


@pytest.mark.parametrize(
    ("changes", "caution"),
    [
        ((), ""),
        (OPEN, ""),
        (NO_RELIEF, "No relief: edge 1.0 mm off the shoulder"),
        ((*NO_RELIEF, KEPT), "edge 2.5 mm off"),
        ((*NO_RELIEF, ("width: 40 mm", "width: 100 mm")), "edge 1.0 mm off"),
        ((*BORE, *SHORT_WHEEL), "Blind hole: edge 1.0 mm off the bottom"),
    ],
)
def test_the_caution_stands_beside_the_travel(
    tmp_path: Path, changes: tuple[Change, ...], caution: str
) -> None:
    """Wherever the wheel cannot pass, ground by stroke or by plunge; nowhere else."""
    text = words(tmp_path, *changes)
    assert caution in text
    if not caution:
        assert "keep the edge" not in text


@pytest.mark.parametrize(
    ("changes", "wrong"),
    [
        ((KEPT,), "turns back in the middle of the relief"),
        ((*OPEN, KEPT), "runs past both ends"),
        (
            (("relief: 3 mm", "relief: 3 mm\n  open_both_ends: true"), *STANDOUT),
            "a relief belongs to a shoulder",
        ),
        ((*NO_RELIEF, ("setup:\n", "setup:\n  clearance: 62 mm\n")), "as long as the taper"),
        ((*NO_RELIEF, ("setup:\n", "setup:\n  clearance: 0 mm\n")), "nothing"),
    ],
)
def test_a_clearance_that_means_nothing_is_refused(
    tmp_path: Path, changes: tuple[Change, ...], wrong: str
) -> None:
    """What would change no paper, or drive the wheel into the shoulder, is no spec."""
    (complaint,) = shop(tmp_path, *changes).complaints
    assert wrong in str(complaint)
