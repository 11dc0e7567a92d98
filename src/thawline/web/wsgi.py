"""The door that the server knocks at; Django and the site are opened here, in the worker."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "thawline.web.settings")
application = get_wsgi_application()
