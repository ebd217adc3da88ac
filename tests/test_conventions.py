"""The rules of the house, held by tests: where things lie, who may write, what no file contains."""

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.db import models

ROOT = Path(__file__).resolve().parent.parent
TOP = {
    "README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml",
    "rack", "inspection", "templates", "tests", "fixtures", "docs",
}  # fmt: skip
APPS = ("rack", "inspection")
LONGEST = 320
OWN_APPS = ("rack", "inspection")


@cache
def tracked() -> tuple[Path, ...]:
    """Return the files of the project: what git keeps, and what is new and not ignored."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(command, cwd=ROOT, capture_output=True, check=True).stdout.decode().split("\0")
    return tuple(sorted({ROOT / name for name in names if name and (ROOT / name).is_file()}))


@cache
def tree(file: Path) -> ast.Module:
    return ast.parse(file.read_text(encoding="utf-8"), str(file))


def python_files(*parts: str, migrations: bool = False) -> list[Path]:
    under = [ROOT / part for part in parts]
    return [
        file
        for file in tracked()
        if file.suffix == ".py"
        and any(file.is_relative_to(one) for one in under)
        and (migrations or "migrations" not in file.parts)
    ]


def short(file: Path) -> str:
    return file.relative_to(ROOT).as_posix()


# Where things lie


def test_the_top_level_is_the_one_that_was_agreed():
    there = {file.relative_to(ROOT).parts[0] for file in tracked()}
    assert {name for name in there if not name.startswith(".")} <= TOP


def test_no_python_file_is_longer_than_a_reader_has_patience():
    files = python_files(*APPS, "tests")
    long = {short(file): n for file in files if (n := len(file.read_text().splitlines())) > LONGEST}
    assert long == {}


def templates() -> list[Path]:
    return [file for file in tracked() if file.suffix == ".html"]


def test_templates_lie_at_the_top_and_never_inside_an_app():
    assert {short(file).split("/")[0] for file in templates()} <= {"templates", "tests", "docs"}


def test_every_page_template_is_named_for_something_that_uses_it():
    code = "\n".join(file.read_text(encoding="utf-8") for file in python_files(*APPS))
    code += "\n".join(file.read_text(encoding="utf-8") for file in templates())
    names = [short(file).removeprefix("templates/") for file in templates()]
    assert [name for name in names if "/" in name and name.startswith(APPS) and name not in code] == []


# Who may import and write


def imports(file: Path) -> Iterator[str]:
    for node in ast.walk(tree(file)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            prefix = "" if not node.level else "."
            yield prefix + (node.module or "")


@pytest.mark.parametrize("app", APPS)
def test_calc_imports_the_standard_library_and_calc_only(app: str):
    allowed = {"rack.calc"} if app == "rack" else {"rack.calc", "inspection.calc"}
    odd = {}
    for file in python_files(f"{app}/calc"):
        names = {
            name
            for name in imports(file)
            if not name.startswith(".")
            and name.split(".")[0] not in sys.stdlib_module_names
            and not any(name == one or name.startswith(one + ".") for one in allowed)
        }
        if names:
            odd[short(file)] = names
    assert odd == {}


def test_calc_has_no_clock():
    clock = re.compile(r"\b(?:date\.today|datetime\.(?:now|utcnow|today)|time\.(?:time|monotonic))\(")
    files = python_files("rack/calc", "inspection/calc")
    assert [short(file) for file in files if clock.search(file.read_text(encoding="utf-8"))] == []


def test_rack_never_imports_inspection():
    odd = [short(file) for file in python_files("rack", migrations=True)
           if any(name.split(".")[0] == "inspection" for name in imports(file))]
    assert odd == []


def test_no_signals_but_the_one_for_the_triggers():
    odd = [short(file) for file in python_files(*APPS)
           if any("signals" in name for name in imports(file)) and short(file) != "rack/apps.py"]
    assert odd == []


WRITING = {
    "save", "update", "delete", "create", "bulk_create", "bulk_update", "get_or_create", "update_or_create",
}  # fmt: skip
#: Objects with a method of such a name that write to no table.
NOT_ROWS = re.compile(
    r"(?:digest|hash|hasher|sha|buffer|canvas|page|book|workbook|image|picture|context|headers|params|facts"
    r"|drawing|dict|data|values|counts|seen|mapping|session|self|super\(\)|extra|shown|attrs|path|story|pdf)$"
)


def written(file: Path) -> list[str]:
    """Return the calls in a file that change rows, as line numbers and names."""
    found = []
    for node in ast.walk(tree(file)):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
            continue
        owner = ast.unparse(node.func.value)
        if node.func.attr in WRITING and not NOT_ROWS.search(owner):
            found.append(f"{short(file)}:{node.lineno} {owner}.{node.func.attr}")
    return found


def test_rows_are_written_by_actions_only():
    """Only an action knows the five steps: journal, locks, checks, ledger rows, kept figures."""
    # An import contract keeps calc, paper and exchange away from every row.
    free = {"actions", "calc", "paper", "exchange"}
    outside = [file for file in python_files(*APPS) if not free & set(file.parts)]
    assert [line for file in outside for line in written(file)] == []


def test_values_read_before_a_lock_are_never_written_back_in_bulk():
    odd = [line for file in python_files("rack/actions", "inspection/actions") for line in written(file)
           if line.endswith("bulk_update")]
    assert odd == []


# Models


def own_models() -> list[type[models.Model]]:
    return [model for model in apps.get_models() if model._meta.app_label in OWN_APPS]


def test_every_foreign_key_protects_what_it_points_at():
    odd = [
        f"{model.__name__}.{field.name}"
        for model in own_models()
        for field in model._meta.get_fields()
        if isinstance(field, models.ForeignKey) and field.remote_field.on_delete is not models.PROTECT
    ]
    assert odd == []


def test_no_figure_is_stored_as_a_float_a_decimal_or_a_duration():
    inexact = (models.FloatField, models.DecimalField, models.DurationField, models.JSONField)
    odd = [
        f"{model.__name__}.{field.name}"
        for model in own_models()
        for field in model._meta.get_fields()
        if isinstance(field, inexact)
    ]
    assert odd == []


def test_the_admin_is_not_installed():
    assert not apps.is_installed("django.contrib.admin")
    assert not any("admin" in name for name in settings.INSTALLED_APPS)


# Words


@pytest.mark.parametrize("part", [*APPS, "tests", "manage.py"])
def test_a_bare_yes_or_no_is_always_passed_by_name(part: str):
    """`close(tally, True)` says nothing to its reader: arguments of type bool stand behind the star."""
    odd = []
    for file in python_files(part):
        for node in ast.walk(tree(file)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                placed = node.args.posonlyargs + node.args.args
                odd += [
                    f"{short(file)}:{node.lineno} {node.name}({arg.arg})"
                    for arg in placed
                    if isinstance(arg.annotation, ast.Name) and arg.annotation.id == "bool"
                    and not any("parametrize" in ast.unparse(mark) for mark in node.decorator_list)
                ]  # fmt: skip
    assert odd == []


#: Spelled in parts, so that this file does not contain what it looks for.
LEFT_OVER = re.compile(r"\b(?:" + "|".join(("TO" + "DO", "FIX" + "ME", "X" + "XX", "HA" + "CK")) + r")\b")
PLACES = re.compile(
    "|".join(("/work" + "/", "/ro" + "ot/", "/ho" + "me/[a-z]", "pypi" + r"\.org", "pythonhosted" + r"\.org",
              "/opt" + "/pypi", "npmjs" + r"\.(?:com|org)", "registry" + r"\.npm")))  # fmt: skip


def texts() -> Iterator[tuple[Path, str]]:
    for file in tracked():
        if file.suffix in (".png", ".jpg", ".pdf", ".xlsx", ".xls", ".ttf", ".woff2", ".ico"):
            continue
        try:
            yield file, file.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue


def test_nothing_is_left_for_later_in_a_comment():
    assert [short(file) for file, text in texts() if LEFT_OVER.search(text)] == []


def test_no_file_names_a_place_of_one_machine_or_a_registry():
    assert [short(file) for file, text in texts() if PLACES.search(text)] == []


def test_no_test_is_left_out_for_good():
    names = ("pytest.mark." + "skip", "pytest.mark." + "xfail", "pytest." + "xfail(")
    found = {short(file): file.read_text(encoding="utf-8") for file in python_files("tests")}
    assert [file for file, text in found.items() if any(name in text for name in names)] == []


def test_pages_carry_no_script_and_no_style_of_their_own():
    """The content policy would refuse both; so would the next reader."""
    inline = re.compile(
        r"<script(?![^>]*\bsrc=)(?![^>]*type=\"application/json\")[^>]*>|<style\b|\sstyle=|\son[a-z]+=\""
    )
    pages = {short(file): file.read_text(encoding="utf-8") for file in templates()}
    assert [name for name, text in pages.items() if inline.search(text)] == []


def test_no_view_takes_the_name_of_what_every_page_carries():
    """A view that called something `sections` would take the bar of sections off its page."""
    taken = {"site", "other_sites", "sections", "may", "role", "form_key"}
    found = []
    for file in python_files("rack/views", "inspection/views"):
        if file.name == "desk.py":
            continue
        for call in (node for node in ast.walk(tree(file)) if isinstance(node, ast.Dict)):
            keys = {key.value for key in call.keys if isinstance(key, ast.Constant)}
            crumbs = "crumbs" in keys or "form" in keys
            found += [f"{short(file)}:{call.lineno} {name}" for name in keys & taken if crumbs]
    assert found == []
