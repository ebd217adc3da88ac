"""The door for a web server."""

import os

from django.core.wsgi import get_wsgi_application

from rack.settled import settle

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "rack.settings")

application = get_wsgi_application()
settle()
