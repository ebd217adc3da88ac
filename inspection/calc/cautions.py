"""What every page says where pieces are inspected."""

from rack.calc.sheets import CAUTIONS_ALWAYS

#: Trade guide 9 and 2.
CAUTIONS_INSPECTING = (
    "The load is down and chocked before anything is scanned; nobody stands or steps between joints.",
    "Bent pipe is straightened before it is inspected. Solvents, dope and lamps have their own sheets.",
    *CAUTIONS_ALWAYS,
)
