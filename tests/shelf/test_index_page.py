"""The out folder's page, opened from the file system in a real headless Chromium."""

import json
import shutil
from pathlib import Path
from urllib.parse import unquote, urlparse

import pytest

from cardgen.shelf import index_page as index_page_module
from cardgen.shelf.index_page import index_page, outline
from cardgen.shelf.state import survey
from cardgen.shelf.trouble import ShelfError
from cardgen.shelf.wanted import Wanted
from tests.shelf.conftest import PROGRAMS, Trial, lay_out

CHROMIUM = shutil.which("chromium")
DRIVER = shutil.which("chromedriver")


@pytest.fixture(scope="module")
def one_browser(tmp_path_factory):
    """Skipped, and said so, where there is none."""
    webdriver = pytest.importorskip("selenium.webdriver", reason="selenium is not installed")
    if not (CHROMIUM and DRIVER):
        pytest.skip("needs chromium and chromedriver: apt-get install chromium chromium-driver")
    options = webdriver.ChromeOptions()
    options.binary_location = CHROMIUM
    for flag in (
        "headless",
        "no-sandbox",
        "disable-gpu",
        "disable-quic",
        "no-first-run",
        "disable-background-networking",
        "disable-component-update",
        "disable-sync",
        "window-size=1200,900",
        f"user-data-dir={tmp_path_factory.mktemp('profile')}",
    ):
        options.add_argument(f"--{flag}")
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=DRIVER))
    yield driver
    driver.quit()


@pytest.fixture
def browser(one_browser):
    """A browser of the usual size, with nothing complained of yet."""
    one_browser.get("about:blank")
    one_browser.get_log("browser")  # what was read is gone
    yield one_browser
    one_browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    one_browser.set_window_size(1200, 900)


@pytest.fixture(scope="module", params=PROGRAMS)
def shown_shop(request, tmp_path_factory):
    """A shop with one current card, one whose revision was not raised, one to be remade."""
    trial = lay_out(request.param, tmp_path_factory.mktemp("shown") / "shop")
    trial.make()
    trial.edit("spindle-nose.yaml", "diameter: 38.000 mm", "diameter: 38.010 mm")
    trial.make()
    trial.edit("needle-valve.yaml", "revision: B", "revision: C")
    trial.make("DS-3")
    return trial


@pytest.fixture
def page(browser, shown_shop):
    """The page of that shop, newly opened."""
    browser.get((shown_shop.out / "index.html").as_uri())
    return browser


def shown(page) -> list[str]:
    return [
        card.get_attribute("data-part")
        for card in page.find_elements("css selector", "#cards > li")
        if card.is_displayed()
    ]


def press(page, *keys: str) -> None:
    from selenium.webdriver import ActionChains

    for key in keys:
        ActionChains(page).send_keys(key).perform()


def test_the_page_tells_of_each_card_what_one_looks_for(page):
    """Taper, machine, revision, code, state and where it hangs, in words."""
    text = page.find_element("css selector", "[data-part='SN-204']").text
    for words in (
        "SN-204 Spindle nose",
        "Taper\n1:8",
        "Machine\nCG-2",
        "Revision\nB",
        "SN-204-B-",
        "State\ncurrent",
        "Hangs at\nGrinder 2, Toolroom binder",
        "revision B was not raised",
        "Change notice",
    ):
        assert words in text
    assert "State\nout of date" in page.find_element("css selector", "[data-part='NV-30']").text


def test_the_page_needs_nothing_but_itself(page):
    """No file or address is fetched, nothing is complained of, every outline is drawn."""
    assert page.execute_script("return performance.getEntriesByType('resource').length") == 0
    assert page.get_log("browser") == []
    drawn = page.execute_script(
        "return Array.from(document.querySelectorAll('#cards path'), path => path.getBBox().width)"
    )
    assert len(drawn) == 3
    assert all(5 < width <= 100 for width in drawn)


def test_typing_filters_the_cards(page):
    """All words typed must be there, whatever their case; the count is told."""
    field = page.find_element("id", "words")
    field.send_keys("binder sPINdle")
    assert shown(page) == ["SN-204"]
    assert page.find_element("id", "count").text == "1 of 3 shown"
    field.send_keys(" nonsense")
    assert shown(page) == []
    assert page.find_element("id", "nothing").is_displayed()
    field.clear()
    field.send_keys("out of date")
    assert shown(page) == ["NV-30"]


TOLD = """return Array.from(document.querySelectorAll("#cards > li"), entry => [
    entry.innerText, entry.querySelector("h2").id, entry.querySelector(".state").className,
    {...entry.dataset}, Array.from(entry.querySelectorAll("a"), link => link.getAttribute("href")),
    Array.from(entry.querySelectorAll("path"), path => path.getAttribute("d"))])"""


def test_the_cards_beyond_the_first_are_shown_as_those(shown_shop, browser, tmp_path, monkeypatch):
    """Of many cards the script makes entries of data: they say, link and draw what the template's do."""
    copy = Trial(shown_shop.program, Path(shutil.copytree(shown_shop.folder, tmp_path / "shop")))
    page = copy.out / "index.html"
    browser.get(page.as_uri())
    as_text = browser.execute_script(TOLD)
    monkeypatch.setattr(index_page_module, "most", lambda name: 1)
    page.unlink()
    copy.make("DS-3")
    assert page.read_text("utf-8").count("<li data-part=") == 2  # the first, and the pattern of the rest
    browser.get(page.as_uri())
    assert browser.execute_script(TOLD) == as_text
    browser.find_element("id", "words").send_keys("binder sPINdle")
    assert shown(browser) == ["SN-204"]
    assert browser.get_log("browser") == []


