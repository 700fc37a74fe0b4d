"""What gunicorn serves."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
# Serving needs less than commands do: it never changes a table, and no statement of it may run for long.
os.environ.setdefault("PAIRWRIGHT_DATABASE_ROLE", "app")

application = get_wsgi_application()
