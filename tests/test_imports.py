"""Imports point one way, and `import lessonlib` costs next to nothing."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import lessonlib

PACKAGE = Path(lessonlib.__file__).resolve().parent
# the reading order is stated once, in the package's docstring
ORDER = re.findall(r"^- `(\w+)`", lessonlib.__doc__ or "", flags=re.MULTILINE)
HEAVY = (
    "numpy",
    "matplotlib",
    "sympy",
    "ipywidgets",
    "anywidget",
    "schemdraw",
    "networkx",
    "scipy",
    "pandas",
    "reportlab",
    "tomlkit",
)
START_MAY_IMPORT = (
    "lessonlib.appliance.bundled",
    "lessonlib.errors",
    "lessonlib.files",
    "lessonlib.sheet",  # within a function, once set-up is done
    "lessonlib.start",
    "lessonlib.worksheets",  # the same
)


def modules() -> list[Path]:
    return [
        path
        for path in sorted(PACKAGE.rglob("*.py"))
        if path.parent != PACKAGE or path.name not in ("__init__.py", "__main__.py")
    ]


def imported(path: Path, package: str) -> Iterator[str]:
    """Full names of the modules a file imports, also within functions and for typing only."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package.split(".")[: len(package.split(".")) - node.level + 1]
            start = ".".join(base) if node.level else ""
            module = ".".join(part for part in (start, node.module) if part)
            yield from (f"{module}.{alias.name}" for alias in node.names)


def folder_of(path: Path) -> str:
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py")


def downward(folder: str, names: Iterator[str]) -> list[str]:
    """Those of the imports that point at something listed after `folder`."""
    wrong = []
    for name in names:
        match = re.match(r"lessonlib\.(\w+)", name)
        if match and match[1] in ORDER and ORDER.index(match[1]) > ORDER.index(folder):
            wrong.append(name)
    return wrong


def package_of(path: Path) -> str:
    return ".".join(("lessonlib", *path.parent.relative_to(PACKAGE).parts))


def test_every_folder_and_module_is_in_the_reading_order() -> None:
    assert {folder_of(path) for path in modules()} <= set(ORDER)


@pytest.mark.parametrize("path", sorted(PACKAGE.glob("*/")), ids=lambda path: path.name)
def test_a_folder_says_what_each_of_its_modules_is(path: Path) -> None:
    said = (path / "__init__.py").read_text() if (path / "__init__.py").exists() else ""
    listed = set(re.findall(r"`(\w+)`", said))
    assert {module.stem for module in path.glob("[!_]*.py")} <= listed


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_upward(path: Path) -> None:
    assert downward(folder_of(path), imported(path, package_of(path))) == []


@pytest.mark.parametrize(
    "line",
    [
        "import lessonlib.panels.widget",
        "from lessonlib import panels",
        "from lessonlib.panels import widget",
        "from ..panels import widget",
        "def late():\n    from lessonlib.panels.widget import panel",
        "if TYPE_CHECKING:\n    import lessonlib.panels",
    ],
)
def test_a_downward_import_is_seen_in_every_form(line: str, tmp_path: Path) -> None:
    file = tmp_path / "part.py"
    file.write_text(line)
    assert downward("circuit", imported(file, "lessonlib.circuit"))


def test_start_imports_no_more_of_the_library_than_it_may() -> None:
    for path in modules():
        if folder_of(path) != "start":
            continue
        for name in imported(path, package_of(path)):
            if name.startswith("lessonlib.") and name != "lessonlib.__version__":
                assert name.startswith(START_MAY_IMPORT), f"{path.name}: {name}"


def fresh(code: str, *options: str) -> str:
    """What a new Python process prints that runs `code` in the project's folder."""
    done = subprocess.run(
        [sys.executable, *options, "-c", code],
        cwd=PACKAGE.parent,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_import_of_lessonlib_loads_nothing_heavy() -> None:
    code = f"import lessonlib, sys; print([name for name in {HEAVY} if name in sys.modules])"
    assert fresh(code) == "[]"


def test_start_command_loads_on_the_standard_library_alone() -> None:
    # -S leaves out site-packages, so anything that is not in the standard library fails to import
    assert fresh("import lessonlib.start.command as c; print(c.REFUSED)", "-S", "-E") == "2"
