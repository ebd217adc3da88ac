"""What most tests of the rack begin with: a site, the lowest layer of its rack, two of its people."""

import pytest

from tests import stock


@pytest.fixture
def here(db):
    return stock.site()


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def ada(here):
    return stock.person("ada", "crew", here)


@pytest.fixture
def ola(here):
    return stock.person("ola", "supervisor", here)
