"""A family's saved page opens as a panel's does."""

from tests.panels.conftest import open_page

__all__ = ["open_page"]
