"""Moved to `rack.paging`, which inspection pages by too."""

from rack.paging import KeyPage, page_by_key  # noqa: F401
