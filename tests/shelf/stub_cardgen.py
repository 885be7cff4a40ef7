"""A small stand-in for the whole program, so that the shelf can be tested by itself.

It takes the same commands and reads the same spec files as `python -m cardgen` does, but knows no
taper: it picks a few lines out of the specs and draws them as they are.
"""

import argparse
import json
import re
import sys
from dataclasses import dataclass
from pathlib import Path

from cardgen.card.values import Notice
from cardgen.paper.press.document import Drawing, Surface
from cardgen.paper.press.pen import Pen
from cardgen.paper.press.typesetting import TextStyle
from cardgen.shelf.contents import read_card
from cardgen.shelf.copies import Copy
from cardgen.shelf.digest import card_code, text_input
from cardgen.shelf.index_page import index_page
from cardgen.shelf.run import Action, make
from cardgen.shelf.state import Standing, survey
from cardgen.shelf.telling import (
    change_text,
    current_line,
    outcome_line,
    read_json,
    read_lines,
    standing_line,
    standings_records,
    warning_line,
)
from cardgen.shelf.trouble import NotDrawnError, ShelfError
from cardgen.shelf.truth import truth_of
from cardgen.shelf.wanted import Job, Wanted
from cardgen.shelf.watch import watch

SHANK = {"side": "external", "large_diameter_mm": 38.375, "small_diameter_mm": 30.625, "length_mm": 62.0}
TEMPLATE = Path(__file__).parents[2] / "templates" / "index.html.j2"


def load(shop: Path) -> Wanted:
    sources = {path: path.read_bytes() for path in sorted((shop / "specs").glob("*.yaml"))}
    documents = {}
    spoiled = {}
    for path, content in sources.items():
        line = 1
        for text in content.decode("utf-8").split("---\n"):
            documents[field(text, "kind"), field(text, "id")] = (path, line, text)
            line += text.count("\n") + 1
    jobs = []
    for (kind, part_id), (path, line, text) in documents.items():
        if kind == "part" and not field(text, "revision"):
            spoiled[part_id] = f"specs/{path.name}:{line}:1: no revision; give one"
        elif kind == "part":
            jobs.append(job(documents, part_id))
    return Wanted(tuple(jobs), spoiled, sources=sources)


def field(text: str, key: str) -> str:
    found = re.search(rf"^\s*{key}:[ ]*(.*?)[ ]*(#.*)?$", text, re.MULTILINE)
    return found[1].strip('"') if found else ""


def job(documents: dict, part_id: str) -> Job:
    used = [("part", part_id)]
    text = documents["part", part_id][2]
    used += [(kind, field(text, kind)) for kind in ("gauge", "machine", "wheel")]
    inputs = [text_input("program", "stub 1"), text_input("layout", "panels: []\n" * 20)]
    for kind, name in used:
        path, line, content = documents[kind, name]
        inputs.append(text_input(f"{kind} {name}", content, f"specs/{path.name}", line, attach=True))
    revision = field(text, "revision")
    places = tuple(place for place in field(text, "posted_at").strip("[]").split(", ") if place)
    code = card_code(part_id, revision, inputs)
    line_diameter = (re.findall(r"gauge_line: \{diameter: ([^,}]*)", text) or [""])[0]
    values = {
        "title": {
            "part": part_id,
            "name": field(text, "name"),
            "code": code,
            "revision": revision,
            "units": field(text, "units"),
            "posted_at": places,
        },
        "taper": {"callout": field(text, "callout"), "gauge_line_diameter_mm": line_diameter, **SHANK},
        "stages": [
            {"name": "blank", "stock": field(text, "blank")},
            {"name": "clean-up", "stock": field(text, "clean_up")},
        ],
        "swivel": {"machine": field(text, "machine"), "machine_name": ""},
        "gauge": {"gauge_line": field(documents["gauge", field(text, "gauge")][2], "gauge_line")},
    }

    def draw(code: str) -> Drawing:
        if field(text, "name") == "Undrawable":
            raise NotDrawnError("the name has a sign that the type does not")
        shown = {**values, "title": {**values["title"], "code": code}}
        return pages(f"card {code}", [f"{key}: {value}" for key, value in shown.items()])

    return Job(part_id, revision, tuple(inputs), values, draw, places)


@dataclass(frozen=True)
class StubShop:
    """A shop as a run sees it: what it wants, and its two further papers."""

    papers: Wanted
    index: str = ""

    def wanted(self) -> Wanted:
        return self.papers

    def draw_notice(self, notice: Notice) -> Drawing:
        changes = [change_text(change) for change in notice.changes]
        return pages(f"change notice {notice.old_code} to {notice.new_code}", changes)

    def draw_index(self, standings: tuple[Standing, ...], copies: tuple[Copy, ...]) -> bytes:
        return (
            index_page(standings, copies, {}, self.index, TEMPLATE.name) if self.index else b"<html></html>"
        )

    def keep_index(self, standings: tuple[Standing, ...]) -> None:
        """It keeps none."""


def pages(title: str, lines: list[str]) -> Drawing:
    sides = []
    for side in ("one", "two"):
        surface = Surface(148.0, 210.0)
        for row, line in enumerate([title, f"side {side}", *lines]):
            Pen(surface).text(10, 12 + 5 * row, line, TextStyle(9))
        sides.append(surface)
    return Drawing(tuple(sides), title, "")


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser()
    commands = parser.add_subparsers(dest="command", required=True)
    for name in ("make", "status", "read"):
        command = commands.add_parser(name)
        command.add_argument("--shop", type=Path, default=Path())
        command.add_argument("names", nargs="*")
        command.add_argument("--json", action="store_true")
        command.add_argument("--watch", action="store_true")
    given = parser.parse_args(arguments)
    try:
        if given.watch:
            watch([given.shop], given.shop / "out", lambda: run_make(given))
            return 0
        return {"make": run_make, "status": run_status, "read": run_read}[given.command](given)
    except ShelfError as trouble:
        print(trouble, file=sys.stderr)
        return 1
    except KeyboardInterrupt:  # in the midst of a make: as the program, without a trace
        return 130


def run_make(given: argparse.Namespace) -> int:
    template = TEMPLATE.read_text("utf-8")
    report = make(
        lambda: StubShop(load(given.shop), template),
        given.shop / "out",
        lambda outcome: outcome.action is Action.CURRENT or print(outcome_line(outcome)),
        only=set(given.names) or None,
        patience_s=20,
    )
    for line in filter(None, [current_line(report.outcomes), *map(warning_line, report.standings)]):
        print(line)
    for path in report.edited:
        print(f"{path}: edited while cards were being made; run make again", file=sys.stderr)
    return 0 if report.all_done else 2


def run_status(given: argparse.Namespace) -> int:
    standings = survey(load(given.shop), given.shop / "out")
    if given.json:
        print(json.dumps({"papers": standings_records(standings, {}), "copies": []}))
    else:
        for standing in standings:
            print(*filter(None, [standing_line(standing), warning_line(standing)]), sep="\n")
    return 1 if any(standing.needs_doing for standing in standings) else 0


def run_read(given: argparse.Namespace) -> int:
    content = Path(given.names[0]).read_bytes()
    made = read_card(content)
    job_now = {one.part_id: one for one in load(given.shop).jobs}.get(made.part_id)
    truth = truth_of(made, content, job_now) if job_now else None
    print(read_json(made, job_now, truth) if given.json else "\n".join(read_lines(made, job_now, truth)))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
