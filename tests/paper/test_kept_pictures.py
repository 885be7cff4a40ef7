"""Pages look as they did when somebody last looked at them."""

from PIL import Image, ImageDraw

from cardgen.paper.bench_card import Templates
from tests.paper.kept_pictures import KEPT, SHARE, difference, kept, pictures


def test_every_page_looks_as_it_was_kept(templates: Templates) -> None:
    """Ensures no change moves anything unseen; renew on purpose with python -m tests.paper.kept_pictures."""
    seen = set()
    for name, picture in pictures(templates):
        old = kept(name)
        assert old is not None, f"no kept picture of {name}"
        share = difference(picture, old.convert("L"))
        assert share <= SHARE, f"{name} differs in {share:.2%} of its dots"
        seen.add(f"{name}.png")
    assert seen == {path.name for path in KEPT.glob("*.png")}


def test_a_word_gone_is_seen() -> None:
    """Ensures the comparison is fine enough to miss a single word."""
    page = Image.new("L", (630, 894), 255)
    with_word = page.copy()
    ImageDraw.Draw(with_word).text((100, 100), "3.00 mm", fill=0, font_size=14)
    assert difference(page, page.copy()) == 0.0
    assert difference(page, with_word) > SHARE / 4
