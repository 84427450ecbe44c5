"""The command that sets up, copies the lessons and opens the workbook.

Everything here runs on the standard library alone: it is what runs before anything is installed.

- `trouble`       why the command refuses to go on, and what to do next
- `arguments`     what the command line may say
- `notebook`      a lesson without its outputs, and whether a copy has been worked in
- `record`        what was copied into the trainee's folder, remembered there
- `copying`       the trainee's own copy of the lessons, never overwritten
- `requirements`  what the project needs, and whether this Python has it
- `installer`     fills the project's own Python environment, with uv or pip
- `environment`   the Python that has everything, set up when something is missing
- `lab`           starts JupyterLab on this computer only
- `jupyter/`      JupyterLab settings for that server only, such as no question about news
- `testing`       runs the tests and every lesson
- `command`       puts these together
"""
