"""A workbook for each of a class on one machine, with JupyterHub. `many.md` says how to use it."""

import sys
from pathlib import Path

import lessonlib

c = get_config()  # type: ignore[name-defined]  # noqa: F821  # the hub gives it

_SETTINGS = Path(lessonlib.__file__).parent / "start" / "jupyter"
_PYTHON = Path(sys.executable).parent

# Listens to this machine alone. A web server with a certificate stands in front (many.md).
c.JupyterHub.bind_url = "http://127.0.0.1:8000"

# Trainees log in with their accounts on this machine; who has none is refused.
c.JupyterHub.authenticator_class = "pam"
c.Authenticator.allow_all = True

# First a copy of the lessons, made or updated as by the start command; then the trainee's server.
c.Spawner.cmd = [
    "sh",
    "-c",
    f'"{sys.executable}" -m lessonlib --copy-only "$HOME/heater-workbook" >&2 && '
    f'cd "$HOME/heater-workbook" && exec "{_PYTHON / "jupyterhub-singleuser"}" "$@"',
    "sh",
]
c.Spawner.default_url = "/lab/tree/00_start_here.ipynb"
c.Spawner.start_timeout = 120
c.Spawner.http_timeout = 120
c.Spawner.environment = {
    # the settings and the extension that the start command gives its own server
    "JUPYTER_CONFIG_PATH": str(_SETTINGS),
    "JUPYTER_PATH": str(_SETTINGS),
    "PATH": f"{_PYTHON}:/usr/bin:/bin",
    "OPENBLAS_NUM_THREADS": "1",  # one core each: the matrices are small
}
c.Spawner.args = [
    f"--LabApp.extra_labextensions_path={_SETTINGS / 'labextensions'}",
    "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
    # a kernel that nobody has used for half an hour ends; the page says how to go on
    "--MappingKernelManager.cull_idle_timeout=1800",
    "--MappingKernelManager.cull_interval=120",
]
