"""What inspection adds to `manage.py bench`, on the database that the bench makes for itself."""
