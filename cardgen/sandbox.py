"""Where templates run: words, loops and tests, and nothing else.

A shop's templates may come from anybody. They reach the fields and the ways of writing of what they are
given, no attribute of Python, and only the filters and methods that stand here; a missing name is a mistake.
What they can take is counted (bounds.txt): turns of loops and calls, letters, entries of lists, seconds of
computing. So a template ends, and says file and line where it is broken.
"""

import operator
import os
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date
from functools import lru_cache, wraps
from pathlib import Path
from types import MappingProxyType, MethodType, TracebackType
from typing import Any

import jinja2
from jinja2 import nodes
from jinja2.compiler import CodeGenerator
from jinja2.environment import TemplateModule
from jinja2.filters import do_join
from jinja2.runtime import LoopContext, Macro
from jinja2.sandbox import SandboxedEnvironment
from jinja2.utils import Namespace, missing
from jinja2.visitor import NodeTransformer

from cardgen.bounds import most, table

FILTERS = (
    *("abs", "capitalize", "default", "e", "escape", "first", "float", "int", "last", "length", "list"),
    *("lower", "map", "max", "min", "reject", "rejectattr", "replace", "reverse", "safe", "select"),
    *("selectattr", "sort", "title", "trim", "unique", "upper"),
)
METHODS: Mapping[type, tuple[str, ...]] = MappingProxyType(
    {
        str: ("endswith", "lower", "removeprefix", "removesuffix", "replace", "split", "startswith", "strip"),
        dict: ("get", "items", "keys", "values"),
        LoopContext: (
            *("changed", "cycle", "depth", "depth0", "first", "index", "index0", "last", "length"),
            *("nextitem", "previtem", "revindex", "revindex0"),
        ),
    }
)
SUMS: Mapping[str, Callable[[Any, Any], Any]] = MappingProxyType(
    {"+": operator.add, "*": operator.mul, "**": operator.pow, "%": operator.mod}
)
COUNTED, PLAIN, FLAT = "a loop’s turns", "a plain value", "a flat list"  # no template can name these
LOOK = 256  # steps from one look at the clock to the next
FIGURE, LISTS = (int, float), (list, tuple, dict)
COUNTABLE, WRITABLE = (*LISTS, range), (*FIGURE, date, jinja2.Undefined)


class BrokenTemplateError(Exception):
    """A template is broken, or takes too much: file:line, and what is wrong."""


class _TakenIn(jinja2.Template):
    """A template that others take in: worked out once for what they are all given, not for each of them."""

    environment: "Sandbox"

    def make_module(
        self,
        vars: dict[str, Any] | None = None,  # noqa: A002
        shared: bool = False,
        locals: Any = None,  # noqa: A002
    ) -> TemplateModule:
        own = any(value is not missing for value in (locals or {}).values())
        if own or vars is None or not self.environment.is_all_given(vars):
            return super().make_module(vars, shared, locals)
        made = self.environment.modules
        if self.name not in made:
            made[self.name] = super().make_module(vars, shared, locals)
        return made[self.name]


