"""The door that the server knocks at; Django and the site are opened here, in the worker."""

import os

from django.core.wsgi import get_wsgi_application

from thawline.web.shedding import Shedding
from thawline.web.sweeping import sweep_seldom

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "thawline.web.settings")
application = Shedding(get_wsgi_application())
sweep_seldom()
