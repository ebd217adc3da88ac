"""What was found, what class that makes it and when it is due: pure Python, no clock, no query."""
