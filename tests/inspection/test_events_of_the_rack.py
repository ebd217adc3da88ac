"""What the rack calls an event and what inspection looks it up by are the same word."""

import pytest

from inspection.calc.events import after_event, event_codes
from rack.calc.happenings import HAPPENINGS


@pytest.mark.parametrize("code", HAPPENINGS)
def test_every_event_that_the_rack_writes_down_has_its_consequences(code):
    """Blows up and down are one jarring; an event without a row would silently make nothing due."""
    cause = HAPPENINGS[code].cause
    assert cause in event_codes()
    assert after_event(cause, "drill_pipe"), f"{code} means nothing for drill pipe"
