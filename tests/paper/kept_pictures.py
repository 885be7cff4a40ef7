"""Pictures of pages, kept to see what a change does to them.

python -m tests.paper.kept_pictures        renews them: look at every one before keeping it
"""

import io
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pypdfium2
from PIL import Image, ImageChops, ImageFilter

from cardgen.card.values import Card
from cardgen.paper.bench_card import Templates, bench_card, read_templates
from cardgen.paper.gap_strip import gap_strip
from cardgen.paper.record_sheet import record_sheet
from cardgen.shop.folder import Shop
from tests.paper.sample import samples

KEPT = Path(__file__).parent / "kept"
TEMPLATES = Path(__file__).parents[2] / "templates"
SCALE = 1.5  # 108 dots an inch: small, and every text still tells
TELLING = 60  # steps of grey by which a blurred dot must differ to count
SHARE = 0.0005  # of the dots that may differ: the edges of letters in another version of the renderer


def demo_card() -> Card:
    """A card of the demo shop on a fixed day, its code left out of account: what the README shows."""
    card = Shop.read(TEMPLATES.parent, date(2026, 11, 25)).card("SN-204").card
    return replace(card, title=replace(card.title, code="SN-204-B-1a2b3c4d"))


def papers(templates: Templates) -> Iterator[tuple[str, bytes]]:
    """Name and PDF of everything that is kept."""
    metric, inch, both = samples()
    yield "readme", bench_card(demo_card(), "A5", templates).pdf()
    yield "metric_A5", bench_card(metric, "A5", templates).pdf()
    yield "inch_A5", bench_card(inch, "A5", templates).pdf()
    yield "both_A4", bench_card(both, "A4", templates).pdf()
    yield "metric_A6", bench_card(metric, "A6", templates).pdf()
    yield "strip", gap_strip(metric, templates).pdf()
    yield "record", record_sheet(metric, "A4", templates).pdf()


def pictures(templates: Templates) -> Iterator[tuple[str, Image.Image]]:
    """Name and picture of every page, in grey."""
    for name, pdf in papers(templates):
        for number, page in enumerate(pypdfium2.PdfDocument(pdf), 1):
            yield f"{name}_{number}", page.render(scale=SCALE, grayscale=True).to_pil().convert("L")


def difference(picture: Image.Image, kept: Image.Image) -> float:
    """Share of the dots that tell two pictures apart, slight shifts of an edge forgiven."""
    if picture.size != kept.size:
        return 1.0
    soft = [each.filter(ImageFilter.GaussianBlur(1.2)) for each in (picture, kept)]
    counts = ImageChops.difference(*soft).histogram()
    return sum(counts[TELLING:]) / (picture.width * picture.height)


def kept(name: str) -> Image.Image | None:
    """The kept picture of this name, if there is one."""
    path = KEPT / f"{name}.png"
    return Image.open(io.BytesIO(path.read_bytes())) if path.exists() else None


def renew() -> None:
    """Keep the pages as they are now, and nothing else."""
    KEPT.mkdir(exist_ok=True)
    for old in KEPT.glob("*.png"):
        old.unlink()
    for name, picture in pictures(read_templates(TEMPLATES)):
        few = picture.quantize(16)  # sixteen greys: a quarter of the bytes
        few.save(KEPT / f"{name}.png", optimize=True)
        print(f"kept {name}.png")


if __name__ == "__main__":
    renew()
