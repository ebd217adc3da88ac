"""What tests of inspection begin with: a site, a layer, a supervisor, an inspector."""

from datetime import date

import pytest

from inspection.models import Inspector
from tests import stock


@pytest.fixture
def here(db):
    return stock.site()


@pytest.fixture
def layer(here):
    return stock.rack(here)


@pytest.fixture
def ola(here):
    return stock.person("ola", "supervisor", here)


@pytest.fixture
def inspector(here):
    return Inspector.objects.create(site=here, name="R. Vik", company="Nordlys Control", level="Level II",
                                    valid_to=date(2036, 1, 1))  # fmt: skip
