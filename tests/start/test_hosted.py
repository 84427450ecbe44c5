"""What a hosted notebook server runs (`binder/postBuild`), followed in a new environment. The
packages are those of the tests; another test holds their pinned versions against the project."""

from __future__ import annotations

import os
import shutil
import subprocess
import sysconfig
import venv
from pathlib import Path

NEEDED = ("binder", "lessonlib", "workbook", "pyproject.toml", "README.md", "LICENSE")


def test_a_hosted_server_has_the_lessons_the_settings_and_the_extensions(
    checkout: Path, tmp_path: Path
) -> None:
    project, made = tmp_path / "project", tmp_path / "env"
    project.mkdir()
    for name in NEEDED:
        copy = shutil.copytree if (checkout / name).is_dir() else shutil.copy
        copy(checkout / name, project / name)
    venv.create(made, with_pip=True)
    (packages,) = made.glob("lib/python*/site-packages")
    (packages / "tests.pth").write_text(sysconfig.get_path("purelib"), "utf-8")
    own = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(
        ["bash", "binder/postBuild"],
        cwd=project,
        env={**own, "PATH": f"{made / 'bin'}:{own['PATH']}"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert len(list((project / "lessons").glob("*.ipynb"))) == len(
        list((checkout / "workbook").glob("*.ipynb"))
    )
    assert (made / "etc" / "jupyter" / "labconfig" / "page_config.json").is_file()
    config = made / "etc" / "jupyter" / "jupyter_server_config.py"
    assert "before_saving" in config.read_text("utf-8")
    extensions = (made / "share" / "jupyter" / "labextensions").glob("*/package.json")
    assert len(list(extensions)) == 2
