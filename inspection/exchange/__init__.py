"""Reads what inspection companies send: returns rows and faults, stores nothing."""
