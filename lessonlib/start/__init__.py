"""The command that sets up, copies the lessons and opens the workbook.

Everything here uses the standard library alone, as it runs before anything is installed.

- `trouble`       the command's error: found, accepted, next step
- `arguments`     reads the command line
- `notebook`      a lesson without its outputs, and whether a copy has been worked in
- `record`        the list, in the trainee's folder, of what was copied there
- `copying`       the trainee's own copy of the lessons, never overwritten
- `requirements`  what the project needs, and whether this Python has it
- `installer`     fills the project's own Python environment, with uv or pip
- `environment`   the Python that has everything, set up when something is missing
- `lab`           starts JupyterLab on this computer only
- `jupyter/`      for that server only: settings, and an extension that runs the start page
- `saving`        keeps the views of a lesson that is saved without a kernel
- `testing`       runs the tests and every lesson
- `command`       the whole command
"""
