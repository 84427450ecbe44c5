"""Read by the notebook server, beside the settings in `labconfig`."""

import warnings

from lessonlib.start.saving import before_saving

# the server and JupyterLab each read this file, and say so
warnings.filterwarnings("ignore", message="Overriding existing pre_save_hook")

c = get_config()  # type: ignore[name-defined]  # noqa: F821  # the server gives it
c.ContentsManager.pre_save_hook = before_saving
