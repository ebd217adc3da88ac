"""The tested sets of packages in .ci/ are held to what pyproject.toml declares."""

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from rack.bootstrap import EXTRAS, SETS

ROOT = Path(__file__).resolve().parent.parent


def project() -> dict[str, Any]:
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def pins(name: str) -> dict[str, str]:
    lines = (ROOT / ".ci" / f"{name}.txt").read_text(encoding="utf-8").splitlines()
    found = (re.match(r"([A-Za-z0-9._-]+)(?:\[[^]]*\])?==([^ ;\\]+)", line) for line in lines)
    return {canonicalize_name(match[1]): match[2] for match in found if match}


@pytest.mark.parametrize("name", SETS)
def test_a_tested_set_holds_everything_that_is_declared(name: str):
    declared = list(project()["dependencies"])
    for extra in EXTRAS[name]:
        declared += project()["optional-dependencies"][extra]
    pinned = pins(name)
    for text in declared:
        wanted = Requirement(text)
        version = pinned.get(canonicalize_name(wanted.name))
        assert version, f"{wanted.name} is missing from .ci/{name}.txt: run .ci/pin"
        assert wanted.specifier.contains(version), f"{wanted} against {version}: run .ci/pin"


@pytest.mark.parametrize("name", SETS)
def test_a_tested_set_is_hashed_says_how_it_was_made_and_names_no_address(name: str):
    text = (ROOT / ".ci" / f"{name}.txt").read_text(encoding="utf-8")
    first, *rest = text.splitlines()
    assert "uv pip compile pyproject.toml" in first
    assert f"--output-file .ci/{name}.txt" in first
    assert "://" not in text
    assert "--index" not in text
    blocks = re.split(r"\n(?=[A-Za-z0-9])", "\n".join(rest).strip())
    assert [block for block in blocks if "--hash=sha256:" not in block] == []


def test_the_sets_agree_so_that_going_from_one_to_the_next_only_adds():
    run, postgres, test = pins("run"), pins("postgres"), pins("test")
    assert run.items() <= postgres.items() <= test.items()
