"""What travels: the wheel with the lessons in it, the hosted server's versions, the README."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from lessonlib.start.arguments import parse
from lessonlib.start.requirements import checkout as read_checkout
from lessonlib.start.requirements import within


@pytest.fixture(scope="module")
def wheel(checkout: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[zipfile.ZipFile]:
    pytest.importorskip(
        "hatchling", reason="hatchling is missing: python3 -m lessonlib test adds it"
    )
    folder = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=checkout,
        check=True,
        capture_output=True,
    )
    (made,) = folder.glob("*.whl")
    with zipfile.ZipFile(made) as packed:
        yield packed


def test_the_wheel_holds_every_file_of_the_workbook_and_of_the_library_and_nothing_else(
    wheel: zipfile.ZipFile, checkout: Path
) -> None:
    names = wheel.namelist()
    expected = {
        f"lessonlib/_workbook/{path.relative_to(checkout / 'workbook').as_posix()}"
        for pattern in ("*.ipynb", "instructor/*.ipynb", "appliances/*.toml")
        for path in (checkout / "workbook").glob(pattern)
    } | {
        path.relative_to(checkout).as_posix()
        for suffix in ("py", "js", "css", "json", "typed")
        for path in (checkout / "lessonlib").rglob(f"*.{suffix}")
    }
    assert len(expected) > 20
    assert expected <= set(names)
    tops = {name.split("/")[0] for name in names}
    assert tops == {"lessonlib", "heater_workbook_lessonlib-0.1.0.dist-info"}
    assert [name for name in names if "checkpoint" in name or "pycache" in name] == []
    (entry,) = [name for name in names if name.endswith("entry_points.txt")]
    assert "heater-workbook = lessonlib.__main__:run" in wheel.read(entry).decode()


def test_the_unpacked_wheel_finds_its_own_appliances_and_copies_them_without_set_up(
    wheel: zipfile.ZipFile, tmp_path: Path
) -> None:
    wheel.extractall(tmp_path / "site")
    code = (
        "import lessonlib; from lessonlib.appliance.bundled import workbook_folder\n"
        "print(lessonlib.load_appliance('tea-urn').title, workbook_folder())\n"
        "from lessonlib.start.command import main; main(['--copy-only', 'mine'])"
    )
    # -S: without anything installed
    done = subprocess.run(
        [sys.executable, "-S", "-c", code],
        cwd=tmp_path,
        env={"PYTHONPATH": str(tmp_path / "site")},
        capture_output=True,
        text=True,
    )
    assert done.stderr == ""
    assert str(tmp_path / "site" / "lessonlib" / "_workbook") in done.stdout
    assert (tmp_path / "mine" / "appliances" / "tea-urn.toml").is_file()


def test_the_hosted_server_gets_every_dependency_in_an_accepted_version(checkout: Path) -> None:
    lines = (checkout / "binder" / "requirements.txt").read_text("utf-8").splitlines()
    pinned = dict(line.split("==") for line in lines if line and not line.startswith("#"))
    project = read_checkout(checkout)
    assert project is not None
    said = tomllib.loads((checkout / "pyproject.toml").read_text("utf-8"))
    build_needs = said["build-system"]["requires"]
    needs = [re.match(r"([\w-]+)(.*)", need) for need in (*project.needs, *build_needs)]
    assert set(pinned) == {need[1] for need in needs if need}
    for need in needs:
        assert need is not None
        assert within(pinned[need[1]], re.findall(r"(>=|<)([0-9.]+)", need[2])), need[0]


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md"])
def test_every_command_and_every_link_of_a_page_leads_somewhere(page: str, checkout: Path) -> None:
    text = (checkout / page).read_text("utf-8")
    links = re.findall(r"\]\((?!https?://|#)([^)#]+)", text)
    assert [link for link in links if not (checkout / link).exists()] == []
    commands = re.findall(r"python3 -m lessonlib\b([^\n`#]*)", text)
    assert commands
    for words in commands:
        try:
            parse(shlex.split(words))
        except SystemExit as end:  # --help
            assert end.code == 0  # noqa: PT017 - argparse ends the process, which is what is meant


def test_the_readme_gives_the_two_commands_by_themselves_and_ci_ends_with_the_second(
    checkout: Path,
) -> None:
    blocks = re.findall(r"```\w*\n(.*?)```", (checkout / "README.md").read_text("utf-8"), re.S)
    assert "python3 -m lessonlib\n" in blocks
    assert "python3 -m lessonlib test\n" in blocks
    script = (checkout / ".ci" / "run").read_text("utf-8")
    assert script.rstrip().splitlines()[-1] == "python3 -m lessonlib test"