def test_labels_are_not_what_is_filtered_by(page):
    """Every card has a line 'Revision'; typing the word must not show them all."""
    page.find_element("id", "words").send_keys("revision")
    assert shown(page) == []


def test_the_keyboard_does_everything(page):
    """/ goes to the filter, Esc clears it, Tab goes on to the list by place, then the links shown."""
    from selenium.webdriver import Keys

    press(page, "/", "n", "o", "s", "e")
    assert page.switch_to.active_element.get_attribute("id") == "words"
    assert shown(page) == ["SN-204"]
    for reached in ("List by place", "Print SN-204"):
        press(page, Keys.TAB)
        assert page.switch_to.active_element.text == reached
        assert page.switch_to.active_element.value_of_css_property("outline-style") == "solid"
    page.find_element("id", "words").click()
    press(page, Keys.ESCAPE)
    assert len(shown(page)) == 3
    assert page.find_element("id", "words").get_attribute("value") == ""


def test_links_lead_to_the_files_beside_the_page(page):
    """Print links and notices open what is there, in the folder as it lies."""
    links = [link.get_attribute("href") for link in page.find_elements("css selector", ".links a")]
    assert len(links) == 4
    for link in links:
        assert Path(unquote(urlparse(link).path)).read_bytes().startswith(b"%PDF-")


def test_a_screen_reader_is_told_what_the_eye_sees(page):
    """Roles and names from the browser's own accessibility tree."""
    tree = page.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    told = [
        (node["role"]["value"], node.get("name", {}).get("value", "")) for node in tree if not node["ignored"]
    ]
    assert ("searchbox", "Filter") in told
    assert ("search", "") in told
    assert ("list", "") in told
    assert ("article", "SN-204 Spindle nose") in told
    assert ("link", "Print SN-204") in told
    assert ("main", "") in told
    assert ("heading", "SN-204 Spindle nose") in told
    assert not any(role == "image" for role, _ in told), "the pictures say no more than the words"
    status = next(node for node in tree if node["role"]["value"] == "status")
    live = {one["name"]: one["value"]["value"] for one in status["properties"]}
    assert live["live"] == "polite"


def test_the_page_fits_a_small_screen(page):
    """At the width of a telephone nothing runs over the side."""
    page.set_window_size(500, 900)
    page.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": 360, "height": 740, "deviceScaleFactor": 2, "mobile": True},
    )
    assert page.execute_script("return document.documentElement.scrollWidth") <= 360


def test_without_scripts_all_cards_are_shown_and_no_dead_filter(shop):
    """The filter appears only when it works."""
    html = (shop.out / "index.html").read_text("utf-8")
    assert '<form class="filter" id="filter" role="search" hidden>' in html
    assert html.count("<li data-part=") == 3
    assert "<li data-part=" in html
    assert "hidden>" not in html.split('<ul class="cards"')[1].split("</ul>")[0]


def test_names_with_marks_of_html_are_shown_as_they_are(trial, browser):
    """A part named like a tag or a script is text on the page and nothing else."""
    trial.edit("spindle-nose.yaml", "name: Spindle nose", "name: \"<img src=x onerror=alert(1)> & 'nose'\"")
    trial.make()
    browser.get((trial.out / "index.html").as_uri())
    title = browser.find_element("css selector", "[data-part='SN-204'] h2").text
    assert "<img src=x onerror=alert(1)> & 'nose'" in title
    assert browser.get_log("browser") == []


SHANK = {"side": "external", "large_diameter_mm": 38.375, "small_diameter_mm": 30.625, "length_mm": 62.0}


def corners(path: str) -> list[tuple[float, ...]]:
    return [tuple(map(float, corner.split())) for corner in path.strip("MZ").replace("ZM", "L").split("L")]


def test_the_outline_is_true_to_scale():
    """A 1:8 shank of 62 mm: the same ratio between the picture's corners, and the whole in its box."""
    drawn = corners(outline({"taper": SHANK}))
    (x1, y1), (x2, y2) = drawn[2:4]
    assert 2 * (y2 - y1) / (x2 - x1) == pytest.approx(1 / 8, abs=0.005)
    assert all(0 <= x <= 100 and 0 <= y <= 60 for x, y in drawn)


def test_a_hole_is_shown_in_its_piece_with_the_mouth_at_the_right():
    """Two outlines, the inner one wider at the right."""
    drawn = corners(outline({"taper": {**SHANK, "side": "internal"}}))
    piece, hole = drawn[:4], drawn[4:]
    assert max(x for x, _ in hole) == max(x for x, _ in piece)
    assert hole[1][1] < hole[0][1]


@pytest.mark.parametrize("values", [{}, {"taper": {}}, {"taper": None}, {"taper": {**SHANK, "length_mm": 0}}])
def test_a_card_whose_figures_are_not_known_has_no_outline(values):
    """One that was never made, or is damaged."""
    assert outline(values) == ""


@pytest.mark.parametrize(
    ("template", "message"),
    [
        ("<ul>\n{% for paper in papers %}\n</ul>", r"index.html.j2:\d: .*endfor"),
        ("<ul>\n{{ nothing_of_the_kind }}\n</ul>", "index.html.j2:2: 'nothing_of_the_kind' is undefined"),
    ],
)
def test_a_broken_template_is_told_with_its_line(template, message):
    """The page is the shop's to change; a slip says where."""
    with pytest.raises(ShelfError, match=message):
        index_page(survey(Wanted(()), Path("nowhere")), (), {}, template, "index.html.j2")


def test_states_are_also_there_for_programs(shop):
    """status --json says the same as the page."""
    told = json.loads(shop.run("status", "--json").stdout)["papers"]
    html = (shop.out / "index.html").read_text("utf-8")
    assert all(one["code"] in html for one in told)
