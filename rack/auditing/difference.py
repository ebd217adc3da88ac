"""One figure that is not what its ledgers say."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Difference:
    """One figure that is not what its ledgers say: of what, which figure, as it stands, as it should."""

    of: str
    figure: str
    stands: Any
    should: Any

    def __str__(self) -> str:
        return f"{self.of}: {self.figure} stands as {self.stands!r}, and should be {self.should!r}"
