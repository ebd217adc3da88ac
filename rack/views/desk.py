"""Moved to `rack.desk`, so that the pages of inspection begin with the same words."""

from rack.desk import (  # noqa: F401
    asked,
    at_desk,
    device_of,
    found_or_404,
    key_of_form,
    may,
    new_key,
    page,
    posts_of,
    roles_of,
    site_of,
    sites_of,
)
