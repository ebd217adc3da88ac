"""Forms of inspection: fields, no rule."""
