"""What a template may do and what it may not: it ends, it says where it is broken, and it reaches nothing."""

import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from cardgen.bounds import most
from cardgen.paper.words.figures import Figures
from cardgen.sandbox import BrokenTemplateError, Sandbox, rendered

NINES = "{% for a in range(9999) %}{% for b in range(9999) %}"
GROWING = "{% set n = namespace(x=FIRST) %}{% for i in range(99) %}{% set n.x = NEXT %}{% endfor %}"


def growing(first: str, following: str) -> str:
    return GROWING.replace("FIRST", first).replace("NEXT", following)


ENDLESS = {
    "nested ranges": NINES + "{{ b }}{% endfor %}{% endfor %}",
    "a loop that writes nothing": NINES + "{% endfor %}{% endfor %}",
    "letters times a thousand million": "{{ 'a' * 10**9 }}",
    "the same, turned round": "{{ 10**9 * 'a' }}",
    "a list times a thousand million": "{{ ([1] * 10**9) | length }}",
    "the filter center": "{{ 'a' | center(3000000000) }}",
    "the method center": "{{ 'a'.center(3000000000) }}",
    "zfill": "{{ 'a'.zfill(3000000000) }}",
    "format": "{{ '{:>3000000000}'.format(1) }}",
    "per cent": "{{ '%3000000000d' % 1 }}",
    "indent": "{{ 'a' | indent(3000000000) }}",
    "a power of a power": "{{ 10 ** 10 ** 10 }}",
    "figures that double": growing("2", "n.x * n.x"),
    "texts that double": growing("'a'", "n.x ~ n.x"),
    "texts that double as sums": growing("'a'", "n.x + n.x"),
    "lists that double": growing("[1]", "n.x + n.x"),
    "lists in lists": growing("[1]", "[n.x, n.x]"),
    "texts that are doubled in a block": "{% set n = namespace(x='a') %}{% for i in range(99) %}"
    "{% set y %}{{ n.x }}{{ n.x }}{% endset %}{% set n.x = y %}{% endfor %}",
    "a macro that calls itself twice": "{% macro m(n) %}{% if n %}{{ m(n - 1) }}{{ m(n - 1) }}{% endif %}"
    "{% endmacro %}{{ m(60) }}",
    "a macro that calls itself": "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}",
    "a template that takes itself in": "{% include 't.j2' %}",
    "much text in a loop": "{% for a in range(19999) %}" + "x" * 9999 + "{% endfor %}",
    "much text kept": "{% set y %}{% for a in range(19999) %}" + "x" * 9999 + "{% endfor %}{% endset %}",
    "lines of lorem ipsum": "{{ lipsum(n=1000000) }}",
    "a figure of a thousand million digits": "{{ f.number(1.5, 10 ** 9) }}",
}
WAYS_OUT = (
    "{{ ''.__class__ }}",
    "{{ f.__init__.__globals__ }}",
    "{{ f.number.__func__ }}",
    "{{ f.number.__self__ }}",
    "{{ thing.method.__globals__ }}",
    "{{ thing._hidden }}",
    "{{ thing['_hidden'] }}",
    "{{ thing.kind.mro() }}",
    "{{ thing | attr('__class__') }}",
    "{{ [thing] | map(attribute='__class__') | list }}",
    "{{ '{0.__class__}'.format(thing) }}",
    "{{ self._TemplateReference__context }}",
    "{{ [].append(1) }}",
    "{{ {}.update({}) }}",
    "{{ range.__self__ }}",
    "{{ cycler.__init__ }}",
    "{{ (1).to_bytes(10**9) }}",
    "{{ foreign.stat() }}",
    "{% for x in f.number.__closure__ %}{% endfor %}",
)


@dataclass(frozen=True)
class Thing:
    """Something the program hands to a template."""

    kind: type = int
    _hidden: str = "secret"

    def method(self) -> str:
        return "method"


Thing.__module__ = "cardgen.card.values"  # as the program's own


def write(text: str, bounds: str = "words", **more: Any) -> str:
    sandbox = Sandbox(bounds, Path("shop/templates"), {"t.j2": text})
    context = {"thing": Thing(), "foreign": Path("."), "f": Figures("metric"), **more}
    return rendered(sandbox, "t.j2", context)


@pytest.mark.parametrize("text", ENDLESS.values(), ids=ENDLESS)
def test_a_template_without_end_is_ended_and_its_line_told(text: str) -> None:
    """Within two seconds of computing, whatever it is that grows; the message names template and line."""
    start = time.process_time()
    with pytest.raises(BrokenTemplateError, match=r"^shop/templates/t\.j2:3: \S"):
        write(f"one\ntwo\n{text}")
    assert time.process_time() - start < most("words.seconds")


@pytest.mark.parametrize("text", WAYS_OUT)
def test_no_attribute_of_a_template_reaches_python(text: str) -> None:
    """Only fields and ways of writing of what it is given: all else is a mistake with its place."""
    with pytest.raises(BrokenTemplateError, match=r"^shop/templates/t\.j2:1: \S"):
        write(text)


def test_a_missing_name_is_a_mistake_and_not_an_empty_place() -> None:
    """As a reading left out would be."""
    with pytest.raises(BrokenTemplateError, match=r"t\.j2:2: 'redaing' is undefined"):
        write("one\n{{ redaing }}")


def test_what_templates_need_they_may_do() -> None:
    """Loops, tests, joined texts, figures and the filters for them."""
    assert (
        write("{% for x in [3, 1] | sort if x > 1 %}{{ loop.index }} {{ 'a' ~ x * 2 }}{% endfor %}") == "1 a6"
    )
    assert (
        write("{{ ['a', 'b'] | join(' + ') }}, {{ thing.method() }}, {{ 'ab'[:1] | upper }}")
        == "a + b, method, A"
    )
    assert (
        write("{% set n = namespace(k=[]) %}{% set n.k = n.k + ['x'] %}{{ n.k | length }}{{ 7 % 4 }}") == "13"
    )


def test_markup_in_a_value_is_written_out() -> None:
    """A part named '<b>' is printed so."""
    assert write("{{ name }}", name="<b>bold</b>") == "&lt;b&gt;bold&lt;/b&gt;"
