"""The door that the server knocks at; Django and the site are opened here, in the worker."""

import os

from django.core.signals import request_started
from django.core.wsgi import get_wsgi_application
from django.db import close_old_connections, reset_queries

from thawline.web.shedding import Shedding
from thawline.web.sweeping import sweep_seldom

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "thawline.web.settings")
for _each in (close_old_connections, reset_queries):  # done after each request; no queries kept
    request_started.disconnect(_each)
application = Shedding(get_wsgi_application())
sweep_seldom()