class Sandbox(SandboxedEnvironment):
    """A folder's templates as they were read, by name, under the bounds of this name ('words', 'page')."""

    intercepted_binops = frozenset(SUMS)
    template_class = _TakenIn

    def __init__(
        self,
        bounds: str,
        folder: Path,
        texts: Mapping[str, str],
        finalize: Callable[[Any], Any] = lambda value: value,
        **how: Any,
    ) -> None:
        self.folder, self.texts = folder, texts
        super().__init__(
            loader=jinja2.FunctionLoader(self._source),
            auto_reload=False,
            undefined=jinja2.StrictUndefined,
            autoescape=True,
            optimized=False,  # nothing is worked out before it is counted
            finalize=lambda value: finalize(self.plain(value)),
            **how,
        )
        self.code_generator_class = _Counting
        self.filters = {name: self._counted(self.filters[name]) for name in FILTERS}
        self.filters |= {COUNTED: self.turns, PLAIN: self.plain, FLAT: flat, "join": self.joined}
        self.globals = {
            "range": _range,
            "namespace": Namespace,
            "dict": lambda *of, **more: flat(dict(*of, **more)),
        }
        self.bounds = bounds
        self.given: Mapping[str, Any] = {}
        self.compiled: dict[Any, jinja2.Template] = {}
        self.modules: dict[str | None, TemplateModule] = {}
        self.begin(self.given)

    def _source(self, name: str) -> tuple[str, str, Callable[[], bool]] | None:
        return (self.texts[name], str(self.folder / name), lambda: True) if name in self.texts else None

    def begin(self, given: Mapping[str, Any]) -> None:
        """A new count, for one template, and what it is given."""
        if given is not self.given:
            self.given, self.modules = given, {}
        self.steps, self.letters = most(f"{self.bounds}.steps"), most(f"{self.bounds}.output")
        self.text = most(f"{self.bounds}.text")
        self.until = time.process_time() + most(f"{self.bounds}.seconds")

    def is_all_given(self, known: Mapping[str, Any]) -> bool:
        """Whether a template that takes another in has set nothing of its own before."""
        return all(
            self.given.get(name, self.globals.get(name, known)) is value for name, value in known.items()
        )

    def write(self, letters: int) -> None:
        """So many letters more; raises BrokenTemplateError where they are more than a template may write."""
        self.letters -= letters
        if self.letters < 0:
            _refuse(f"it writes more than {most(f'{self.bounds}.output')} letters")

    def take(self, steps: int) -> None:
        """So much has been done; raises BrokenTemplateError where it is more than a template may."""
        before = self.steps
        self.steps -= steps
        if self.steps < 0:
            _refuse(f"it takes more than {table()[f'{self.bounds}.steps'].told().removeprefix('at most ')}")
        if before // LOOK != self.steps // LOOK and time.process_time() > self.until:
            _refuse(f"it takes more than {most(f'{self.bounds}.seconds')} seconds")

    def turns(self, entries: Iterable[Any], letters: int) -> Iterator[Any]:
        """A loop's entries, each turn counted, with the letters that stand in the loop."""
        for entry in entries:
            self.take(1)
            self.write(letters)
            yield entry

    def plain(self, value: Any) -> Any:
        """A value that can be written: no list, and not too long."""
        if isinstance(value, str):
            if len(value) > self.text:
                _refuse(f"a text is longer than {self.text} letters")
            self.write(len(value))
        elif value is not None and not isinstance(value, WRITABLE):
            _refuse("only a text or a figure can be written; join a list")
        return value

    @jinja2.pass_eval_context
    def joined(self, given: Any, entries: Iterable[Any], by: str = "") -> Any:
        """The filter `join`: each entry looked at before."""
        return do_join(given, [self.plain(each) for each in self.turns(entries, 0)], by)

    def call(self, context: Any, function: Any, *given: Any, **named: Any) -> Any:
        """As a sandbox calls, counted, with no figure that is beyond sense."""
        self.take(1)
        if not isinstance(function, Macro):
            for value in (*given, *named.values()):
                _number(value, table()["template.whole"].most if isinstance(value, int) else None)
        if not named and isinstance(function, MethodType):  # of what is handed over
            return self._result(function(*given))
        return self._result(super().call(context, function, *given, **named))

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        """A sum that cannot come out too large to be made; texts and lists can only be added."""
        figures = isinstance(left, FIGURE) and isinstance(right, FIGURE)
        if operator != "+" and not figures:
            _refuse(f"'{operator}' works on figures only")
        if operator == "**":
            _number(right, 64)
        return self._result(SUMS[operator](left, right))

    def getattr(self, obj: Any, attribute: str) -> Any:
        """A field or a way of writing; what is open to all is looked up at once."""
        if _open_to_all(obj.__class__, attribute):
            value = getattr(obj, attribute, missing)
            if value is not missing and not isinstance(value, type):
                return value
        return super().getattr(obj, attribute)

    def is_safe_attribute(self, obj: Any, attr: str, value: Any) -> bool:
        """Fields and ways of writing of what the program hands over, and what METHODS names; no more."""
        return not isinstance(value, type) and _open_to_all(obj.__class__, attr)

    def wrap_str_format(self, value: Any) -> None:
        """No format of texts: a width in it would be taken at its word."""

    def get_template(self, name: Any, parent: Any = None, globals: Any = None) -> jinja2.Template:  # noqa: A002
        """A template that another one takes in counts too."""
        self.take(1)
        if name not in self.compiled:
            self.compiled[name] = super().get_template(name, parent, globals)
        return self.compiled[name]

    def _counted(self, sound: Callable[..., Any]) -> Callable[..., Any]:
        """A filter that takes a step for each entry it is given."""

        def counted(*given: Any, **named: Any) -> Any:
            for value in given:
                self.take(len(value) if isinstance(value, COUNTABLE) else 1)
            return self._result(sound(*given, **named))

        return wraps(sound)(counted)  # with Jinja2's mark of what it wants to be given

    def _result(self, value: Any) -> Any:
        """What came of a call, a filter or a sum; refused where it is too large to be meant."""
        if isinstance(value, str):
            return self.plain(value)
        if isinstance(value, LISTS) and len(value) > most("template.list"):
            _refuse(f"a list has more than {most('template.list')} entries")
        _number(value)
        return value


