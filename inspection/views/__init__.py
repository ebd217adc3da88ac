"""Pages of inspection: guard, act, render."""
