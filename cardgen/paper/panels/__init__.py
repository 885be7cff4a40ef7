"""Panels: the pieces a side is made of, one module each.

`PANELS` names the panels that need Python: pictures, and tables that choose their own rows. Every
other name in the layout file is a template: `swivel` is templates/swivel.j2, set by panels/text.py.
"""

from functools import cache

from cardgen.paper.panels import code, dogs, drawing, feeds, patterns, plan_view
from cardgen.paper.panels.panel import Panel
from cardgen.paper.panels.text import text_panel

__all__ = ["PANELS", "Panel", "panel_named"]

PANELS: dict[str, Panel] = {
    "code": code.PANEL,
    "dogs": dogs.PANEL,
    "drawing": drawing.PANEL,
    "feeds": feeds.PANEL,
    "how_far_by_blue": patterns.BY_BLUE,
    "how_far_by_light": patterns.BY_LIGHT,
    "patterns": patterns.PANEL,
    "plan_view": plan_view.PANEL,
}


@cache
def panel_named(name: str) -> Panel:
    """The panel of this name; a name without a module is a template's."""
    return PANELS.get(name) or text_panel(name)