class _Counting(CodeGenerator):
    """Compiles a template whose loops are counted, and whose lists and joined texts are looked at."""

    def visit_Template(self, node: nodes.Template, frame: Any = None) -> None:  # noqa: N802 – Jinja2's name
        _Watched().visit(node)
        super().visit_Template(node, frame)


class _Watched(NodeTransformer):
    """The tree of a template, a filter of ours put round each loop's entries, text to be joined, and list."""

    def visit_For(self, node: nodes.For) -> nodes.For:  # noqa: N802
        self.generic_visit(node)
        letters = sum(len(each.data) for each in node.find_all(nodes.TemplateData))
        node.iter = _filtered(COUNTED, node.iter, nodes.Const(letters))
        return node

    def visit_Concat(self, node: nodes.Concat) -> nodes.Concat:  # noqa: N802
        self.generic_visit(node)
        node.nodes = [_filtered(PLAIN, each) for each in node.nodes]
        return node

    def visit_List(self, node: nodes.List) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        return _filtered(FLAT, node)

    def visit_Dict(self, node: nodes.Dict) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        return _filtered(FLAT, node)

    def visit_Tuple(self, node: nodes.Tuple) -> nodes.Node:  # noqa: N802
        self.generic_visit(node)
        return _filtered(FLAT, node) if node.ctx == "load" else node


@lru_cache(maxsize=4096)
def _open_to_all(kind: type, attr: str) -> bool:
    if attr.startswith("_") or issubclass(kind, type):
        return False
    for known, names in METHODS.items():
        if issubclass(kind, known):
            return attr in names
    return kind.__module__.split(".")[0] == "cardgen" or issubclass(kind, Namespace | TemplateModule)


def _filtered(name: str, node: Any, *given: nodes.Expr) -> nodes.Filter:
    return nodes.Filter(node, name, list(given), [], None, None, lineno=node.lineno)


def flat(value: Any) -> Any:
    """A list that does not hold lists in lists in lists: those grow without end, and say nothing."""
    if isinstance(value, LISTS) and _is_deep(value, most("template.lists_in_lists")):
        _refuse("a list holds lists too deep")
    return value


def _is_deep(value: Any, deep: int) -> bool:
    """Whether lists in lists reach so deep."""
    entries = value.values() if isinstance(value, dict) else value
    if deep == 1:
        return bool(entries)
    return any(_is_deep(each, deep - 1) for each in entries if isinstance(each, LISTS))


def _range(*ends: int) -> range:
    found = range(*ends)
    if len(found) > most("template.list"):
        _refuse(f"a range has more than {most('template.list')} entries")
    return found


def _number(value: Any, at_most: float | None = None) -> None:
    bound = table()["template.number"].most if at_most is None else at_most
    if isinstance(value, FIGURE) and abs(value) > bound:
        _refuse(f"a figure is above {bound:g}")


def _refuse(wrong: str) -> None:
    raise jinja2.TemplateRuntimeError(wrong)


def rendered(sandbox: Sandbox, name: str, context: Mapping[str, Any]) -> str:
    """A template's text; raises BrokenTemplateError with file:line and what is wrong."""
    path, pieces = f"{sandbox.folder}{os.sep}{name}", list[str]()
    sandbox.begin(context)
    try:
        for piece in sandbox.get_template(name).generate(context):
            sandbox.write(len(piece))
            pieces.append(piece)
    except jinja2.TemplateNotFound as missing:
        raise BrokenTemplateError(f"{path}: there is no such template ({missing.name})") from None
    except jinja2.TemplateSyntaxError as wrong:
        raise BrokenTemplateError(f"{wrong.filename or path}:{wrong.lineno}: {wrong.message}") from None
    except Exception as wrong:  # a template may break in any way
        where = _line_of(wrong.__traceback__) or path
        told = "it calls itself without end" if isinstance(wrong, RecursionError) else str(wrong)
        raise BrokenTemplateError(f"{where}: {told}") from wrong
    return "".join(pieces)


def _line_of(trace: TracebackType | None) -> str:
    """file:line of the innermost template frame."""
    found = ""
    while trace is not None:
        file = trace.tb_frame.f_code.co_filename
        if file.endswith(".j2"):
            found = f"{file}:{trace.tb_lineno}"
        trace = trace.tb_next
    return found
