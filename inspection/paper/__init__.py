"""Paper of inspection, drawn from plain facts."""
