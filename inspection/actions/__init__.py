"""What people do with inspections: one verb family a file, each one transaction and one journal line."""
