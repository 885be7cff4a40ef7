"""What the demo shop's papers say, kept per version: a paper or a value that changes raises the version.

python -m tests.kept_version        keeps the papers of a version that was raised, or is not out yet
"""

import hashlib
import json
import re
import sys
import tomllib
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pypdfium2
import yaml

from cardgen.card.values import Card, as_plain
from cardgen.paper.gap_strip import gap_strip
from cardgen.paper.record_sheet import record_sheet
from cardgen.shop.folder import Shop

TOP = Path(__file__).parents[1]
KEPT = TOP / "tests" / "kept_version.yaml"
CHANGES = TOP / "cardgen" / "CHANGES.md"
TODAY = date(2026, 6, 1)
NOT_OUT = "not out yet"
DIGITS = 12


def version() -> str:
    """The program's, as pyproject.toml has it."""
    found: str = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]["version"]
    return found


def headings() -> list[tuple[str, str]]:
    """Version and day of each release of CHANGES.md, as it lists them."""
    return re.findall(r"^## (\d+\.\d+\.\d+), (.+)$", CHANGES.read_text("utf-8"), re.MULTILINE)


def digest(text: str) -> str:
    return hashlib.sha256(text.encode("utf-8")).hexdigest()[:DIGITS]


def words(pdf: bytes) -> str:
    """What a paper says: its words, whatever their places."""
    pages = pypdfium2.PdfDocument(pdf)
    return " ".join(sorted(word for page in pages for word in page.get_textpage().get_text_range().split()))


def papers() -> dict[str, dict[str, str]]:
    """Part of the demo shop → digests of its values and of what its papers say, on a fixed day."""
    shop = Shop.read(TOP, TODAY)
    made = {}
    for part_id in shop.part_ids:
        card = shop.card(part_id).card
        card = replace(card, title=replace(card.title, code="the code"))
        made[part_id] = {"values": digest(_values(card)), **_said(shop, card)}
    return made


def _values(card: Card) -> str:
    return json.dumps(as_plain(card), ensure_ascii=False)


def _said(shop: Shop, card: Card) -> dict[str, str]:
    paper = shop.library.parts[card.title.part].shop.paper
    draw: dict[str, Callable[[], bytes]] = {
        "card": lambda: shop.draw_card(card, paper).pdf(),
        "record": lambda: record_sheet(card, "A4", shop.read_templates).pdf(),
        "strip": lambda: gap_strip(card, shop.read_templates).pdf(),
    }
    return {name: digest(words(drawn())) for name, drawn in draw.items()}


def kept() -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load(KEPT.read_text("utf-8"))
    return found


def may_be_kept(now: str, before: str) -> bool:
    """Whether papers may be kept anew: for another version than before, or for one that nobody has yet."""
    return now != before or (now, NOT_OUT) in headings()


def renew() -> str:
    """Keep what the papers say now, under the version of now; what was done, in words."""
    now = version()
    if KEPT.exists() and not may_be_kept(now, kept()["version"]):
        return f"{now} is out: raise the version in pyproject.toml and write a line in CHANGES.md first"
    KEPT.write_text(yaml.safe_dump({"version": now, "papers": papers()}, sort_keys=True), "utf-8")
    return f"kept the papers of {now}"


if __name__ == "__main__":
    sys.exit(print(renew()))
