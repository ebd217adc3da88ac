"""What `manage.py bench` measures, on a database of its own that it makes and takes away again."""
