"""What the project needs, and whether this Python has it; as a program, its exit code says so."""

from __future__ import annotations

import re
import sys
import sysconfig
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from lessonlib.files import put

DISTRIBUTION = "heater-workbook-lessonlib"
_CHECKOUT = Path(__file__).resolve().parent.parent.parent
_LIMIT = r"(>=|<)([0-9.]+)"
_REQUIREMENT = re.compile(rf"([A-Za-z0-9][A-Za-z0-9._-]*)((?:{_LIMIT},?)*)")


@dataclass(frozen=True)
class Checkout:
    """The project's own folder, with what its pyproject.toml asks for."""

    folder: Path
    needs: tuple[str, ...]
    test_needs: tuple[str, ...]

    def requirements(self, extra: str | None) -> tuple[str, ...]:
        """Everything needed to open the workbook, or with extra `test` to run its tests."""
        return self.needs + (self.test_needs if extra == "test" else ())


def checkout(folder: Path = _CHECKOUT) -> Checkout | None:
    """The checkout that lessonlib is run from; None for an installed copy, without set-up."""
    try:
        project = tomllib.loads((folder / "pyproject.toml").read_text("utf-8"))["project"]
    except (OSError, tomllib.TOMLDecodeError, KeyError):
        return None
    if project.get("name") != DISTRIBUTION:
        return None
    tests = project["optional-dependencies"]["test"]
    return Checkout(folder, tuple(project["dependencies"]), tuple(tests))


def lacking(found: Checkout, extra: str | None) -> list[str]:
    """What this Python lacks, or has in a version that is not accepted; the project included."""
    missing = [need for need in found.requirements(extra) if not _is_met(need)]
    here = Path(sysconfig.get_path("purelib"))
    return missing if _is_found_from(here, found.folder) else [*missing, DISTRIBUTION]


def make_found(packages: Path, folder: Path) -> None:
    """Let every Python process that uses these packages find the project in its folder. That is all
    that an editable install would do, and needs nothing to build with."""
    put(packages / f"{DISTRIBUTION}.pth", f"{folder}\n".encode("utf-8", "surrogateescape"))


def within(version: str, limits: Sequence[tuple[str, str]]) -> bool:
    """Whether the version lies within limits such as `(">=", "8.1"), ("<", "9")`."""
    have = _release(version)
    return all((have >= _release(limit)) == (sign == ">=") for sign, limit in limits)


def _is_met(requirement: str) -> bool:
    match = _REQUIREMENT.fullmatch(requirement)
    if match is None:  # our pyproject.toml uses this simple form only, as a test checks
        raise ValueError(f"a requirement of another form: {requirement!r}")
    try:
        return within(metadata.version(match[1]), re.findall(_LIMIT, match[2]))
    except metadata.PackageNotFoundError:
        return False


def _is_found_from(packages: Path, folder: Path) -> bool:
    """Whether the project in that folder is found, as an editable install or `make_found` does it.

    Without it the lessons' own Python processes, which run elsewhere, would not find lessonlib.
    """
    line = str(folder).encode("utf-8", "surrogateescape")
    return any(line in path.read_bytes().splitlines() for path in packages.glob("*.pth"))


def _release(version: str) -> tuple[int, ...]:
    """The numbers at the front, without zeros at the end: 8.1.0 and 8.1 are the same release."""
    numbers = re.match(r"([0-9]+(?:\.[0-9]+)*?)(?:\.0+)*(?!\.?[0-9])", version)
    return tuple(map(int, numbers[1].split("."))) if numbers else (0,)


if __name__ == "__main__":
    here = checkout()
    sys.exit(here is None or bool(lacking(here, sys.argv[1] if sys.argv[1:] else None)))
