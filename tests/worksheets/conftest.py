"""Every test begins without any progress, kept in memory only."""

from tests.questions.conftest import _no_progress_yet  # noqa: F401
