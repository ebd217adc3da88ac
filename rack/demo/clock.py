"""The clock of the demo rig: it tells of the last weeks, day after day, and never runs backwards."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.utils import timezone

#: What one entry takes a person, in seconds.
AN_ENTRY = 35


class Clock:
    """Moments for the actions of the demo, in UTC; times of day are of the rig's `zone`.

    The history ends at the moment at which the clock is made.
    """

    def __init__(self, zone: ZoneInfo) -> None:
        self.zone = zone
        self.end = timezone.now()
        self.today = self.end.astimezone(zone).date()
        self.now = self.end - timedelta(days=365)

    def day(self, ago: int, at: str) -> None:
        """Go to so many days ago, at a time of the rig's day: "07:30". Raises ValueError backwards."""
        if ago < 1:
            raise ValueError("today has no times of day yet; say how many minutes ago")
        day = self.today - timedelta(days=ago)
        self._go(datetime.combine(day, time.fromisoformat(at), self.zone).astimezone(UTC))

    def minutes_ago(self, minutes: int) -> None:
        """Go to so many minutes before the end. Raises ValueError backwards."""
        self._go(self.end - timedelta(minutes=minutes))

    def tick(self) -> datetime:
        """The moment of the next entry, a little after the one before."""
        self._go(self.now + timedelta(seconds=AN_ENTRY))
        return self.now

    def _go(self, moment: datetime) -> None:
        if not self.now <= moment <= self.end:
            raise ValueError(f"{moment:%Y-%m-%d %H:%M} is not between {self.now:%Y-%m-%d %H:%M} and the end")
        self.now = moment
