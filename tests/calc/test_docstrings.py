"""Every public function behind a figure says what it takes, in which unit, what it refuses, and its source.

The check reads all of `rack/calc` and `inspection/calc`; NOT_HELD names the modules (or packages) that
are not held to it.
"""

import importlib
import inspect
import pkgutil
import re

import pytest

import inspection.calc as inspection_calc
import rack.calc

#: Modules (or packages) that are not held to it yet. A new module is held from its first day.
NOT_HELD: tuple[str, ...] = ()

#: What an argument's ending promises about its unit, and how the docstring may write that unit.
UNITS = {
    "_in": r"\bin\b|\binch(es)?\b",
    "_ft": r"\bft\b|\bfeet\b",
    "_lb": r"\blb\b",
    "_psi": r"\bpsi\b",
    "_ppg": r"\bppg\b",
    "_lb_ft": r"\blb/ft\b",
    "_ft_lb": r"\bft-lb\b",
    "_deg": r"\bdegrees?\b",
}


def _modules():
    names = [info.name for package in (rack.calc, inspection_calc)
             for info in pkgutil.walk_packages(package.__path__, f"{package.__name__}.")]
    return [importlib.import_module(name) for name in names if not name.rpartition(".")[2].startswith("_")]


def _functions():
    for module in _modules():
        for name, thing in vars(module).items():
            if name.startswith("_") or getattr(thing, "__module__", "") != module.__name__:
                continue
            if inspect.isfunction(thing):
                yield f"{module.__name__}.{name}", thing
            elif hasattr(thing, "__wrapped__"):  # a cached function
                yield f"{module.__name__}.{name}", thing.__wrapped__
            elif inspect.isclass(thing):
                yield from _methods(f"{module.__name__}.{name}", thing)


def _methods(path, kind):
    for name, member in vars(kind).items():
        function = getattr(member, "__func__", member)
        if not name.startswith("_") and inspect.isfunction(function):
            yield f"{path}.{name}", function


def _held(path):
    return path.split(".")[2] not in NOT_HELD


FUNCTIONS = dict(_functions())


def _missing(function):
    text = inspect.getdoc(function) or ""
    arguments = [name for name in inspect.signature(function).parameters if name not in ("self", "cls")]
    lacks = [f"argument `{name}` (in backticks)" for name in arguments if f"`{name}`" not in text]
    for name in arguments:
        ending = max((end for end in UNITS if name.endswith(end)), key=len, default="")
        if ending and not re.search(UNITS[ending], text):
            lacks.append(f"the unit of `{name}`")
    if not re.search(r"\b(Raises|ValueError|TypeError|raises nothing)\b", text):
        lacks.append('the errors ("Raises ValueError ..." or "raises nothing")')
    if "Source" not in text:
        lacks.append('the source ("Source: ...")')
    return lacks


@pytest.mark.parametrize("path", [path for path in FUNCTIONS if _held(path)])
def test_a_public_function_documents_arguments_units_errors_and_source(path):
    lacks = _missing(FUNCTIONS[path])
    assert not lacks, f"{path} lacks in its docstring: {'; '.join(lacks)}"


def test_the_core_was_found():
    found = {path.split(".")[2] for path in FUNCTIONS}
    assert {"bits", "chain", "connections", "lengths", "lookup", "losses", "tubes", "weights"} <= found
    assert set(NOT_HELD) <= found, "a name of NOT_HELD is no module any more"
    assert "inspection.calc.classify.classify" in FUNCTIONS
    assert "rack.calc.tubes.strengths" in FUNCTIONS
    assert "rack.calc.lookup.rows" in FUNCTIONS


def test_the_check_sees_what_is_missing():
    def bare(od_in, pipe_class):
        """Return nothing much of `pipe_class`."""

    assert [lack[:8] for lack in _missing(bare)] == ["argument", "the unit", "the erro", "the sour"]
